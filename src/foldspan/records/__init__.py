"""The append-only book of visits, exports out and back in."""

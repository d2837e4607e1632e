"""Pages for the trainer: the sheet of two pages, and all of it."""

"""The measuring session at a terminal."""

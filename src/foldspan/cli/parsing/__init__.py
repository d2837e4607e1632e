"""Parsing: what is typed behind a command: options given once, with their values, completed by Tab."""

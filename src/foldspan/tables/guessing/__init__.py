"""Guessing: what columns by other names are likely to hold, proposed and never used unasked."""

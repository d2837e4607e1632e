"""Measuring: a session with its record, the same for every face: what is typed, kept and said."""

"""The public functions, one verb a file."""

"""Text files and standard input read, whatever is written."""

"""CSV: blocks of whole lines read as columns, columns written as lines."""

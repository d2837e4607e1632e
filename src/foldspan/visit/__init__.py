"""One client measured on one day: its file read with every fault at once."""

"""One look for every picture; drawing what it is given, computing nothing."""

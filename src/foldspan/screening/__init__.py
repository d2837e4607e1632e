"""A table screened in parts, by several workers or a cluster."""

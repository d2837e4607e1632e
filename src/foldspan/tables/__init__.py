"""Tables of any length, CSV, Parquet or pandas; what is said of their rows."""

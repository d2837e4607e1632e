"""Tables of any length, CSV, Parquet or pandas, as known columns; what is said of N rows."""

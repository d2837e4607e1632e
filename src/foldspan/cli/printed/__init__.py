"""What commands print, as text of 80 columns and as JSON."""

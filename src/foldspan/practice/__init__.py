"""Who measures: their settings file, name, numbers and logo."""

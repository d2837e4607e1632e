"""One sentence for each code that answers carry."""

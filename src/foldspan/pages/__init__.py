"""What each reader is handed, as a document, then as HTML, PDF or JSON."""

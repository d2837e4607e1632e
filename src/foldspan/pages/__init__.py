"""Pages to hand over: what each reader is shown, as a document; then as HTML, PDF or JSON."""

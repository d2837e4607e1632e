"""English: the sentences of every command and page."""

"""English: the word or the sentence of every code."""

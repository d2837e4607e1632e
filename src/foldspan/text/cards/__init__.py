"""Wording of cards: equations by name, in words that say what they take and how well they are known."""

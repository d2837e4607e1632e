"""Browser: the second face: pages on the rooms below it, without a rule of its own."""

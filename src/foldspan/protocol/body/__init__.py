"""Body: one schematic person, its landmarks, and where every site lies on it."""

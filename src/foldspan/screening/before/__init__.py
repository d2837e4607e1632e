"""Last year's table: who is in both tables, and what changed for whom."""

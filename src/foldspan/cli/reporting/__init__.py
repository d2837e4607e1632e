"""Pages of ``foldspan report``: how they are asked for, and many of them in one run."""

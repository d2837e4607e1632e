"""Protocol: how measurements are taken and how well they repeat. Data with their sources."""

"""Method groups: how their errors go together, and the one range that they make."""

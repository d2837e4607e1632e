"""The frozen answers and their JSON."""

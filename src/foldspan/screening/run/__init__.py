"""Runs: one file, a folder of parts, several processes, a cluster."""

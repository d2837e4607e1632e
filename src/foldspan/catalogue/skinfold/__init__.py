"""Skinfold equations, one file a group of samples."""

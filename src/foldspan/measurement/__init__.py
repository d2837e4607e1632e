"""Readings to accepted values with their errors; which reading to doubt."""

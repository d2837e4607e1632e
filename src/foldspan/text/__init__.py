"""Whole sentences for an answer or a question; what a client is told."""

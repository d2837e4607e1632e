"""Español: the sentences of the client's page."""

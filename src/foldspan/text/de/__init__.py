"""Deutsch: the sentences of the client's page."""

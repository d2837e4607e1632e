"""French: the sentences of the client's page."""

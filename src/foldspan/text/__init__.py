"""Every sentence by its key, in each language; what a client is told."""

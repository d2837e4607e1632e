"""Access: who may see a page: the own computer, paired devices, programs with a token."""

"""Jobs: tables that were sent, each worked on by a process of its own."""

"""Why methods differ, what would make them agree, what to measure next."""

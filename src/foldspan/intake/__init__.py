"""What a client told before measuring."""

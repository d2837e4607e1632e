"""What open data taught of bodies and of equations."""

"""Mathematics that knows nothing of bodies: sums in one order, slopes."""

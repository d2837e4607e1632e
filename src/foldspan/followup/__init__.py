"""Whether a change between visits is real."""

"""Ranges judged against references, testers against each other, what a site learns."""

"""Lines of text: wrapped paragraphs and points of a list, 80 columns."""

from __future__ import annotations

import textwrap

WIDTH = 80


def wrap(text: str) -> str:
    """Return the text in lines of at most ``WIDTH`` columns."""
    return textwrap.fill(text, WIDTH)


def bullet(text: str) -> str:
    """Return the text as one point of a list."""
    return textwrap.fill(text, WIDTH, initial_indent="  - ", subsequent_indent="    ")

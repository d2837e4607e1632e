"""Lines of text: wrapped paragraphs and points of a list, 80 columns."""

from __future__ import annotations

import textwrap

WIDTH = 80
# a number and its percent sign stay on one line: a letter no text holds stands for that blank
_KEPT = "\ue000"


def wrap(text: str, first: str = "", rest: str = "") -> str:
    """Return the text in lines of at most ``WIDTH`` columns.

    ``first`` stands before the first line, ``rest`` before the others.
    """
    kept = text.replace(" %", f"{_KEPT}%")
    lines = textwrap.fill(
        kept, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )
    return lines.replace(_KEPT, " ")


def bullet(text: str) -> str:
    """Return the text as one point of a list."""
    return wrap(text, "  - ", "    ")

"""Lines of text: wrapped paragraphs and points of a list, 80 columns or what the terminal has."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TextIO

WIDTH = 80
# narrower than this no text can be read; what is written beside a heading needs as much
NARROWEST, BESIDE = 20, 26
_width: ContextVar[int] = ContextVar("width", default=WIDTH)


def fit(columns: int) -> None:
    """Wrap from now on at the columns of a terminal, at ``WIDTH`` where it is wider than that."""
    _width.set(_within(columns))


def _within(columns: int) -> int:
    return max(NARROWEST, min(columns, WIDTH))


def fit_terminal(stream: TextIO) -> None:
    """Wrap at the columns of the terminal that a stream writes to; a pipe or a file gets ``WIDTH``."""
    if stream.isatty():
        fit(shutil.get_terminal_size().columns)


@contextmanager
def usual_width() -> Iterator[None]:
    """Wrap at ``WIDTH`` for a while, whatever the terminal has: for what is written to a file."""
    before = _width.set(WIDTH)
    try:
        yield
    finally:
        _width.reset(before)


def aside(text: str) -> str:
    """Return what is said on stderr: wrapped where that is a terminal, in one line for a pipe."""
    if not sys.stderr.isatty():
        return text
    return _filled(text, _within(shutil.get_terminal_size().columns))


def width() -> int:
    """Return the columns of a line: ``WIDTH``, or fewer on a narrow terminal."""
    return _width.get()


def wrap(text: str, first: str = "", rest: str = "", *, spare: int = 0) -> str:
    """Return the text in lines of at most ``WIDTH`` columns, or those of a narrower terminal.

    ``first`` stands before the first line, ``rest`` before the others; ``spare`` columns stay free.
    """
    return _filled(text, _width.get() - spare, first, rest)


def _filled(text: str, columns: int, first: str = "", rest: str = "") -> str:
    return textwrap.fill(
        text, columns, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False,
        break_long_words=False,
    )  # fmt: skip


def beside(head: str, text: str) -> str:
    """Return a text beside its heading, or below it where the terminal is too narrow for both."""
    if _width.get() - len(head) >= BESIDE:
        return wrap(text, head, " " * len(head))
    return f"{wrap(head.rstrip(), '', '  ')}\n{wrap(text, '    ', '    ')}"


def key_lines(key: str, first: str = "  ") -> list[str]:
    """Return a key in lines that fit: one that is too long goes on below, behind an underscore."""
    lines, rest = [first], " " * (len(first) + 2)
    for piece in key.replace("_", "_\n").split("\n"):
        if len(lines[-1]) + len(piece) > _width.get() and lines[-1].strip("* "):
            lines.append(rest)
        lines[-1] += piece
    return lines


def table(rows: Sequence[str], title: str, points: Iterable[str]) -> list[str]:
    """Return the rows of a table, or a title and points of a list where the terminal is too narrow."""
    if max(map(len, rows)) <= _width.get():
        return list(rows)
    return [wrap(title), *map(bullet, points)]


def bullet(text: str) -> str:
    """Return the text as one point of a list."""
    return wrap(text, "  - ", "    ")

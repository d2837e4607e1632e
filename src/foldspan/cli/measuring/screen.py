"""The screen of a measuring session: prompts to stderr, lines from stdin, readings hidden where asked.

It works in a terminal and over a pipe. In a terminal that can move its cursor, a reading that was typed
blind stays until the next entry, so that a helper can read it back, and is then wiped off the screen.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable

from foldspan.cli.lines import bullet, fit, wrap

# columns that stay free behind a question for a short answer
SPARE = 12
WIPE = "\x1b[{rows}A\r\x1b[J"


class Screen:
    """Where a session is drawn."""

    def __init__(self) -> None:
        self._echoes = sys.stdin.isatty()
        self.can_wipe = (
            self._echoes
            and sys.stderr.isatty()
            and os.environ.get("TERM", "dumb") not in ("", "dumb")
        )
        # the reading that is still shown and what will stand for it; text since; text since the anchor
        self._veiled = self._instead = self._since = self._now = ""
        self._fit()
        if hasattr(sys.stdin, "reconfigure"):
            sys.stdin.reconfigure(errors="replace")

    def say(self, text: str) -> None:
        """Write a paragraph."""
        self._write(wrap(text) + "\n")

    def say_all(self, texts: Iterable[str]) -> None:
        """Write several paragraphs."""
        for text in texts:
            self.say(text)

    def tell(self, lines: Iterable[str]) -> None:
        """Write lines as they are."""
        for line in lines:
            self._write(f"{line}\n")

    def point(self, text: str) -> None:
        """Write one point of a list."""
        self._write(bullet(text) + "\n")

    def space(self) -> None:
        """Write an empty line."""
        self._write("\n")

    def ask(self, question: str) -> str | None:
        """Return the line that was typed, without its end; None at the end of the input."""
        shown = wrap(question, spare=SPARE) + ": "
        self._write(shown)
        line = sys.stdin.readline()
        if not line:
            self._write("\n")
            return None
        if self._echoes:
            self._now += line  # the terminal has written it
        else:
            self._write("\n")  # a pipe does not echo the end of the line
        self._fit()
        return line.rstrip("\r\n")

    def anchor(self) -> None:
        """Remember this place: what comes after it is the entry that ``veil`` and ``hide`` speak of."""
        self._since += self._now
        self._now = ""

    def veil(self, shown: str, instead: str) -> None:
        """Wipe the entry and leave ``shown`` in its place, until something else is entered."""
        self._redraw(f"{wrap(shown)}\n", is_veil=True)
        self._instead = f"{wrap(instead)}\n"

    def hide(self, instead: str) -> None:
        """Wipe the entry and leave ``instead`` in its place."""
        self._redraw(f"{wrap(instead)}\n", is_veil=False)

    def unveil(self) -> None:
        """Wipe a reading that still stands there; the text after it stays."""
        if self._veiled:
            text = self._now
            self._now = ""
            self._redraw("", is_veil=False, above=text)

    def _redraw(self, last: str, *, is_veil: bool, above: str = "") -> None:
        """Write anew from the veiled reading on, with what stands for it, and ``last`` at the end."""
        old = f"{self._veiled}{self._since}" if self._veiled else ""
        rows = self._rows_of(f"{old}{above}{self._now}")
        kept = f"{self._instead}{self._since}{above}" if self._veiled else above
        self._veiled = self._instead = self._since = self._now = ""
        if rows:
            self._put(WIPE.format(rows=rows))
        self._put(f"{kept}{last}")
        self._veiled = last if is_veil else ""

    def _write(self, text: str) -> None:
        if self._veiled and self._is_scrolled_by(text):
            self.unveil()
        self._put(text)
        self._now += text

    def _is_scrolled_by(self, text: str) -> bool:
        """Whether a text would carry the veiled reading off the screen, where nothing can be wiped."""
        rows = self._rows_of(f"{self._veiled}{self._since}{self._now}{text}\n")
        return rows >= shutil.get_terminal_size().lines - 1

    @staticmethod
    def _put(text: str) -> None:
        sys.stderr.write(text)
        sys.stderr.flush()

    def _fit(self) -> None:
        """Wrap at the width of the terminal, which may be made wider or narrower at any time."""
        if self._echoes:
            fit(shutil.get_terminal_size().columns)

    @staticmethod
    def _rows_of(text: str) -> int:
        """Rows that lines take on this terminal, up to the last end of a line."""
        columns = max(shutil.get_terminal_size().columns, 1)
        return sum(max(1, -(-len(line) // columns)) for line in text.split("\n")[:-1])

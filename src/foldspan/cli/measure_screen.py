"""The screen of a measuring session: prompts to stderr, lines from stdin, readings hidden where asked.

It works in a terminal and over a pipe. In a terminal that can move its cursor, a reading that was typed
blind is wiped off the screen as soon as it is kept.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable

from foldspan.cli.lines import bullet, wrap

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
        self._rows = 0
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
        for line in "\n".join(lines).split("\n"):
            self._write(f"{line}\n")

    def point(self, text: str) -> None:
        """Write one point of a list."""
        self._write(bullet(text) + "\n")

    def space(self) -> None:
        """Write an empty line."""
        self._write("\n")

    def ask(self, question: str) -> str | None:
        """Return the line that was typed, without its end; None at the end of the input."""
        shown = wrap(question) + ": "
        self._write(shown)
        line = sys.stdin.readline()
        if not line:
            self._write("\n")
            return None
        if self._echoes:
            last = shown.rsplit("\n", 1)[-1]
            self._rows += self._rows_of(last + line.rstrip("\n"))
        else:
            self._write("\n")  # a pipe does not echo the end of the line
        return line.rstrip("\r\n")

    def anchor(self) -> None:
        """Remember this place, to wipe back to."""
        self._rows = 0

    def wipe(self) -> None:
        """Wipe everything since the anchor, where the terminal can."""
        if self.can_wipe and self._rows:
            sys.stderr.write(WIPE.format(rows=self._rows))
            sys.stderr.flush()
        self._rows = 0

    def _write(self, text: str) -> None:
        sys.stderr.write(text)
        sys.stderr.flush()
        self._rows += sum(self._rows_of(line) for line in text.split("\n")[:-1])

    @staticmethod
    def _rows_of(line: str) -> int:
        """Rows that a line takes on this terminal."""
        columns = max(shutil.get_terminal_size().columns, 1)
        return max(1, -(-len(line) // columns))

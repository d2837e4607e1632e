"""Progress of a long run on a terminal: rows, rate and the time that is left; gone at its end."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import Self

SECONDS_BETWEEN = 0.2


class Progress:
    """One line on stderr that is written over and over; nothing at all where it is not shown."""

    def __init__(self, *, is_shown: bool) -> None:
        self._is_shown = is_shown
        self._start = self._last = time.monotonic()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._show("")

    def step(self, rows: int, share: float | None) -> None:
        """Show how far it is: rows done, and the share of the table read, if that is known."""
        now = time.monotonic()
        if not self._is_shown or now - self._last < SECONDS_BETWEEN:
            return
        self._last = now
        spent = max(now - self._start, 1e-3)
        line = f"{rows:,} rows, {_short(rows / spent)} a second"
        if share:
            line += f", {share:.0%}, {_duration(spent / share - spent)} left"
        self._show(line)

    def _show(self, line: str) -> None:
        if self._is_shown:
            sys.stderr.write(f"\r\x1b[K{line}")
            sys.stderr.flush()


def _short(number: float) -> str:
    return f"{number:,.0f}" if number < 10_000 else f"{number / 1000:,.0f} thousand"


def _duration(seconds: float) -> str:
    seconds = max(round(seconds), 0)
    if seconds < 60:
        return f"{seconds} s"
    minutes, seconds = divmod(seconds, 60)
    if minutes < 60:
        return f"{minutes} min {seconds:02d} s"
    return f"{minutes // 60} h {minutes % 60:02d} min"

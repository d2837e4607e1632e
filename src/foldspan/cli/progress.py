"""Progress of a long run on a terminal: rows, rate, time left; no interruption is lost in it."""

from __future__ import annotations

import signal
import sys
import threading
import time
from types import FrameType, TracebackType
from typing import Any, Self

SECONDS_BETWEEN = 0.2


class Progress:
    """One line on stderr that is written over and over; nothing at all where it is not shown.

    Within it an interruption stops the run even where a library swallows it, as happens while one is
    about to return or something is tidied away: it is raised again at the next step.
    """

    def __init__(self, *, is_shown: bool) -> None:
        self._is_shown = is_shown
        self._start = self._last = time.monotonic()
        self._is_interrupted = False
        self._handler_before: Any = None

    def __enter__(self) -> Self:
        # where interruptions are ignored, as in a job of the background, they stay so
        if (
            threading.current_thread() is threading.main_thread()
            and signal.getsignal(signal.SIGINT) is signal.default_int_handler
        ):
            self._handler_before = signal.signal(signal.SIGINT, self._interrupt)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._handler_before is not None:
            signal.signal(signal.SIGINT, self._handler_before)
        self._show("")

    def _interrupt(self, number: int, frame: FrameType | None) -> None:
        self._is_interrupted = True
        raise KeyboardInterrupt

    def step(self, rows: int, share: float | None) -> None:
        """Show how far it is: rows done, and the share of the table read, if that is known.

        Raises
        ------
        KeyboardInterrupt
            Where an interruption came meanwhile and was lost.
        """
        if self._is_interrupted:
            raise KeyboardInterrupt
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

"""Tries: a few wrong ones, then a pause, for a PIN that is short."""

from __future__ import annotations

import time
from collections.abc import Callable

WRONG_AT_MOST, PAUSE = 5, 300.0


class Tries:
    """Counts wrong tries; after five of them nothing is taken for five minutes.

    Parameters
    ----------
    clock : callable
        Returns the time [s].
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._wrong, self._until = 0, float("-inf")

    def may(self) -> bool:
        """Whether a try is taken now."""
        return self._clock() >= self._until

    def note(self, *, is_right: bool) -> None:
        """Count a try."""
        self._wrong = 0 if is_right else self._wrong + 1
        if self._wrong >= WRONG_AT_MOST:
            self._wrong, self._until = 0, self._clock() + PAUSE

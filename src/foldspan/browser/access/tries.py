"""Tries: a few wrong ones, then a pause, for a PIN that is short."""

from __future__ import annotations

import hmac
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

    @property
    def seconds_paused(self) -> float:
        """How long nothing is taken after too many wrong ones [s], 0 where it is taken."""
        return max(self._until - self._clock(), 0.0)

    def is_right(self, typed: str, pin: str) -> bool:
        """Whether a typed PIN is the right one; nothing is taken, and nothing counted, in a pause."""
        if self.seconds_paused:
            return False
        if hmac.compare_digest(typed.encode(), pin.encode()):
            self._wrong = 0
            return True
        self._wrong += 1
        if self._wrong >= WRONG_AT_MOST:
            self._wrong, self._until = 0, self._clock() + PAUSE
        return False

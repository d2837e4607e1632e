"""Pairing: a code of eight characters that lets one device in, once, within five minutes."""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Callable

# without what looks alike: 0 and O, 1 and I and L
ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH = 8
HOLDS = 300.0
WRONG_AT_MOST = 5
LOCKED_FOR = 300.0


class Pairing:
    """The code that is shown at the computer that serves; a new one each time it is asked for.

    Parameters
    ----------
    clock : callable
        Returns the time [s].
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._code = ""
        self._until = self._locked_until = float("-inf")
        self._wrong = 0

    def __repr__(self) -> str:
        """Return nothing of the code."""
        return "Pairing()"

    def new_code(self) -> str:
        """Return a code that holds five minutes from now, in two groups of four."""
        self._code = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        self._until = self._clock() + HOLDS
        return f"{self._code[:4]} {self._code[4:]}"

    @property
    def seconds_locked(self) -> float:
        """How long no code is taken after too many wrong ones [s], 0 where it is taken."""
        return max(self._locked_until - self._clock(), 0.0)

    def is_right(self, typed: str) -> bool:
        """Whether a typed code lets a device in, once; five wrong ones lock for five minutes."""
        if self.seconds_locked:
            return False
        plain = "".join(typed.split()).replace("-", "").upper()
        holds = bool(self._code) and self._clock() < self._until
        if holds and hmac.compare_digest(plain.encode(), self._code.encode()):
            self._code, self._wrong = "", 0
            return True
        self._wrong += 1
        if self._wrong >= WRONG_AT_MOST:
            self._wrong, self._code = 0, ""
            self._locked_until = self._clock() + LOCKED_FOR
        return False

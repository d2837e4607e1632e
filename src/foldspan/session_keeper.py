"""Session keeper: every event of a session is on the disk before the next thing is asked.

Nothing is written until the client has agreed, and nothing stays if the client takes that back.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.records import Book
from foldspan.session import State


class Keeper:
    """Keeps the events of one session: in a book once its client agreed, until then in memory.

    Parameters
    ----------
    book : Book
        An open book.
    visit : int
        Number of a visit that is taken up again, 0 for a new one.
    place : int
        How many events that visit has.
    """

    def __init__(self, book: Book, visit: int = 0, place: int = 0) -> None:
        self.book = book
        self.visit = visit
        self.place = place
        self._waiting: list[tuple[str, Mapping[str, Any]]] = []

    def keep(self, kind: str, body: Mapping[str, Any], after: State) -> None:
        """Keep one event; ``after`` is the session with it.

        Raises
        ------
        FoldspanError
            Where it could not be written; nothing of it is kept then.
        """
        agreed = after.known.get("consent.store")
        if agreed is False:
            if self.visit:
                self.book.drop(self.visit)
            self.visit, self.place = 0, 0
            return
        self._waiting.append((kind, body))
        if agreed is None and not self.visit:
            return
        try:
            self._write(str(after.known.get("code") or ""))
        except BaseException:
            self._waiting.pop()
            raise

    def _write(self, code: str) -> None:
        """Write what waits; the visit is begun with the first of it."""
        if not self.visit:
            self.visit = self.book.begin()
        while self._waiting:
            kind, body = self._waiting[0]
            told = code if kind in ("answer", "again", "undo") and code else None
            self.book.append(self.visit, kind, body, place=self.place + 1, code=told)
            self.place += 1
            self._waiting.pop(0)

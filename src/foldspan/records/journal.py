"""Journal: every event of a session is on the disk before the next thing is asked.

Nothing is written until the client has agreed, and nothing stays if the client takes that back.
"""

from __future__ import annotations

from foldspan.records.book import Book
from foldspan.session.events import Body
from foldspan.session.state import State


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

    def keep(self, kind: str, body: Body, after: State) -> None:
        """Keep one event; ``after`` is the session with it.

        Raises
        ------
        FoldspanError
            Where it could not be written; nothing of it is kept then.
        """
        agreed, code = after.known.get("consent.store"), str(after.known.get("code") or "")
        if agreed is False:
            self.drop()
        elif self.visit:
            self._write(kind, body, code if kind in ("answer", "again", "undo") else "")
        elif agreed:
            self._write_all(after, code)

    def drop(self) -> None:
        """Take the visit out of the book, if one is kept.

        Raises
        ------
        FoldspanError
            Where it could not be taken out, or where a copy of it may still stand on the disk: then no
            visit is kept any more.
        """
        if not self.visit:
            return
        row = self.visit
        try:
            self.book.drop(row)
        finally:
            if not self.book.last_place(row):
                self.visit, self.place = 0, 0

    def _write_all(self, session: State, code: str) -> None:
        """Begin a visit with all that was told so far; an agreement may come late, or come back."""
        events = [*session.events()]
        self.visit, self.place = self.book.begin_with(code, events), len(events)

    def _write(self, kind: str, body: Body, code: str) -> None:
        self.book.append(self.visit, kind, body, place=self.place + 1, code=code or None)
        self.place += 1

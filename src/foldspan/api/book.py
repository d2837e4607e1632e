"""The book of kept visits from Python: open it, and list, add, correct, withdraw and export."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, Self

from foldspan.problems import FoldspanError
from foldspan.records import book
from foldspan.records.export import client_json
from foldspan.records.location import book_path
from foldspan.records.tester_error import own_errors_of, repeats_of
from foldspan.records.visits import Correction, correct, correction_of, kept_visits, take_in
from foldspan.visit.model import Visit


@dataclass(frozen=True, slots=True, repr=False)
class BookVisit:
    """One visit of a client as it stands in the book, its corrections made.

    Attributes
    ----------
    number : int
        Its place among the visits of its client [1, 2, …], in the order in which they were kept.
    code : str
        The client's code.
    day : str
        Day of the visit, year first; that on which it was typed where none was noted.
    tester : str
        Code of the one who measured, "" where it is not noted.
    has_ended : bool
        False for a session that was broken off.
    visit : Visit or None
        The visit with its tester's own errors from the other visits of the book, as the commands use
        it; None where nothing was measured, or where it cannot be read as it stands.
    corrections : tuple of Correction
        What was put right, the first one first.
    """

    number: int
    code: str
    day: str
    tester: str
    has_ended: bool
    visit: Visit | None = field(repr=False)
    corrections: tuple[Correction, ...] = ()


class Book:
    """An open book of kept visits; ``Book.open`` opens it.

    Keep only what the client agreed to have kept.

    Examples
    --------
    >>> import tempfile, foldspan
    >>> with tempfile.TemporaryDirectory() as folder, foldspan.Book.open(f"{folder}/b.sqlite") as book:
    ...     number = book.add(foldspan.Visit.from_file("examples/visit.toml"))
    ...     [(code, [one.number for one in book.visits(code)]) for code in book.clients()]
    [('K-014', [1])]
    """

    def __init__(self, opened: book.Book) -> None:
        self._opened = opened

    def __repr__(self) -> str:
        """Return the path and nothing of what is in it."""
        return f"Book({self.path!r})"

    @property
    def path(self) -> str:
        """The file of the book."""
        return self._opened.path

    @classmethod
    @contextmanager
    def open(cls, path: str | os.PathLike[str] = "", *, begins: bool = True) -> Iterator[Self]:
        """Open a book as a context manager.

        Parameters
        ----------
        path : str or path
            The file; "" for that of the account, which the commands use.
        begins : bool
            Begin a book where there is none.

        Raises
        ------
        FoldspanError
            E301 no book there, E701 not a book, E702 damaged, E703 written by a newer version, E704
            cannot be read or written, E705 held by another session; the methods raise these too.
        """
        with book.Book.opened(book_path(os.fspath(path)), begins=begins) as opened:
            yield cls(opened)

    def clients(self) -> tuple[str, ...]:
        """Return the code of every client, in the order of the alphabet."""
        return tuple(code for code, *_ in self._opened.clients())

    def visits(self, code: str) -> tuple[BookVisit, ...]:
        """Return the visits of a client as they stand now.

        Raises
        ------
        FoldspanError
            E706 for a client who is not there, E702 where a visit was damaged.
        """
        repeats = repeats_of(self._opened)
        found = []
        for kept in kept_visits(self._opened, code):
            try:
                visit = kept.visit(own_errors_of(repeats, kept))
            except FoldspanError:
                visit = None
            found.append(
                BookVisit(
                    kept.number,
                    code,
                    kept.day,
                    kept.tester,
                    kept.has_ended,
                    visit,
                    kept.corrections,
                )
            )
        return tuple(found)

    def add(
        self,
        visit: Visit | Mapping[str, Any],
        *,
        where: str = "visit",
        accept_unusual: bool = False,
    ) -> int:
        """Keep a visit, or the mapping of a visit file, and return its number for its client.

        Parameters
        ----------
        visit : Visit or mapping
            With the client's code. A mapping is kept as it was typed. The tester's own errors are not
            kept: they come out of the book itself.
        where : str
            Name of the visit for messages.
        accept_unusual : bool
            Use very unusual values of a mapping as they are.

        Raises
        ------
        FoldspanError
            E120 without a code, E122 where the same visit is kept already, and for a mapping as
            ``Visit.from_dict``.
        """
        if isinstance(visit, Visit):
            return take_in(self._opened, visit.client.code, visit.to_dict(), where)
        read = Visit.from_dict(visit, where=where, accept_unusual=accept_unusual)
        return take_in(self._opened, read.client.code, visit, where)

    def correct(
        self, code: str, number: int, name: str, value: str, *, who: str, why: str, reading: int = 0
    ) -> None:
        """Put a reading or a line of a visit right; what was typed first stays in the book.

        Parameters
        ----------
        code, number : str, int
            The client, and the number of the visit.
        name : str
            A site, or a line such as ``tester``, ``date`` or ``age_years``.
        value : str
            What it should be, in the unit of the visit file or with its unit; ``none`` takes it out.
        who, why : str
            Code of the one who corrects, and the reason in a few words.
        reading : int
            Which reading of the site, 1 to 3.

        Raises
        ------
        FoldspanError
            E115 for a name that is none, E120 where it is not said which reading, who or why, E705
            while the session is not ended, E706 for what is not there, and as ``Visit.from_dict``.
        """
        meant = correction_of(name, value, reading, who=who, why=why)
        (kept,) = kept_visits(self._opened, code, str(number))
        correct(self._opened, kept, meant)

    def withdraw(self, code: str) -> int:
        """Erase a client for good, with every visit; return how many visits went.

        Copies of the book and what was exported are not touched.

        Raises
        ------
        FoldspanError
            E706 for a client who is not there, E705 where another session keeps it on the disk.
        """
        return self._opened.erase(code)

    def export(self, code: str) -> dict[str, Any]:
        """Return all that is kept of a client, as ``foldspan records export`` writes it (JSON).

        Raises
        ------
        FoldspanError
            E706 for a client who is not there, E702 where a visit was damaged.
        """
        kept = kept_visits(self._opened, code)
        tree: dict[str, Any] = json.loads(client_json(code, self._opened.name_of(code), kept))
        return tree

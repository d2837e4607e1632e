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
    """One visit of a client as recorded in the book, with its corrections applied.

    Attributes
    ----------
    number : int
        Its number among the client's visits [1, 2, …], in the order in which they were saved.
    code : str
        The client's code.
    day : str
        Date of the visit (year-month-day), or the date of entry if none was recorded.
    tester : str
        The tester's code, "" if not recorded.
    has_ended : bool
        False for an unfinished session.
    visit : Visit or None
        The visit with its tester's own errors from the other visits in the book, as the commands
        use it; None if nothing was measured, or if it cannot be read.
    corrections : tuple of Correction
        Corrections, in the order made.
    """

    number: int
    code: str
    day: str
    tester: str
    has_ended: bool
    visit: Visit | None = field(repr=False)
    corrections: tuple[Correction, ...] = ()


class Book:
    """An open record book; ``Book.open`` opens it.

    Save only what the client agreed to have saved.

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
            The file; "" for the default book, which the commands use.
        begins : bool
            Create a book if there is none.

        Raises
        ------
        FoldspanError
            E301 if there is no book, E701 if the file is not a book, E702 if it is damaged, E703 if
            it was written by a newer version, E704 if it cannot be read or written, E705 if another
            session is using it; the methods raise these too.
        """
        with book.Book.opened(book_path(os.fspath(path)), begins=begins) as opened:
            yield cls(opened)

    def clients(self) -> tuple[str, ...]:
        """Return the code of every client, in alphabetical order."""
        return tuple(code for code, *_ in self._opened.clients())

    def visits(self, code: str) -> tuple[BookVisit, ...]:
        """Return the visits of a client, with corrections applied.

        Raises
        ------
        FoldspanError
            E706 if there is no such client, E702 if a visit is damaged.
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
        """Save a visit, or a mapping shaped like a visit file, and return its number.

        Parameters
        ----------
        visit : Visit or mapping
            It must have the client's code. A mapping is saved as typed. The tester's own errors are
            not saved: they are calculated from the book.
        where : str
            Name of the visit for messages.
        accept_unusual : bool
            Use very unusual values of a mapping as they are.

        Raises
        ------
        FoldspanError
            E120 without a code, E122 if the same visit is already in the book, and for a mapping as
            in ``Visit.from_dict``.
        """
        if isinstance(visit, Visit):
            return take_in(self._opened, visit.client.code, visit.to_dict(), where)
        read = Visit.from_dict(visit, where=where, accept_unusual=accept_unusual)
        return take_in(self._opened, read.client.code, visit, where)

    def correct(
        self, code: str, number: int, name: str, value: str, *, who: str, why: str, reading: int = 0
    ) -> None:
        """Correct a reading or a line of a visit; the original entry stays in the book.

        Parameters
        ----------
        code, number : str, int
            The client, and the number of the visit.
        name : str
            A site, or a line such as ``tester``, ``date`` or ``age_years``.
        value : str
            The correct value, in the unit of the visit file or with its own unit; ``none`` removes
            it.
        who, why : str
            Code of the person correcting, and the reason in a few words.
        reading : int
            Which reading of the site, 1 to 3.

        Raises
        ------
        FoldspanError
            E115 for an unknown name, E120 if the reading, ``who`` or ``why`` is missing, E705 while
            the session is unfinished, E706 if there is no such client, visit or reading, and as in
            ``Visit.from_dict``.
        """
        meant = correction_of(name, value, reading, who=who, why=why)
        (kept,) = kept_visits(self._opened, code, str(number))
        correct(self._opened, kept, meant)

    def withdraw(self, code: str) -> int:
        """Erase a client and all visits for good; return how many visits were erased.

        Copies of the book and exported files are not touched.

        Raises
        ------
        FoldspanError
            E706 if there is no such client, E705 if another session still holds a copy on disk.
        """
        return self._opened.erase(code)

    def export(self, code: str) -> dict[str, Any]:
        """Return everything kept about a client, as ``foldspan records export`` writes it (JSON).

        Raises
        ------
        FoldspanError
            E706 if there is no such client, E702 if a visit is damaged.
        """
        kept = kept_visits(self._opened, code)
        tree: dict[str, Any] = json.loads(client_json(code, self._opened.name_of(code), kept))
        return tree

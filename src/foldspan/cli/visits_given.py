"""Visits given on the command line: files, or clients and visits of the book of records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from contextlib import ExitStack
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

import typer

if TYPE_CHECKING:
    from foldspan.measuring.beside import BesideVisits
    from foldspan.records.book import Book
    from foldspan.records.tester_error import KeptRepeats
    from foldspan.records.visits import KeptVisit
    from foldspan.visit.model import Visit


@dataclass(frozen=True, slots=True)
class GivenVisits:
    """Visits in the order given, and what the book knows ``beside`` them; None where none is of it."""

    visits: tuple[Visit, ...]
    beside: BesideVisits | None = None

    @property
    def is_careful(self) -> bool:
        """Whether any visit of the book, given or not, tells of a worry about eating."""
        return self.beside is not None and self.beside.is_careful

    def careful(self) -> Self:
        """Return the same, careful also where the book does not tell of a worry about eating."""
        from foldspan.measuring.beside import BesideVisits

        return replace(self, beside=replace(self.beside or BesideVisits(), is_careful=True))


class Records:
    """The book of records for one command: opened where the first client is looked for, read once."""

    def __init__(self, book: str) -> None:
        self._book, self._open = book, ExitStack()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._open.close()

    @cached_property
    def opened(self) -> Book:
        """The open book.

        Raises
        ------
        FoldspanError
            As ``Book.read``.
        """
        from foldspan.records.book import Book
        from foldspan.records.location import book_path

        return self._open.enter_context(Book.read(book_path(self._book)))

    @cached_property
    def repeats(self) -> tuple[KeptRepeats, ...]:
        """Every site of the book that was read twice or more."""
        from foldspan.records.tester_error import repeats_of

        return repeats_of(self.opened)

    @cached_property
    def clients(self) -> tuple[str, ...]:
        """Codes of all clients with a visit, in the order of the codes."""
        return tuple(code for code, _, count, _ in self.opened.clients() if count)

    def of(self, given: str) -> tuple[list[tuple[KeptVisit, Visit]], list[KeptVisit]]:
        """Return the visits that are named, and every visit of their client.

        Raises
        ------
        FoldspanError
            E301 where no book is there, E706 for a client or visit that is not there or holds nothing.
        """
        from foldspan.problems import FoldspanError, Problem
        from foldspan.records.visits import kept_visits

        self._must_be_there(given)
        code, number = _client_and_number(given, frozenset(self.clients))
        every = kept_visits(self.opened, code)
        named = kept_visits(self.opened, code, number) if number else every
        found = [*self._read(named)]
        if not found:
            what = "no finished visit with measurements"
            remedy = "Look at it with foldspan records show."
            raise FoldspanError([Problem("E706", given, what, remedy)])
        return found, every

    def _read(self, kept: Sequence[KeptVisit]) -> Iterator[tuple[KeptVisit, Visit]]:
        """Yield ended visits by their day, with the tester's own errors; one that cannot be is told."""
        from foldspan.problems import FoldspanError
        from foldspan.records.tester_error import own_errors_of

        for record in sorted(kept, key=lambda record: record.day):
            if not record.has_ended:
                continue
            try:
                yield record, record.visit(own_errors_of(self.repeats, record))
            except FoldspanError as error:
                problem, which = error.problems[0], f"Visit {record.number} of {record.code}"
                typer.echo(f"{which} left out: {problem.what}. [{problem.code}]", err=True)

    def _must_be_there(self, given: str) -> None:
        from foldspan.problems import FoldspanError, Problem
        from foldspan.records.location import book_path

        if Path(book_path(self._book)).is_file():
            return
        what = (
            "no such file"
            if self._book
            else "no such file, and no record book in which to look for a client"
        )
        remedy = (
            "Check the name. A visit file ends in .toml or .json; give a record book with --book."
        )
        raise FoldspanError([Problem("E301", self._book or given or "VISIT", what, remedy)])


def visits_given(
    given: Sequence[str], book: str, *, accept_unusual: bool, only_with_range: bool = False
) -> GivenVisits:
    """Return the visits of files, or those of clients of the book with the tester's own errors.

    With ``only_with_range`` visits of the book that get no adult range are left out, and that is told.

    Raises
    ------
    FoldspanError
        As ``visits_from``.
    """
    with Records(book) as records:
        return visits_from(
            given, records, accept_unusual=accept_unusual, only_with_range=only_with_range
        )


def visits_from(
    given: Sequence[str], records: Records, *, accept_unusual: bool, only_with_range: bool = False
) -> GivenVisits:
    """Return what ``visits_given`` does, from a book that is at hand.

    Raises
    ------
    FoldspanError
        As ``Visit.from_file``; E706 for a client or visit that is not there or holds nothing, E301 for
        neither a file nor a client, E501 where standard input is named twice.
    """
    from foldspan.problems import FoldspanError, Problem

    if list(given).count("-") > 1:
        remedy = "Use - once; give the other visits as files."
        raise FoldspanError([Problem("E501", "VISIT", "standard input is given twice", remedy)])
    visits: list[Visit] = []
    kept_all: list[KeptVisit] = []
    last: KeptVisit | None = None
    for path in given:
        if (
            path == "-"
            or Path(path).suffix.lower() in (".toml", ".json")
            or (path and Path(path).exists())
        ):
            visits.append(_of_file(path, accept_unusual=accept_unusual))
            last = None
            continue
        found, known = records.of(path)
        kept_all += known
        for kept, visit in found:
            if not only_with_range or _has_range(visit):
                visits.append(visit)
                last = kept
    if not kept_all:
        return GivenVisits(tuple(visits))
    from foldspan.measuring.beside import beside_visits

    return GivenVisits(tuple(visits), beside_visits(kept_all, last))


def visit_given(given: str, book: str, *, accept_unusual: bool) -> Visit:
    """Return one visit: that of a file, or of ``CODE:VISIT`` of the book; of ``CODE`` the last one.

    Which visit of the book it is is told, unless it was named.

    Raises
    ------
    FoldspanError
        As ``visits_given``.
    """
    found = visits_given([given], book, accept_unusual=accept_unusual).visits
    if len(found) > 1:
        day = "no date recorded" if found[-1].day is None else found[-1].day.isoformat()
        typer.echo(f"The last of {len(found)} visits of {given}, {day}.", err=True)
    return found[-1]


def _of_file(path: str, *, accept_unusual: bool) -> Visit:
    from foldspan.visit.model import Visit

    return Visit.from_file(path, accept_unusual=accept_unusual)


def _client_and_number(given: str, codes: Set[str]) -> tuple[str, str]:
    """Return the client's code and the number of a visit, "" for all, of ``CODE:VISIT`` or ``CODE``."""
    from foldspan.problems import FoldspanError, Problem

    typed = given.strip()
    # a code may hold a colon of its own
    code, colon, number = (typed, "", "") if typed in codes else typed.rpartition(":")
    if not colon and typed not in codes:
        code = typed
    if code not in codes:
        alike = [name for name in codes if name and name.lower() == code.lower()]
        meant = f"Did you mean {alike[0]}? " if alike else ""
        what = "neither a visit file nor a client in the book"
        remedy = f"{meant}Check the name; foldspan records list shows the clients."
        raise FoldspanError([Problem("E706", given or "VISIT", what, remedy)])
    if colon and not number:
        remedy = f"Write the number after the colon, as in {code}:1, or {code} alone."
        raise FoldspanError([Problem("E706", given, "not a visit number", remedy)])
    return code, number


def _has_range(visit: Visit) -> bool:
    """Whether a visit gets an adult range, or one for each sex; told where it does not."""
    from foldspan.results.who_gets_a_range import refusal_of

    problem = refusal_of(visit)
    if problem is not None and problem.code == "E207":  # both answers can be compared
        return True
    if problem is not None:
        typer.echo(f"Visit of {visit.day} left out: {problem.what}. [{problem.code}]", err=True)
    return problem is None

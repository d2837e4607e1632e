"""Visits given on the command line: files, or clients and visits of the book of records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from foldspan.kept_visit import KeptVisit
    from foldspan.visit import Visit


@dataclass(frozen=True, slots=True)
class Given:
    """Visits in the order given; of the last one, where it is of the book, what was noted beside it.

    ``agreed`` is whether the client agreed to share results with a clinician, None where not noted.
    """

    visits: tuple[Visit, ...]
    agreed: bool | None = None
    notes: tuple[str, ...] = ()
    not_taken: tuple[str, ...] = ()


def visits_given(
    given: Sequence[str], book: str, *, accept_unusual: bool, only_with_range: bool = False
) -> Given:
    """Return the visits of files, or those of clients of the book with the tester's own errors.

    With ``only_with_range`` visits of the book that get no adult range are left out, and that is told.

    Raises
    ------
    FoldspanError
        As ``Visit.from_file``; E706 for a client or visit that is not there or holds nothing, E301 for
        neither a file nor a client.
    """
    visits: list[Visit] = []
    last: KeptVisit | None = None
    for one in given:
        if one == "-" or Path(one).suffix.lower() in (".toml", ".json") or Path(one).exists():
            visits.append(_of_file(one, accept_unusual=accept_unusual))
            last = None
            continue
        for kept, visit in _of_book(one, book):
            if not only_with_range or _has_range(visit):
                visits.append(visit)
                last = kept
    if last is None or last.state is None:
        return Given(tuple(visits))
    from foldspan.wording_measure import not_taken

    answers = last.state.known.answers
    agreed = answers.get("consent.share")
    return Given(
        tuple(visits),
        agreed if isinstance(agreed, bool) else None,
        tuple(text for _, text in last.state.notes),
        tuple(not_taken(answers)),
    )


def _of_file(path: str, *, accept_unusual: bool) -> Visit:
    from foldspan.visit import Visit

    return Visit.from_file(path, accept_unusual=accept_unusual)


def _of_book(given: str, book: str) -> list[tuple[KeptVisit, Visit]]:
    from foldspan.book_place import book_path
    from foldspan.kept_visit import kept_visits
    from foldspan.own_errors import visits_with_own
    from foldspan.problems import FoldspanError, Problem
    from foldspan.records import Book

    code, _, number = given.partition(":")
    place = book_path(book)
    if not Path(place).is_file():
        what = "no such file, and no book of records to look for a client"
        remedy = "Check the name; a visit file ends in .toml or .json, a book is named by --book."
        raise FoldspanError([Problem("E301", given, what, remedy)])
    with Book.read(place) as opened:
        what, remedy = "", "Check the name; foldspan records list shows the clients."
        if code not in {known for _, known in opened.all_visits()}:
            what = "neither a visit file nor a client of the book"
            raise FoldspanError([Problem("E706", given, what, remedy)])
        found = list(visits_with_own(opened, kept_visits(opened, code, number)))
    if not found:
        what = "no visit that is ended and in which something was measured"
        remedy = "Look at it with foldspan records show."
        raise FoldspanError([Problem("E706", given, what, remedy)])
    return found


def _has_range(visit: Visit) -> bool:
    """Whether a visit gets an adult range; told where it does not."""
    from foldspan.api import refusal_of

    problem = refusal_of(visit)
    if problem is not None:
        typer.echo(f"Visit of {visit.day} left out: {problem.what}. [{problem.code}]", err=True)
    return problem is None

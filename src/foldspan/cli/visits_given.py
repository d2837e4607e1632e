"""Visits given on the command line: files, or clients and visits of the book of records."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from foldspan.records.visits import KeptVisit
    from foldspan.visit.model import Visit


@dataclass(frozen=True, slots=True)
class Given:
    """Visits in the order given, and what the book knows beside them.

    ``agreed`` is the last recorded answer to whether results may go to a clinician, None where there is
    none; ``is_careful`` whether any visit of the book, given or not, tells of a worry about eating;
    ``wants_none`` whether the client did not want to see the results of the last visit; ``was_asked``
    whether a session asked its questions there. ``notes``, ``not_taken`` and the key of its
    ``plan`` are of the last visit.
    """

    visits: tuple[Visit, ...]
    agreed: bool | None = None
    is_careful: bool = False
    wants_none: bool = False
    was_asked: bool = False
    notes: tuple[str, ...] = ()
    not_taken: tuple[str, ...] = ()
    plan: str = ""


def visits_given(
    given: Sequence[str], book: str, *, accept_unusual: bool, only_with_range: bool = False
) -> Given:
    """Return the visits of files, or those of clients of the book with the tester's own errors.

    With ``only_with_range`` visits of the book that get no adult range are left out, and that is told.

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
        found, known = _of_book(path, book)
        kept_all += known
        for kept, visit in found:
            if not only_with_range or _has_range(visit):
                visits.append(visit)
                last = kept
    return _with_records(tuple(visits), kept_all, last)


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
        day = "a day not noted" if found[-1].day is None else found[-1].day.isoformat()
        typer.echo(f"The last of {len(found)} visits of {given}, {day}.", err=True)
    return found[-1]


def _with_records(
    visits: tuple[Visit, ...], kept_all: Sequence[KeptVisit], last: KeptVisit | None
) -> Given:
    """Return the visits with what all records of their client hold: consent, worry about eating."""
    from foldspan.text.measure import not_taken

    in_order = sorted(kept_all, key=lambda visit: (visit.day, visit.row))
    answers = [visit.state.known.answers for visit in in_order if visit.state is not None]
    shared = [answer.get("consent.share") for answer in answers]
    agreed = [share for share in shared if isinstance(share, bool)]
    of_last = last.state if last is not None else None
    seen = {} if of_last is None else of_last.known.answers
    return Given(
        visits,
        agreed=agreed[-1] if agreed else None,
        is_careful=any(visit.tree.get("intake", {}).get("eating_concern") for visit in in_order),
        wants_none=seen.get("consent.show") is False,
        was_asked=of_last is not None,
        notes=() if of_last is None else tuple(text for _, text in of_last.notes),
        not_taken=tuple(not_taken(seen)),
        plan=str(seen.get("plan") or ""),
    )


def _of_file(path: str, *, accept_unusual: bool) -> Visit:
    from foldspan.visit.model import Visit

    return Visit.from_file(path, accept_unusual=accept_unusual)


def _of_book(given: str, book: str) -> tuple[list[tuple[KeptVisit, Visit]], list[KeptVisit]]:
    """Return the visits that are named, and every visit of their client."""
    from foldspan.problems import FoldspanError, Problem
    from foldspan.records.book import Book
    from foldspan.records.location import book_path
    from foldspan.records.tester_error import visits_with_own
    from foldspan.records.visits import kept_visits

    place = book_path(book)
    if not Path(place).is_file():
        where = book or given or "VISIT"
        what = (
            "no such file"
            if book
            else ("no such file, and no record book in which to look for a client")
        )
        remedy = (
            "Check the name. A visit file ends in .toml or .json; name a record book with --book."
        )
        raise FoldspanError([Problem("E301", where, what, remedy)])
    with Book.read(place) as opened:
        codes = {known for _, known in opened.all_visits()}
        code, number = _client_and_number(given, codes)
        found = list(visits_with_own(opened, kept_visits(opened, code, number)))
        every = kept_visits(opened, code)
    if not found:
        what = "no finished visit with measurements"
        remedy = "Look at it with foldspan records show."
        raise FoldspanError([Problem("E706", given, what, remedy)])
    return found, every


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
        remedy = f"Write the number behind the colon, as in {code}:1, or {code} alone."
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

"""Restore: what ``records export`` wrote of a client, taken into a book as it was kept.

The events count; how a visit stands is worked out from them again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NoReturn

from foldspan.problems import FoldspanError, Problem
from foldspan.records.book import Book, Event
from foldspan.records.visits import MISSHAPEN, SESSION_EVENTS, KeptVisit, as_it_stands
from foldspan.visit.keys import LONGEST_CODE, SECTION_UNIT

SCHEMA_VERSION = 1
KINDS = (*SESSION_EVENTS, "imported", "corrected")


@dataclass(frozen=True, slots=True, repr=False)
class TakenIn:
    """What came of an import: how many visits came in, how many were there, and what to know of it."""

    code: str
    visits: int
    there_before: int
    remarks: tuple[str, ...]


def is_client_export(tree: Mapping[str, Any]) -> bool:
    """Whether a tree is that of a whole client, as ``records export`` writes it, and not of a visit."""
    return "visits" in tree and "code" in tree


def take_in_client(book: Book, tree: Mapping[str, Any], where: str) -> TakenIn:
    """Put an exported client into a book, with every event as it was; visits that are there stay.

    Raises
    ------
    FoldspanError
        E703 for an export of a newer version, E707 where it cannot be read as one, E122 where all its
        visits are in the book already.
    """
    if tree.get("schema_version") != SCHEMA_VERSION:
        remedy = "Update foldspan, or export it again."
        raise FoldspanError([Problem("E703", where, "written by another version", remedy)])
    code, name, listed = tree["code"], tree.get("name", ""), tree["visits"]
    if not isinstance(code, str) or not 0 < len(code) <= LONGEST_CODE or not code.isprintable():
        _stop(where, "contains no client code")
    if not isinstance(name, str) or not isinstance(listed, list) or not listed:
        _stop(where, "contains no visits")
    visits = [
        _events(visit, f"{where}: visit {order}") for order, visit in enumerate(listed, start=1)
    ]
    remarks = []
    for order, (events, given) in enumerate(zip(visits, listed, strict=True), start=1):
        found = _stands(events, code, f"{where}: visit {order}")
        if not _says_the_same(given.get("as_it_stands", found.tree), found.tree):
            remarks.append(
                f"Visit {order}: as_it_stands differs from its events; the events are used."
            )
        if found.has_ended and not _can_be_read(found):
            remarks.append(f"Visit {order}: saved, but it cannot be read as a visit.")
    known = {other for _, other in book.all_visits()}
    before = [book.events(row) for row in book.visits(code)] if code in known else []
    new = [events for events in visits if events not in before]
    if not new:
        remedy = f"Nothing was changed: all its visits are already under {code}."
        raise FoldspanError([Problem("E122", where, "is already in the book", remedy)])
    if name and code in known and book.name_of(code) not in ("", name):
        remarks.append("The name in the book is kept; the file has a different one.")
    book.take_in(code, name, new)
    return TakenIn(code, len(new), len(visits) - len(new), tuple(remarks))


def _says_the_same(given: Any, stands: Mapping[str, Any]) -> bool:
    """Whether a visit as the file shows it is what its events come to.

    An earlier version showed less of a visit than this one reads out of the same events: what it left
    out is no difference, unless it is a reading.
    """
    if not isinstance(given, Mapping):
        return False
    if any(given.get(name) != stands.get(name) for name in SECTION_UNIT):
        return False
    return all(_is_within(value, stands.get(name)) for name, value in given.items())


def _is_within(given: Any, stands: Any) -> bool:
    if isinstance(given, Mapping) and isinstance(stands, Mapping):
        return all(_is_within(value, stands.get(name)) for name, value in given.items())
    return bool(given == stands)


def _can_be_read(found: KeptVisit) -> bool:
    try:
        found.visit()
    except FoldspanError:
        return False
    return True


def _stop(where: str, what: str) -> NoReturn:
    remedy = "Import a file as foldspan records export wrote it."
    raise FoldspanError([Problem("E707", where, what, remedy)])


def _events(given: Any, where: str) -> list[Event]:
    """Return the events of one visit, each held against what the book allows."""
    listed = given.get("events") if isinstance(given, Mapping) else None
    if not isinstance(listed, list) or not listed:
        _stop(where, "contains no events")
    return [_event(event, order, where) for order, event in enumerate(listed, start=1)]


def _event(given: Any, order: int, where: str) -> Event:
    if not isinstance(given, Mapping) or set(given) != {"place", "at", "kind", "body"}:
        _stop(where, f"event {order} has the wrong form")
    place, at, kind, body = (given[name] for name in ("place", "at", "kind", "body"))
    if place != order or isinstance(place, bool) or kind not in KINDS:
        _stop(where, f"event {order} is out of order, or of an unknown kind")
    if not isinstance(body, Mapping) or not _is_time(at):
        _stop(where, f"event {order} has the wrong form")
    return Event(int(place), at, kind, body)


def _is_time(at: Any) -> bool:
    try:
        return datetime.fromisoformat(at).tzinfo is not None
    except (TypeError, ValueError):
        return False


def _stands(events: Sequence[Event], code: str, where: str) -> KeptVisit:
    """Return the visit that the events come to, which must be of this client."""
    try:
        found = as_it_stands(events, 0, code, 0)
        own = found.tree.get("client", {}).get("code", code)
    except FoldspanError:
        raise
    except MISSHAPEN:
        _stop(where, "its events are inconsistent")
    if own != code:
        _stop(where, "its events belong to another client code")
    if found.state is not None and found.state.known.get("consent.store") is not True:
        _stop(where, "its events do not include the client's consent to storage")
    return found

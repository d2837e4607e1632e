"""Tester error: a tester's technical errors, from the book of records or from ``foldspan precision``."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from foldspan.files.input import read_tree
from foldspan.measurement.accepted_values import OwnError
from foldspan.measurement.technical_error import ENOUGH_CLIENTS, as_table, is_too_alike, within
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.records.book import Book
from foldspan.records.visits import KeptVisit, kept_visit

# A technical error beyond this share of the reading is a slip of the table, not a tester.
LARGEST_RELATIVE, MOST_DEGREES = 50.0, 1e6
KINDS = ("skinfold", "girth", "breadth")


class KeptRepeats(NamedTuple):
    """Readings of one site at one kept visit, two or more, taken in the usual manner."""

    visit: int  # its row in the book
    code: str
    tester: str
    calliper: str
    quantity: str
    readings: tuple[float, ...]


def repeats_of(book: Book) -> tuple[KeptRepeats, ...]:
    """Return every site of a book that was read twice or more; visits that cannot be read have none."""
    found: list[KeptRepeats] = []
    for row, code in book.all_visits():
        kept = kept_visit(book, row, code)
        if kept.has_ended:
            found += repeats_at(kept)
    return tuple(found)


def repeats_at(kept: KeptVisit) -> Iterator[KeptRepeats]:
    """Yield every site of one visit that was read twice or more; none where it cannot be read."""
    try:
        visit = kept.visit()
    except FoldspanError:
        return
    odd = {*visit.how_taken.over_clothing, *visit.how_taken.left_side}
    for name, site in visit.sites.items():
        if len(site.readings) > 1 and not site.is_at_least and name not in odd:
            yield KeptRepeats(
                kept.row, kept.code, visit.tester, visit.calliper, name, site.readings
            )


def own_errors_of(repeats: Sequence[KeptRepeats], visit: KeptVisit) -> dict[str, OwnError]:
    """Return the own technical errors of a visit's tester, from other visits of the book.

    Only sites repeated on enough clients count, and for folds only those with the same calliper. Weight
    and height have none: what they differ by from day to day does not show in repeats of a minute.
    """
    rows: dict[str, list[KeptRepeats]] = defaultdict(list)
    for other in repeats:
        kind = BY_NAME[other.quantity].kind
        if other.tester != visit.tester or other.visit == visit.row or kind not in KINDS:
            continue
        if kind != "skinfold" or other.calliper == visit.calliper:
            rows[other.quantity].append(other)
    found = {}
    for name, taken in rows.items() if visit.tester else ():
        error = within(as_table([other.readings for other in taken]))
        # no difference at all in so many repeats: they were not blind, and tell nothing
        if error is None or is_too_alike(error, name):
            continue
        if len({x.code for x in taken}) < ENOUGH_CLIENTS:
            continue
        found[name] = OwnError(error.relative / 100.0, float(error.degrees))
    return found


def read_own_errors(path: str, tester: str) -> dict[str, OwnError]:
    """Return a tester's own errors from the JSON of ``foldspan precision``.

    Raises
    ------
    FoldspanError
        As ``read_tree``; E601 where the file has another shape or does not know the tester.
    """
    tree = read_tree(path)
    listed = tree.get("own_errors")
    if not isinstance(listed, Mapping):
        raise _fault(
            path, "not written by foldspan precision", "Create one: foldspan precision -o."
        )
    if tester not in listed:
        what = "this visit's tester is not in it, or has measured too few clients twice"
        remedy = f"Measure {ENOUGH_CLIENTS} clients twice, and write the tester's code in [visit]."
        raise _fault(path, what, remedy)
    if not isinstance(listed[tester], Mapping) or not listed[tester]:
        raise _fault(path, "the errors of this tester cannot be read", ("Create the file again."))
    return {name: _own_error(path, name, given) for name, given in listed[tester].items()}


def _own_error(path: str, name: str, given: Any) -> OwnError:
    try:
        relative, degrees = float(given["relative"]), float(given["degrees"])
        sound = (
            name in MEASURED
            and BY_NAME[name].kind in KINDS
            and 0.0 < relative <= LARGEST_RELATIVE
            and 1.0 <= degrees <= MOST_DEGREES
        )
    except (KeyError, TypeError, ValueError):
        sound = False
    if not sound:
        raise _fault(path, f"the error for {name} cannot be used", "Create the file again.")
    return OwnError(relative / 100.0, degrees)


def _fault(path: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem("E601", path, what, remedy)])

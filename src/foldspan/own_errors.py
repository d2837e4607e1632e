"""Own errors: a tester's technical errors, from the book of records or from ``foldspan precision``."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

import numpy as np

from foldspan.files import read_tree
from foldspan.kept_visit import kept_visit
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import MEASURED
from foldspan.readings import OwnError
from foldspan.records import Book
from foldspan.tester_precision import ENOUGH_CLIENTS, within
from foldspan.visit_reader import MOST_READINGS

# A technical error beyond this share of the reading is a slip of the table, not a tester.
LARGEST_RELATIVE = 50.0


def own_errors_of(book: Book, tester: str) -> dict[str, OwnError]:
    """Return a tester's own technical errors, for sites repeated on enough clients of the book."""
    if not tester:
        return {}
    rows: dict[str, list[tuple[str, tuple[float, ...]]]] = defaultdict(list)
    for number, code in book.all_visits():
        kept = kept_visit(book, number, code)
        if not kept.has_ended or kept.tester != tester:
            continue
        for name, site in kept.visit().sites.items():
            if len(site.readings) > 1 and not site.is_at_least:
                rows[name].append((code, site.readings))
    found = {}
    for name, repeats in rows.items():
        table = np.full((len(repeats), MOST_READINGS), np.nan)
        for row, (_, readings) in enumerate(repeats):
            table[row, : len(readings)] = readings
        error = within(table)
        if error is not None and len({code for code, _ in repeats}) >= ENOUGH_CLIENTS:
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
        raise _fault(path, "not a file of foldspan precision", "Write one: foldspan precision -o.")
    if tester not in listed:
        what = "holds no tester with enough clients by the code of this visit"
        remedy = f"Measure {ENOUGH_CLIENTS} clients twice, and write the tester's code in [visit]."
        raise _fault(path, what, remedy)
    return {name: _one(path, name, given) for name, given in dict(listed[tester]).items()}


def _one(path: str, name: str, given: Any) -> OwnError:
    try:
        relative, degrees = float(given["relative"]), float(given["degrees"])
        sound = name in MEASURED and 0.0 <= relative <= LARGEST_RELATIVE and degrees >= 1.0
    except (KeyError, TypeError, ValueError):
        sound = False
    if not sound:
        raise _fault(path, f"the error of {name} cannot be used", "Write the file anew.")
    return OwnError(relative / 100.0, degrees)


def _fault(path: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem("E601", path, what, remedy)])

"""Counts: what was counted over rows; tallies of parts add up to that of the whole.

Only whole numbers are kept, so that the sum is the same whatever the parts and their order.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.quantities import BY_NAME, MEASURED, SEXES
from foldspan.screening.group.grids import count_people
from foldspan.tables.answers import VERDICTS, Answers
from foldspan.tables.bands import MEASURES
from foldspan.tables.cells import Words
from foldspan.tables.findings import Mark
from foldspan.tables.flags import worst_level
from foldspan.text.screen import LOST_ROWS, MATTER, why_no_range

COUNTERS = (
    "problems", "looks_like", "without_range", "verdicts", "flags", "levels", "given",
    "bands", "banded", "readings", "fives", "repeats", "unread", "letters", "not_asked", "people",
    "placed", "leveled", "changes",
)  # fmt: skip
# a column that names more testers than this names something else, and is left alone
MOST_TESTERS = 5_000
FEWEST_MEASURED = 5


@dataclass(slots=True, repr=False)
class Tally:
    """Counts over rows; keys are texts, parts of a key have a bar between them."""

    rows: int = 0
    """Rows read [rows]."""
    with_range: int = 0
    """Rows with a range [rows]."""
    counters: dict[str, Counter[str]] = field(
        default_factory=lambda: {name: Counter() for name in COUNTERS}
    )
    """Kind → key → how many [rows]; parts of a key have a bar between them."""

    def __iadd__(self, other: Tally) -> Tally:
        """Add the tally of more rows."""
        self.rows += other.rows
        self.with_range += other.with_range
        for name, counter in self.counters.items():
            counter.update(other.counters[name])
        if len(self.counters["readings"]) > 4 * MOST_TESTERS:
            self.counters["readings"].clear()
            self.counters["fives"].clear()
        return self

    def to_dict(self) -> dict[str, Any]:
        """Return the counts as plain values, in the order of their keys."""
        return {
            "rows": self.rows,
            "with_range": self.with_range,
            # a table that is compared with none says nothing of changes
            **{
                name: dict(sorted(counter.items()))
                for name, counter in self.counters.items()
                if counter or name != "changes"
            },
        }

    @classmethod
    def from_dict(cls, kept: dict[str, Any]) -> Tally:
        """Return a tally from its ``to_dict``."""
        counters = {name: Counter(kept.get(name, {})) for name in COUNTERS}
        return cls(kept["rows"], kept["with_range"], counters)


class Unread(NamedTuple):
    """Rows of which something that matters could not be read, each bool (N,).

    In ``referral`` somebody to be referred may be missed; those of ``size`` have neither a body mass
    index nor a fault that says why, in a table that has sizes.
    """

    referral: Array
    size: Array


def tally_of(answers: Answers, testers: Words | None, unread: Unread) -> Tally:
    """Count what is said of some rows; ``testers`` where the table names them."""
    tally = Tally(answers.verdict.size, int(answers.has_range.sum()))
    count = tally.counters
    _count_problems(answers, count)
    count["unread"]["rows"] += int(np.count_nonzero(unread.referral))
    count["unread"]["size"] += int(np.count_nonzero(unread.size))
    without = answers.problems.subset(~answers.has_range)
    for marks, rows in without.counts().items():
        count["without_range"][why_no_range(marks)] += rows
    for place, word in enumerate(VERDICTS[1:], start=1):
        count["verdicts"][word] += int(np.count_nonzero(answers.verdict == place))
    for codes, rows in answers.flags.counts().items():
        for code in codes:
            count["flags"][code] += rows
        count["levels"][worst_level(codes) or "none"] += rows
    refused = answers.problems.rows_by(_refused_columns)
    for name, site in answers.clients.sites.items():
        given = ~np.isnan(site.value)
        if name in refused:
            given |= refused[name]
        count["given"][name] += int(np.count_nonzero(given))
    _count_bands(answers, count)
    count_people(answers, count)
    if testers is not None:
        _count_readings(answers, testers, count)
    for counter in count.values():
        for key in [key for key, number in counter.items() if not number]:
            del counter[key]
    return tally


def unread_in(answers: Answers) -> Unread:
    """Return the rows of which something that matters could not be read."""
    clients, length = answers.clients, answers.verdict.size
    faulty = answers.problems.rows_where(may_hide_a_referral)
    size = np.zeros(length, dtype=bool)
    if {"weight_kg", "height_cm"} <= set(clients.sites):
        size = np.isnan(clients.bmi(np.arange(length)).value) & ~faulty
    return Unread(faulty | size, size)


def _count_problems(answers: Answers, count: dict[str, Counter[str]]) -> None:
    """Count the rows of every mark; the marks are few and the patterns they make are many."""
    marked: Counter[Mark] = Counter()
    for marks, rows in answers.problems.counts().items():
        for mark in dict.fromkeys(marks):
            marked[mark] += rows
        alike: dict[str, str] = {}  # a row counts once, whatever the number of its readings
        for mark in marks:
            if mark.looks_like:
                key = f"{mark.name}|{mark.looks_like}"
                alike[key] = min(alike.get(key, mark.code), mark.code)  # the surest: E before W
        for key, code in alike.items():
            count["looks_like"][f"{key}|{code}"] += rows
    for mark, rows in marked.items():
        count["problems"][mark.short] += rows


def _refused_columns(mark: Mark) -> list[str]:
    """Return the columns whose number was given and not used, by itself or as it fits no other."""
    return mark.name.split(", ") if mark.code in ("E102", "E107") else []


@cache
def may_hide_a_referral(mark: Mark) -> bool:
    """Whether somebody to be referred may be missed for a problem; see ``MATTER``."""
    return mark.code in LOST_ROWS or (mark.code.startswith("E") and mark.name in MATTER)


def _count_bands(answers: Answers, count: dict[str, Counter[str]]) -> None:
    bands = answers.bands
    for (sex, measure), shares in bands.shares.items():
        for label, share in zip(bands.labels(measure), shares, strict=True):
            count["bands"][f"{measure}|{sex}|{label}"] += int(share)
    for measure in MEASURES:
        known = bands.places[measure] >= 0
        for place, sex in enumerate(SEXES):
            here = known & (answers.clients.sexes == place)
            count["banded"][f"{measure}|{sex}"] += int(np.count_nonzero(here))


def _count_readings(answers: Answers, testers: Words, count: dict[str, Counter[str]]) -> None:
    """How many first readings each tester took by kind, and how many of them end on whole fives."""
    several = len(testers.different)
    for name, (values, *_) in answers.readings.items():
        taken = ~np.isnan(values)
        fives = taken & (np.remainder(values, 5.0) == 0.0)
        both = [np.bincount(testers.places[rows], minlength=several) for rows in (taken, fives)]
        for place in np.flatnonzero(both[0]):
            if tester := testers.different[place]:
                key = f"{BY_NAME[name].kind}|{tester}"
                count["readings"][key] += int(both[0][place])
                count["fives"][key] += int(both[1][place])


def row_hashes(answers: Answers) -> Array:
    """Return one number a row from sex, age and measurements, 0 where too few were taken, (N,).

    Two rows of one number are the same but for a chance of about 1 in 10¹⁹.
    """
    clients = answers.clients
    mixed = clients.sexes.astype(np.uint64)
    _mix(mixed, clients.age, np.isnan(clients.age))
    number = np.zeros(mixed.size, dtype=np.int8)
    for name in MEASURED:
        if name in clients.sites:
            values = clients.sites[name].value
            unknown = np.isnan(values)
            number += ~unknown
            _mix(mixed, values, unknown)
        else:
            mixed *= _ODD
    # a polynomial leaves its last terms in the low bits: stir them, as a splitting generator does
    mixed ^= mixed >> np.uint64(29)
    mixed *= np.uint64(0xBF58476D1CE4E5B9)
    mixed ^= mixed >> np.uint64(32)
    return np.where(number >= FEWEST_MEASURED, mixed | np.uint64(1), np.uint64(0))


_ODD = np.uint64(0x9E3779B97F4A7C15)


def _mix(so_far: Array, values: Array, unknown: Array) -> None:
    """Take one more column into the numbers, in place, as the next term of a polynomial."""
    known = np.where(unknown, -1.0, values) if unknown.any() else values
    so_far *= _ODD
    so_far += known.view(np.uint64)

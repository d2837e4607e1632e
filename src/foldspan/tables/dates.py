"""Dates: columns of dates as days, and what two of them say of an age or of a time gone by."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.quantities import BY_NAME
from foldspan.tables.cells import Words
from foldspan.tables.rows import Rows
from foldspan.visit.age import SAME_AGE
from foldspan.visit.calendar import read_days, years_between_each

_UNKNOWN = np.datetime64("NaT", "D")


@dataclass(frozen=True, slots=True, repr=False)
class Days:
    """For N rows the first and the last day a cell may mean, ``datetime64[D]``; ``NaT`` where unknown.

    ``unread`` are the rows whose cell holds something that is no date.
    """

    first: Array
    last: Array
    unread: Array

    @property
    def exact(self) -> Array:
        """Which rows name one day, bool (N,)."""
        return np.asarray(self.first == self.last)


def days_of(words: Words) -> Days:
    """Read a column of dates, each different text once."""
    spans = [read_days(word) for word in words.different]
    first, last = (
        np.array([_UNKNOWN if span is None else span[end] for span in spans], dtype="datetime64[D]")
        for end in (0, 1)
    )
    bad = np.array(
        [bool(word) and span is None for word, span in zip(words.different, spans, strict=True)]
    )
    return Days(first[words.places], last[words.places], bad[words.places])


def visit_days(rows: Rows) -> Days:
    """The days of the visits; a label that is no date tells none and is nobody's fault."""
    days = days_of(rows.words("date"))
    today = np.datetime64(date.today(), "D")
    wrong = days.last > today
    return Days(
        np.where(wrong, _UNKNOWN, days.first), np.where(wrong, _UNKNOWN, days.last), days.unread
    )


def held_against_birth(rows: Rows, given: Array) -> Array:
    """Return the age [years] of every row: from both dates where they are known, else as it was told.

    Where the two contradict each other nothing is known, and the row is marked; no visit is later
    than today.
    """
    if not rows.has("birth_date"):
        return given
    born, day = days_of(rows.words("birth_date")), visit_days(rows)
    latest = np.where(np.isnat(day.last), np.datetime64(date.today(), "D"), day.last)
    oldest = years_between_each(born.first, latest)
    youngest = years_between_each(born.last, day.first)
    late = born.first > latest
    # a day or month not known may put a birth after the visit in the same year
    youngest = np.where(born.last > day.first, 0.0, youngest)
    low, high = BY_NAME["age_years"].possible(None)
    # of a visit of an unknown day: as if it were of today
    outside = ~late & ((oldest < low) | (np.where(np.isnan(youngest), oldest, youngest) > high))
    with np.errstate(invalid="ignore"):
        apart = (given - oldest > SAME_AGE) | (youngest - given > SAME_AGE)
    rows.mark(born.unread, "E117", "birth_date")
    rows.mark(late, "E118", "birth_date")
    rows.mark(outside, "E102", "birth_date")
    rows.mark(apart & ~late & ~outside, "E119", "age_years")
    computed = born.exact & day.exact & ~late & ~outside
    age = np.where(computed, youngest, given)
    return np.where(apart | late | outside, np.nan, age)

"""Reading the calendar: ages from two dates, and the time of the day."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from typing import Any

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.units import Note


def read_hour(note: Note, given: Any) -> float | None:
    """Return the time of the day [h] from a text such as "07:30" or a time, or None."""
    if given is None:
        return None
    try:
        read = time.fromisoformat(given) if isinstance(given, str) else given
    except ValueError:
        read = None
    if not isinstance(read, time):
        note("E117", "[visit] time", "not a time of the day", 'Write "07:30".', given)
        return None
    return read.hour + read.minute / 60.0


def years_between(born: date, day: date) -> float:
    """Return completed years and the share of the running one."""
    return float(years_between_each(_days([born]), _days([day]))[0])


def _days(some: list[date]) -> Array:
    return np.array(some, dtype="datetime64[D]")


def years_between_each(born: Array, day: Array) -> Array:
    """Return completed years and the share of the running one for N pairs of days, NaN where unknown.

    ``born`` and ``day`` are ``datetime64[D]`` of shape (N,); ``NaT`` is unknown.
    """
    known = ~(np.isnat(born) | np.isnat(day))
    some, then = born[known], day[known]
    # a birthday on 29 February falls on 1 March in a short year
    month, rest = _month_and_day(some)
    is_leap_day = (month == 2) & (rest == 29)
    month, rest = np.where(is_leap_day, 3, month), np.where(is_leap_day, 1, rest)
    # whether it was reached is asked of the day as it is written
    reached = np.stack(_month_and_day(then)) - np.stack(_month_and_day(some))
    before = (reached[0] < 0) | ((reached[0] == 0) & (reached[1] < 0))
    years = _year(then) - _year(some) - before
    last = _first_of(_year(some) + years, month) + (rest - 1).astype("timedelta64[D]")
    shares = np.minimum((then - last).astype(np.int64), 364) / 366.0
    found = np.full(born.shape, np.nan)
    found[known] = np.where(then >= last, years + shares, years)
    return found


def _year(days: Array) -> Array:
    return days.astype("datetime64[Y]").astype(np.int64) + 1970


def _month_and_day(days: Array) -> tuple[Array, Array]:
    months = days.astype("datetime64[M]")
    return months.astype(np.int64) % 12 + 1, (days - months).astype(np.int64) + 1


def _first_of(years: Array, months: Array) -> Array:
    whole = (years - 1970) * 12 + months - 1
    return whole.astype("datetime64[M]").astype("datetime64[D]")


_MONTHS = (
    "jan januar january janvier", "feb februar february fevrier février",
    "mar mär märz maerz march mars",
    "apr april avril", "may mai", "jun juni june juin", "jul juli july juillet", "aug august août aout",
    "sep sept september septembre", "oct okt oktober october octobre", "nov november novembre",
    "dec dez dezember december décembre decembre",
)  # fmt: skip
_MONTH_OF = {word: place for place, some in enumerate(_MONTHS, start=1) for word in some.split()}
Span = tuple[date, date]


def read_days(text: str) -> Span | None:
    """Return the first and the last day that a text may mean, or None where it is no date.

    A year alone means any of its days; ``04/03/2026`` may be a day of March or of April.

    Examples
    --------
    >>> read_days("2026-03-04")
    (datetime.date(2026, 3, 4), datetime.date(2026, 3, 4))
    >>> read_days("04.03.2026") == read_days("4 March 2026") == read_days("2026-03-04")
    True
    """
    words = " ".join(text.lower().replace(",", " ").split())
    words = re.sub(r"[ t]\d{1,2}:\d{2}.*$", "", words)
    found = [day for day in (_day_of(*parts) for parts in _parts_of(words)) if day is not None]
    if found:
        return min(found), max(found)
    year = re.fullmatch(r"(\d{4})(?:\.0)?", words)
    month = re.fullmatch(r"(\d{4})[-/.](\d{1,2})|(\d{1,2})[-/.](\d{4})", words)
    if year and 1800 <= int(year[1]) <= 2200:
        return date(int(year[1]), 1, 1), date(int(year[1]), 12, 31)
    if month:
        year_number, month_number = int(month[1] or month[4]), int(month[2] or month[3])
        first, last = _day_of(year_number, month_number, 1), _day_of(year_number, month_number, 28)
        return None if first is None or last is None else (first, last + timedelta(days=3))
    return None


def _parts_of(words: str) -> list[tuple[int, int, int]]:
    """Year, month and day as a text may mean them."""
    if match := re.fullmatch(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", words):
        return [(int(match[1]), int(match[2]), int(match[3]))]
    if match := re.fullmatch(r"(\d{4})(\d{2})(\d{2})", words):
        return [(int(match[1]), int(match[2]), int(match[3]))]
    if match := re.fullmatch(r"(\d{1,2})\.? ?([^\W\d]+)\.? ?(\d{4}|\d{2})", words):
        return [(_whole_year(match[3]), _MONTH_OF.get(match[2], 0), int(match[1]))]
    if match := re.fullmatch(r"([^\W\d]+)\.? (\d{1,2})(?:st|nd|rd|th)? (\d{4})", words):
        return [(int(match[3]), _MONTH_OF.get(match[1], 0), int(match[2]))]
    match = re.fullmatch(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})", words)
    if match is None:
        return []
    year, first, second = _whole_year(match[4]), int(match[1]), int(match[3])
    # with points the day stands first; with other signs nobody can know
    return [(year, second, first), *([(year, first, second)] if match[2] != "." else [])]


def _whole_year(text: str) -> int:
    """A year of two digits is the last one that has begun."""
    if len(text) == 4:
        return int(text)
    now = date.today().year
    return now - (now - int(text)) % 100


def _day_of(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def oldest_at(born: date, day: date | None) -> float:
    """Return the age [years] on a day, on today where the day is not known: none can be older."""
    return years_between(born, min(day or date.today(), date.today()))

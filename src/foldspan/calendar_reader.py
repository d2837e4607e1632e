"""Reading the calendar: ages from two dates, and the time of the day."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from foldspan.plain_number import Note


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
    years = day.year - born.year - ((day.month, day.day) < (born.month, born.day))
    # a birthday on 29 February falls on 1 March in a short year
    month, rest = (3, 1) if (born.month, born.day) == (2, 29) else (born.month, born.day)
    last = date(born.year + years, month, rest)
    return years + min((day - last).days, 364) / 366.0 if day >= last else float(years)

"""Reading an age: told in years or from two dates, which are held against each other."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Protocol

from foldspan.quantities import BY_NAME, Quantity
from foldspan.visit.calendar import oldest_at, years_between

# completed years are told, so an age may differ by one from that of the dates
SAME_AGE = 1.0


class Reader(Protocol):
    """What reading needs of the reader of the whole visit; see ``reader``."""

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""

    def day(self, given: Any, place: str) -> date | None:
        """Return a date, or None."""

    def number(self, given: Any, quantity: Quantity, place: str, sex: None) -> float | None:
        """Return a number inside the spans of its quantity, or None."""


def read_age(
    reader: Reader, client: Mapping[str, Any], day: date | None, *, has_day: bool
) -> float | None:
    """Return the age [years] from a visit file, or from the two dates; problems go to the reader.

    Where the day of the visit is not known a told age is held against the birth date all the same:
    nobody was older then than today.
    """
    given, place = client.get("age_years"), "[client] age_years"
    born = reader.day(client.get("birth_date"), "[client] birth_date")
    age = None
    if given is not None:
        age = reader.number(given, BY_NAME["age_years"], place, None)
    if born is None:
        if given is None and "birth_date" not in client:
            reader.note("E112", place, "missing", "Add age_years or birth_date.")
        return age
    if day is not None and born > day:
        reader.note("E118", "[client] birth_date", "after the visit", "Check both dates.")
        return age
    if age is not None and age - oldest_at(born, day) > SAME_AGE:
        reader.note("E119", place, "does not match birth_date", "Keep one of them.")
        return age
    if day is None:
        if given is None and not has_day:
            reader.note("E112", "[visit] date", "needed with birth_date", "Add date to [visit].")
        return age
    computed = years_between(born, day)
    low, high = BY_NAME["age_years"].possible(None)
    if not low <= computed <= high:
        what = f"gives an age outside {low:g} to {high:g} years"
        reader.note("E102", "[client] birth_date", what, "Check the year.", born)
        return age
    if age is not None and computed - age > SAME_AGE:
        reader.note("E119", place, "does not match birth_date", "Keep one of them.")
    return computed

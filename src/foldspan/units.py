"""Units: what was typed as a number, or a text with its unit, as a finite float."""

from __future__ import annotations

import math
from numbers import Real
from typing import Any, Protocol

from foldspan.quantities import UnreadableValue, read_value


class Note(Protocol):
    """Takes a problem down: code, place, what, remedy, and what was typed."""

    def __call__(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""


def plain_number(
    note: Note, given: Any, unit: str, place: str, *, shape: str, again: str
) -> float | None:
    """Return a finite number in ``unit``, or None with a problem.

    Parameters
    ----------
    note : callable
        Takes the problem: E101 for what is no number, E104, E105 or E108 for its unit or comma, E106
        where it is not finite.
    given : object
        A number, or a text with or without its unit; see ``quantities.read_value``.
    unit, place : str
        Canonical unit, and where it stands.
    shape, again : str
        Remedies for what has another shape, and for what is not finite.
    """
    if isinstance(given, str):
        try:
            value = read_value(given, unit)
        except UnreadableValue as error:
            note(error.code, place, error.what, error.remedy, given)
            return None
    elif isinstance(given, bool) or not isinstance(given, Real):
        note("E101", place, "not a number", shape)
        return None
    else:
        try:
            value = float(given)
        except OverflowError:  # an integer of hundreds of digits
            value = math.inf
    if not math.isfinite(value):
        note("E106", place, "not a finite number", again)
        return None
    return value

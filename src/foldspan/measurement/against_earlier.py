"""Against earlier values: how far a body moves between two visits, or since what was told of it."""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.quantities import BY_NAME, DAYS_A_YEAR, KILOGRAMS_PER, WEEKS_A_MONTH

WEEKS_A_YEAR = DAYS_A_YEAR / 7.0
# A grown client's height does not change by more than this between visits [cm] (our choice).
HEIGHT_MOVES = 1.5
# How far a reading may lie from the last visit: folds 40 %, girths 8 %, height 1.5 cm, weight 1.5 % a
# week (our choice, no source); bones like girths.
MOVES = {"skinfold": 0.40, "girth": 0.08, "breadth": 0.08, "height": HEIGHT_MOVES, "mass": 0.015}
# weeks taken to lie between where a date is missing
LONG_AGO = 8.0
# Share of an earlier weight as reported: what is gained or lost beyond it is asked back, however long
# ago that was (our choice); within it 1.5 % a week, as between visits.
MOST_MOVED = 0.25
# ages are told in whole years as a rule, and a visit may be dated a week off [years]
WHOLE_YEAR, A_FEW_DAYS = 1.0, 0.02
# ages are often whole years: two may be off by this much beside their dates [years]
AGE_MAY_DIFFER = 1.5
# Two rows of one code whose heights differ by more are of two people, or one was mistyped; who is older
# than the age from which height is lost may have lost it [cm, years] (ours).
HEIGHT_OF_ANOTHER, HEIGHT_MAY_BE_LOST = 5.0, 50.0
# how far below that of pounds and kilograms the ratio of two weights may lie (ours)
LIKE_POUNDS = 0.15


def is_far_from_last(name: str, value: float, before: float, weeks: float | None) -> bool:
    """Whether a reading lies further from that of the last visit than a body moves.

    ``weeks`` have passed since, None where a date is missing.
    """
    kind = BY_NAME[name].kind
    allowed = MOVES[kind] * (1.0 if kind == "height" else before)
    if kind == "mass":
        allowed *= max(weeks or LONG_AGO, 1.0)
    return abs(value - before) > allowed


def is_far_from_reported(weight: float, before: float, months: float | None) -> bool:
    """Whether a weight [kg] hardly goes with an earlier one that was told, so many months ago."""
    weeks = (LONG_AGO if months is None else months * WEEKS_A_MONTH) or 1.0
    return abs(weight - before) > before * min(MOST_MOVED, MOVES["mass"] * max(weeks, 1.0))


def may_be_aged(now: float, before: float | None, weeks: float | None) -> bool:
    """Whether somebody can be this old [years] now who told an age some weeks ago."""
    if before is None or weeks is None:
        return True
    today = before + weeks / WEEKS_A_YEAR
    return today - WHOLE_YEAR - A_FEW_DAYS < now < today + WHOLE_YEAR + A_FEW_DAYS


def is_of_another_person(before: Array, now: Array, age: Array) -> BoolArray:
    """Return whose heights [cm] at two visits can hardly be of one grown person, (N,)."""
    with np.errstate(invalid="ignore"):
        moved = np.abs(now - before) > HEIGHT_OF_ANOTHER
        return np.asarray(moved & ~((age >= HEIGHT_MAY_BE_LOST) & (now < before)))


def pounds_apart(before: Array, now: Array) -> BoolArray:
    """Return whose weights at two visits differ as pounds and kilograms do, or by more, (N,)."""
    pounds = 1.0 / KILOGRAMS_PER["lb"]
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.maximum(before, now) / np.minimum(before, now)
        return np.asarray(ratio >= (1.0 - LIKE_POUNDS) * pounds)

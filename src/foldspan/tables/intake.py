"""Intake columns of a table: what clients told, as arrays, and who gets no adult range for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.intake.as_arrays import SelfReported, losses
from foldspan.intake.pressure_text import pressures_in
from foldspan.intake.rules import (
    LISTS,
    MARKS,
    PRESSURES,
    SPANS,
    are_crossed,
    earlier_times,
    earlier_weights,
    is_pressure,
    pressure_if_right,
)
from foldspan.quantities import SEXES
from foldspan.standards.answer_words import NO
from foldspan.tables.cells import numbers_of
from foldspan.tables.columns import WORD_COLUMNS, unit_of
from foldspan.tables.dates import days_of, visit_days
from foldspan.tables.intake_words import self_reported_words
from foldspan.tables.rows import Rows

UPPER, LOWER = "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg"
PAIR = "blood_pressure_mmhg"
# numbers of the intake and the span in which they can be right
NUMBERS = {**SPANS, UPPER: PRESSURES, LOWER: PRESSURES}
COLUMNS = (
    *LISTS, *MARKS, *NUMBERS, "earlier_weight_kg", "weight_lost_kg", "earlier_weight_date",
    "loss_wanted", PAIR, *WORD_COLUMNS,
)  # fmt: skip
# said where a time is asked for: it never was; a 0 is a time
_NOT_AT_ALL = frozenset(answer for answer in NO if not answer[:1].isdigit()) - {"false"}


def read_self_reported(
    rows: Rows, weight: Array, weight_se: Array, asks_back: BoolArray
) -> SelfReported:
    """Return what every row told; what cannot be read is left out and marked.

    Words of a list stand in one cell, or in a column each. ``weight`` and its standard error [kg] are
    those of the visit; ``asks_back`` (N,) says whom the spans of adults are for.
    """
    if not any(map(rows.has, COLUMNS)):
        return SelfReported(rows.length)
    words = self_reported_words(rows)
    for name in MARKS:
        if rows.has(name):
            yes = rows.truths(name)[0]
            words[name] = words[name] | yes if name in words else yes
    numbers = {name: _number(rows, name, span) for name, span in NUMBERS.items()}
    numbers |= _wanted(rows)
    numbers["earlier_weight_months_ago"] = _months(rows, numbers["earlier_weight_months_ago"])
    earlier = _earlier_weight(rows, weight, asks_back)
    numbers |= losses(earlier, weight, weight_se)
    numbers["loss_months"] = numbers.pop("earlier_weight_months_ago")
    numbers |= _pressures(rows, numbers.pop(UPPER), numbers.pop(LOWER))
    _unusual_for_men(rows, words, numbers)
    numbers = {name: values for name, values in numbers.items() if not np.isnan(values).all()}
    words = {word: mark for word, mark in words.items() if mark.any()}
    return SelfReported(rows.length, words, numbers)


def _pressures(rows: Rows, upper: Array, lower: Array) -> dict[str, Array]:
    """Both pressures [mmHg], of columns of their own or of one; where they differ the higher counts."""
    pair = _pairs(rows)
    for name, own, other in ((UPPER, upper, pair[0]), (LOWER, lower, pair[1])):
        differ = ~np.isnan(own) & ~np.isnan(other) & (own != other)
        rows.mark(differ, "E125", name)
    upper, lower = np.fmax(upper, pair[0]), np.fmax(lower, pair[1])
    crossed = are_crossed(upper, lower)
    rows.mark(crossed, "E125", LOWER)
    return {
        "systolic": np.where(crossed, pressure_if_right(lower), upper),
        "diastolic": np.where(crossed, np.nan, lower),
    }


def _pairs(rows: Rows) -> tuple[Array, Array]:
    """Both pressures of a column that holds them in one cell."""
    if not rows.has(PAIR):
        return np.full(rows.length, np.nan), np.full(rows.length, np.nan)
    words = rows.words(PAIR)
    found = np.full((2, len(words.different)), np.nan)
    codes: dict[str, list[int]] = {"E101": [], "E102": [], "E120": []}
    for place, text in enumerate(words.different):
        if not text or text in NO:
            continue
        pair = pressures_in(text)
        if not pair:
            codes["E101"].append(place)
        elif not all(is_pressure(pressure) for some in pair for pressure in some):
            codes["E102"].append(place)
        else:  # of several readings the highest, so that nobody is missed
            for row in range(2):
                found[row, place] = max(
                    (number[row] for number in pair if len(number) > row), default=np.nan
                )
            if text.replace(".", "").isdigit():
                codes["E120"].append(place)  # taken for the upper, and to be looked at
    for code, some in codes.items():
        here = np.zeros(len(words.different), dtype=bool)
        here[some] = True
        rows.mark(here[words.places], code, PAIR)
    return found[0][words.places], found[1][words.places]


def _months(rows: Rows, given: Array) -> Array:
    """Months since the earlier weight, as told or between two dates; see ``IntakeReader.months``."""
    name = "earlier_weight_date"
    if not rows.has(name):
        return given
    then, day = days_of(rows.words(name)), visit_days(rows)
    known = then.exact & day.exact
    days = np.where(known, (day.first - then.first).astype(np.int64), np.nan)
    rows.mark(then.unread, "E117", name)
    rows.mark(~known & ~then.unread & ~np.isnat(then.first), "E120", name)
    found = earlier_times(given, days)
    rows.mark(found.is_not_before, "E125", name)
    rows.mark(found.is_too_far, "E102", name)
    rows.mark(found.is_apart, "E125", name)
    return found.months


def _earlier_weight(rows: Rows, weight: Array, asks_back: BoolArray) -> Array:
    """The earlier weight [kg], left out and marked where it cannot be; its partners asked for."""
    name = "earlier_weight_kg"
    earlier, lost = rows.number(name, "kg"), rows.number("weight_lost_kg", "kg")
    with np.errstate(invalid="ignore"):
        no_loss, negative = lost <= 0.0, earlier <= 0.0
    found = earlier_weights(
        weight,
        np.where(negative, np.nan, earlier),
        np.where(no_loss, np.nan, lost),
        asks_back=asks_back,
    )
    rows.mark(no_loss, "E107", "weight_lost_kg")
    rows.mark(found.is_apart, "E125", "weight_lost_kg")
    rows.mark(negative, "E107", name)
    rows.mark(found.is_halved, "E125", name)
    rows.mark(found.is_outside, "E102", name)
    has_weight = ~rows.words(name).are("") | ~rows.words("weight_lost_kg").are("")
    has_time = ~rows.words("earlier_weight_months_ago").are("")
    has_time |= ~rows.words("earlier_weight_date").are("")
    has_more = has_time | ~rows.words("loss_wanted").are("")
    rows.mark(has_weight & np.isnan(weight), "E120", name)
    rows.mark(has_more & ~has_weight, "E120", name)
    return found.value


def _number(rows: Rows, name: str, span: tuple[float, float]) -> Array:
    if not rows.has(name):
        return np.full(rows.length, np.nan)
    unit, rules = unit_of(name), rows.cells.rules
    column, given = rows.cells.columns[name][0]
    if unit == "months":
        rules = replace(rules, missing=rules.missing | _NOT_AT_ALL)
    values = rows.sound(name, numbers_of(column, given or unit, unit, rules))
    with np.errstate(invalid="ignore"):
        outside = (values < span[0]) | (values > span[1])
    rows.mark(outside, "E102", name)
    return np.where(outside, np.nan, values)


def _wanted(rows: Rows) -> dict[str, Array]:
    """Whether a loss was wanted: 1, 0, or NaN where nothing is said."""
    said = ~rows.words("loss_wanted").are("")
    yes, in_doubt = rows.truths("loss_wanted")
    return {"loss_wanted": np.where(said & ~in_doubt, yes.astype(float), np.nan)}


def _unusual_for_men(rows: Rows, words: dict[str, Array], numbers: dict[str, Array]) -> None:
    """Mark what rarely goes with the equations for men; it counts as told."""
    male = rows.sexes == SEXES.index("male")
    if "periods_stopped" in words:
        rows.mark(male & words["periods_stopped"], "W127", "periods_stopped")
    rows.mark(male & ~np.isnan(numbers["birth_months_ago"]), "W127", "birth_months_ago")

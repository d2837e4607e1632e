"""Intake columns of a table: what clients told, as arrays, and who gets no adult range for it."""

from __future__ import annotations

import re

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake_reader import LISTS, MARKS, MOST_GRIP_KG, MOST_MONTHS, PRESSURES, one_word
from foldspan.quantities import BY_NAME, SEXES
from foldspan.standards.intake_words import OLD_WORDS
from foldspan.standards.rules import MONTHS_AFTER_BIRTH, REFUSALS
from foldspan.table_layout import unit_of
from foldspan.table_reader import Rows
from foldspan.told import Told, losses

# how a form says that none of the words applies
NOTHING = frozenset({"no", "none", "nil", "nothing", "false", "0", "n"})
# numbers of the intake and the span in which they can be right
NUMBERS: dict[str, tuple[float, float]] = {
    "earlier_weight_months_ago": (0.1, MOST_MONTHS),
    "surgery_months_ago": (0.0, MOST_MONTHS),
    "birth_months_ago": (0.0, MOST_MONTHS),
    "grip_kg": (0.0, MOST_GRIP_KG),
    "blood_pressure_upper_mmhg": PRESSURES,
    "blood_pressure_lower_mmhg": PRESSURES,
}
COLUMNS = (*LISTS, *MARKS, *NUMBERS, "earlier_weight_kg", "loss_wanted")


def read_told(rows: Rows, weight: Array, weight_se: Array) -> Told:
    """Return what every row told; what cannot be read is left out and marked.

    Words of a list stand in one cell with semicolons between them. ``weight`` and its standard error
    [kg] are those of the visit.
    """
    if not any(map(rows.has, COLUMNS)):
        return Told(rows.length)
    words: dict[str, Array] = {}
    for name, known in LISTS.items():
        words |= _words(rows, name, known)
    for name in MARKS:
        if rows.has(name):
            words[name] = rows.truths(name)[0]
    numbers = {name: _number(rows, name, span) for name, span in NUMBERS.items()}
    numbers |= _wanted(rows)
    earlier = _earlier_weight(rows, weight)
    numbers |= losses(earlier, weight, weight_se)
    numbers["loss_months"] = numbers.pop("earlier_weight_months_ago")
    upper = numbers.pop("blood_pressure_upper_mmhg")
    lower = numbers.pop("blood_pressure_lower_mmhg")
    with np.errstate(invalid="ignore"):
        crossed = lower >= upper
    rows.mark(crossed, "E125", "blood_pressure_lower_mmhg")
    numbers |= {
        "systolic": np.where(crossed, np.nan, upper),
        "diastolic": np.where(crossed, np.nan, lower),
    }
    _contradictions(rows, words, numbers)
    numbers = {name: values for name, values in numbers.items() if not np.isnan(values).all()}
    words = {word: mark for word, mark in words.items() if mark.any()}
    return Told(rows.length, words, numbers)


def _earlier_weight(rows: Rows, weight: Array) -> Array:
    """The earlier weight [kg], left out and marked where it cannot be; its partners asked for."""
    name = "earlier_weight_kg"
    earlier = rows.number(name, "kg")
    low, high = BY_NAME["weight_kg"].possible(None)
    with np.errstate(invalid="ignore"):
        negative = earlier <= 0.0
        double = ~negative & (earlier >= 2.0 * weight)
        outside = ~negative & ~double & ~np.isnan(weight) & ((earlier < low) | (earlier > high))
    rows.mark(negative, "E107", name)
    rows.mark(double, "E125", name)
    rows.mark(outside, "E102", name)
    has_weight = ~rows.words(name).are("")
    has_time = ~rows.words("earlier_weight_months_ago").are("")
    has_more = has_time | ~rows.words("loss_wanted").are("")
    rows.mark(has_weight & np.isnan(weight), "E120", name)
    rows.mark(has_more & ~has_weight, "E120", name)
    rows.mark(has_weight & ~has_time, "E120", "earlier_weight_months_ago")
    return np.where(negative | double | outside, np.nan, earlier)


def refused(rows: Rows, told: Told) -> Array:
    """Mark who gets no adult range for what was told; return them, bool (N,)."""
    with np.errstate(invalid="ignore"):
        after_birth = told.number("birth_months_ago") < MONTHS_AFTER_BIRTH
    rows.mark(after_birth, "E204", "")
    found = after_birth.copy()
    for one in REFUSALS:
        if one.said:
            here = told.said(*one.said)
            rows.mark(here, one.problem, "")
            found |= here
    return found


def _words(rows: Rows, name: str, known: dict[str, str]) -> dict[str, Array]:
    found: dict[str, Array] = {}
    for cell, here in rows.words(name).rows_of():
        for word in map(one_word, re.split(r"[;,/|]", cell)):
            if not word or word in NOTHING:
                continue
            word = OLD_WORDS.get(word, word)
            if word not in known:
                rows.mark(here, "E113", name)
                continue
            found[word] = found.get(word, np.zeros(rows.length, dtype=bool)) | here
    return found


def _number(rows: Rows, name: str, span: tuple[float, float]) -> Array:
    values = rows.number(name, unit_of(name))
    with np.errstate(invalid="ignore"):
        outside = (values < span[0]) | (values > span[1])
    rows.mark(outside, "E102", name)
    return np.where(outside, np.nan, values)


def _wanted(rows: Rows) -> dict[str, Array]:
    """Whether a loss was wanted: 1, 0, or NaN where nothing is said."""
    said = ~rows.words("loss_wanted").are("")
    yes, in_doubt = rows.truths("loss_wanted")
    return {"loss_wanted": np.where(said & ~in_doubt, yes.astype(float), np.nan)}


def _contradictions(rows: Rows, words: dict[str, Array], numbers: dict[str, Array]) -> None:
    """Mark, and leave out, what does not go with the sex the equations were built for."""
    male = rows.sexes == SEXES.index("male")
    if "periods_stopped" in words:
        stopped = male & words["periods_stopped"]
        rows.mark(stopped, "E125", "periods_stopped")
        words["periods_stopped"] = words["periods_stopped"] & ~stopped
    birth = male & ~np.isnan(numbers["birth_months_ago"])
    rows.mark(birth, "E125", "birth_months_ago")
    numbers["birth_months_ago"] = np.where(birth, np.nan, numbers["birth_months_ago"])

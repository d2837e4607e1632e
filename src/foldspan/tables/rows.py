"""Reading a table: columns as arrays in canonical units, and a mark for every cell that is of no use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array, Bmi
from foldspan.interpretation.referral_measured import WHO_BMI
from foldspan.measurement.accepted_values import AcceptedColumn, accept_column
from foldspan.measurement.between_sites import (
    LEAST_BMI,
    POUNDS_FROM_BMI,
    impossible_bodies,
    in_other_unit,
    unusual_bodies,
)
from foldspan.measurement.plausibility import LEAST_YOUNG, largest_range
from foldspan.measurement.spans import (
    CODES,
    FINE,
    IMPOSSIBLE,
    INFINITE,
    NEGATIVE,
    UNUSUAL,
    likely_units,
    spans_of,
    units_meant,
)
from foldspan.quantities import BY_NAME
from foldspan.standards.answer_words import NO, YES
from foldspan.tables.cells import Numbers, TextRules, Words, numbers_of, words_of
from foldspan.tables.findings import Mark, RowMarks

NOTHING = Words(np.zeros(0, dtype=np.int64), ("",))


@dataclass(frozen=True, slots=True, repr=False)
class Cells:
    """The known columns of N rows: contract name → one to three columns, each with its unit.

    Columns are Arrow arrays of float64 or text; ``rules`` say how texts are meant.
    """

    length: int
    columns: Mapping[str, tuple[tuple[pa.Array, str], ...]]
    rules: TextRules = field(default_factory=TextRules)


class Rows:
    """The table as arrays, with the problems of every row in ``marks``."""

    def __init__(self, cells: Cells) -> None:
        self.cells = cells
        self.length = cells.length
        self.marks: RowMarks[Mark] = RowMarks(cells.length)
        self.sexes = np.full(self.length, -1)
        """Place of every row's sex in ``SEXES``, -1 where it is not known."""
        self.is_young = self.may_be_young = np.zeros(self.length, dtype=bool)
        """Who is under 18, and who may be, as the age is not known."""
        self.light = np.full(self.length, np.nan)
        """Weights [kg] outside what is possible, as they were told."""
        self.very_low_bmi = np.full(self.length, np.nan)
        """Body mass index [kg/m²] by weights that are not used, where it would be dangerously low."""
        self.says_unit = np.zeros(self.length, dtype=bool)
        """Rows whose weight stands with its unit in the cell."""
        self.readings: dict[str, list[Array]] = {}
        """Readings of every measured column, in its unit, those of no use NaN."""

    def mark(self, rows: Array, code: str, name: str = "", looks_like: str = "") -> None:
        """Add a problem to rows, given as a mask or by their numbers."""
        self.marks.add(rows, Mark(code, name, looks_like))

    def has(self, name: str) -> bool:
        """Whether the table has a column."""
        return name in self.cells.columns

    def number(self, name: str, unit: str) -> Array:
        """A column as floats in ``unit``; what cannot be read is NaN and marked."""
        if not self.has(name):
            return np.full(self.length, np.nan)
        column, given = self.cells.columns[name][0]
        return self.sound(name, numbers_of(column, given or unit, unit, self.cells.rules))

    def _mark_faults(self, name: str, read: Numbers) -> None:
        for code, rows in read.faults.items():
            self.mark(rows, code, name)

    def sound(self, name: str, read: Numbers) -> Array:
        """The values of a column, what cannot be read or is not finite NaN and marked."""
        self._mark_faults(name, read)
        infinite = np.isinf(read.values)
        if not infinite.any():
            return read.values
        self.mark(infinite, "E106", name)
        return np.where(infinite, np.nan, read.values)

    def measured(self, name: str) -> AcceptedColumn:
        """Accepted values of a measured quantity, from readings inside its possible span.

        Unusual readings stay and are marked, as are readings too far apart to be of one site.
        """
        unit = BY_NAME[name].unit
        readings, at_least = [], np.zeros(self.length, dtype=bool)
        own_unit = np.zeros(self.length, dtype=bool)
        for column, given in self.cells.columns[name]:
            read = numbers_of(column, given, unit, self.cells.rules)
            if read.at_least is not None:
                at_least |= read.at_least
            self._mark_faults(name, read)
            if read.own_unit is not None:
                own_unit |= read.own_unit
            readings.append(self._in_span(name, read.values, read.own_unit))
        self.readings[name] = readings
        if name == "weight_kg":
            self.says_unit = own_unit
        if len(readings) > 1:
            self._too_far_apart(name, readings)
        return accept_column(name, readings, at_least)

    def in_span(self, name: str) -> Array:
        """A quantity of one reading that is known without error, such as the age."""
        return self._in_span(name, self.number(name, BY_NAME[name].unit))

    def _in_span(self, name: str, values: Array, own_unit: Array | None = None) -> Array:
        spans = spans_of(name)
        # nearly all are usual for both sexes: only the others are looked at one by one
        low, high = spans.usual_for_both
        odd = np.flatnonzero((values < low) | (values > high) | (values <= 0.0))
        if not odd.size:
            return values
        kinds = spans.kinds(values[odd], self.sexes[odd])
        if name in LEAST_YOUNG:
            kinds = self._judged_as_young(name, values[odd], odd, kinds)
        odd, kinds = odd[kinds != FINE], kinds[kinds != FINE]
        marks, places = marks_outside(name)
        looks_like = self._likely_units(name, values[odd], odd)
        if own_unit is not None:  # the cell says its unit: there is nothing to guess
            looks_like = np.where(own_unit[odd], 0, looks_like)
        self.marks.add_each(odd, places[kinds, looks_like], marks)
        useless = odd[kinds != UNUSUAL]
        if not useless.size:
            return values
        if name == "weight_kg":
            self.light[useless] = np.fmin(self.light[useless], values[useless])
        kept = values.copy()
        kept[useless] = np.nan
        return kept

    def _judged_as_young(self, name: str, values: Array, rows: Array, kinds: Array) -> Array:
        """What is wrong with small weights and heights: the spans are those of adults."""
        small = (values >= LEAST_YOUNG[name]) & (values < spans_of(name).low.max())
        kinds = np.where(small & self.is_young[rows], FINE, kinds)
        return np.where(small & self.may_be_young[rows], np.minimum(kinds, UNUSUAL), kinds)

    def _likely_units(self, name: str, values: Array, rows: Array) -> Array | int:
        """The unit that each value looks like; whoever may be a small child is told of none."""
        if not self._is_in_own_unit(name):
            return 0
        units = likely_units(values, BY_NAME[name])
        if name in LEAST_YOUNG:
            units[self.may_be_young[rows] & (values >= LEAST_YOUNG[name])] = 0
        return units

    def _is_in_own_unit(self, name: str) -> bool:
        """Whether bare numbers of a column are in the unit of its name: where none was said."""
        return all(unit == BY_NAME[name].unit for _, unit in self.cells.columns[name])

    def _too_far_apart(self, name: str, readings: list[Array]) -> None:
        """Mark readings of one site that cannot be: ``plausibility.range_problem``."""
        highest, lowest = readings[0], readings[0]
        for reading in readings[1:]:
            highest, lowest = np.fmax(highest, reading), np.fmin(lowest, reading)
        self.mark(highest - lowest > largest_range(BY_NAME[name], highest), "W124", name)

    def hold_together(self, values: dict[str, Array], age: Array) -> None:
        """Hold weight, height and waist against each other, as for a visit file.

        Where weight and height cannot both be right both are taken out of ``values``; where they
        rarely go together they stay, and the row is marked.
        """
        if "weight_kg" not in values or "height_cm" not in values:
            return
        bmi = Bmi().of(values)
        wrong = impossible_bodies(bmi, age)
        self._mark_what_cannot_wait(values, wrong)
        if wrong.any():
            self.mark(wrong, "E102", "weight_kg, height_cm")
            for name in ("weight_kg", "height_cm"):
                values[name] = np.where(wrong, np.nan, values[name])
        odd = unusual_bodies(values, bmi, age, self.sexes) & ~wrong
        odd &= ~self.is_young | (bmi > POUNDS_FROM_BMI)  # the rest was set on adults
        self._mark_weights(odd, bmi)

    def _mark_what_cannot_wait(self, values: dict[str, Array], wrong: Array) -> None:
        """Mark weights that are not used and would need a doctor the same day if they were right."""
        weight, height = values["weight_kg"], values["height_cm"]
        unused = wrong | np.isnan(weight)
        bmi = np.where(np.isnan(weight), self.light, weight) / (height / 100.0) ** 2
        urgent = unused & (bmi >= LEAST_BMI) & (bmi < WHO_BMI.limits[0])
        self.mark(urgent, "E127", "weight_kg, height_cm")
        self.very_low_bmi = np.where(urgent, bmi, np.nan)

    def _mark_weights(self, odd: Array, bmi: Array) -> None:
        """Mark weights that do not go with the rest, with the unit that each looks like."""
        is_other, looks_like = in_other_unit(bmi, self.cells.columns["weight_kg"][0][1])
        alike = odd & is_other & ~self.says_unit
        self.mark(alike, "W123", "weight_kg, height_cm", looks_like)
        self.mark(odd & ~alike, "W123", "weight_kg, height_cm")

    def words(self, name: str) -> Words:
        """A column of words, lower case, "" where empty."""
        if not self.has(name):
            return Words(np.zeros(self.length, dtype=np.int64), ("",))
        return words_of(self.cells.columns[name][0][0], self.cells.rules, name)

    def truths(self, name: str) -> tuple[Array, Array]:
        """A yes/no column and which rows are neither; those are marked."""
        words = self.words(name)
        yes = words.are(*YES)
        in_doubt = ~yes & ~words.are(*NO)
        self.mark(in_doubt, "E113", name)
        return yes, in_doubt


@cache
def marks_outside(name: str) -> tuple[tuple[Mark, ...], Array]:
    """Return the marks for values outside their spans, and the place of each.

    Places go by what is wrong and by the unit that the value looks like, as ``likely_units`` says it.
    """
    units = units_meant(BY_NAME[name])
    marks = [Mark(CODES[kind], name) for kind in (INFINITE, NEGATIVE)]
    places = np.zeros((INFINITE + 1, len(units)), dtype=np.int64)
    places[NEGATIVE] = 1
    for kind in (IMPOSSIBLE, UNUSUAL):
        for unit in sorted(units):
            places[kind, units.index(unit)] = len(marks)
            marks.append(Mark(CODES[kind], name, unit))
    return tuple(marks), places

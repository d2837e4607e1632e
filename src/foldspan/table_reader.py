"""Reading a table: columns as arrays in canonical units, a code for every cell that is of no use."""

from __future__ import annotations

import difflib
from typing import Any

import numpy as np
import pandas as pd

from foldspan.applicability import beyond
from foldspan.catalogue.card import Array
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import (
    BY_NAME,
    MEASURED,
    SEXES,
    SUPRAILIAC_CHOICES,
    UnreadableValue,
    read_value,
)
from foldspan.slips import (
    BMI_PLAUSIBLE,
    BMI_POSSIBLE,
    POUNDS_FROM_BMI,
    WAIST_GAP,
    WAIST_TO_HOLD,
    expected_waist,
)
from foldspan.standards.intake_words import ALL_WORDS

FACTS = ("sex", "age_years", "ancestry", "family_background", "pregnant", "athlete")
INTAKE_COLUMNS = (
    "earlier_weight_kg", "earlier_weight_months_ago", "loss_wanted", "symptoms", "conditions",
    "medicines", "surgery_months_ago", "birth_months_ago", "eating_concern", "periods_stopped",
    "grip_kg", "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg",
)  # fmt: skip
# lines of the intake in a visit file that a table tells otherwise
VISIT_ONLY = ("weight_lost_kg", "earlier_weight_date", "blood_pressure_mmhg")
REFERENCE = ("reference_fat_percent", "reference_scale")


class Rows:
    """The table as arrays, with the problem codes of every row."""

    def __init__(self, frame: pd.DataFrame) -> None:
        self.frame = frame
        self.length = len(frame)
        self.codes = np.full(self.length, "", dtype=object)
        self.at_least: dict[str, Array] = {}

    def mark(self, rows: Array, code: str, name: str) -> None:
        """Add a code to the rows of a mask."""
        hit = np.flatnonzero(rows)
        if hit.size:
            text = f"{code} {name}".strip()
            self.codes[hit] = [f"{old}; {text}" if old else text for old in self.codes[hit]]

    def number(self, name: str, unit: str | None = None) -> Array:
        """A column as floats in ``unit``; what cannot be read is NaN and marked.

        Without a unit the column is a quantity and the unit is its own; with "" it is a bare number.
        """
        if name not in self.frame:
            return np.full(self.length, np.nan)
        column = self.frame[name]
        if pd.api.types.is_bool_dtype(column):
            self.mark(np.ones(self.length, dtype=bool), "E101", name)
            return np.full(self.length, np.nan)
        if pd.api.types.is_numeric_dtype(column):
            values = column.to_numpy(dtype=float, na_value=np.nan)
        else:
            values = self._from_texts(name, BY_NAME[name].unit if unit is None else unit)
        infinite = np.isinf(values)
        self.mark(infinite, "E106", name)
        return np.where(infinite, np.nan, values)

    def _from_texts(self, name: str, unit: str) -> Array:
        cells = self.frame[name]
        plain = [_plain(cell) for cell in cells]
        codes, uniques = pd.factorize(np.array(plain, dtype=object))
        read = np.full(len(uniques) + 1, np.nan)  # the last stands for missing
        for place, one in enumerate(uniques):
            text = str(one).strip()
            if text.endswith("+") and name in BY_NAME and BY_NAME[name].kind == "skinfold":
                text = text[:-1]
                self.at_least.setdefault(name, np.zeros(self.length, dtype=bool))
                self.at_least[name] |= codes == place
            try:
                read[place] = read_value(text, unit) if text else np.nan
            except UnreadableValue as error:
                self.mark(codes == place, error.code, name)
        return read[codes]

    def measured(self, name: str, sex: Array) -> Array:
        """A measured quantity inside its possible span; unusual values stay and are marked."""
        values = self.number(name)
        quantity = BY_NAME[name]
        for one in SEXES:
            here = (sex == one) & ~np.isnan(values)
            low, high = quantity.possible(one)
            usual_low, usual_high = quantity.plausible(one)
            negative = here & (values <= 0.0)
            impossible = here & ~negative & ((values < low) | (values > high))
            unusual = here & ~negative & ~impossible
            unusual &= (values < usual_low) | (values > usual_high)
            self.mark(negative, "E107", name)
            self.mark(impossible, "E102", name)
            self.mark(unusual, "W103", name)
            values = np.where(negative | impossible, np.nan, values)
        return values

    def hold_together(self, columns: dict[str, Array], sex: Array) -> None:
        """Hold weight, height and waist against each other, as for a visit file.

        Where weight and height cannot both be right both are taken out; where they rarely go together
        they stay, and the row is marked.
        """
        if "weight_kg" not in columns or "height_cm" not in columns:
            return
        bmi = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
        wrong = beyond(bmi, *BMI_POSSIBLE) > 0
        self.mark(wrong, "E102", "weight_kg, height_cm")
        for name in ("weight_kg", "height_cm"):
            columns[name] = np.where(wrong, np.nan, columns[name])
        odd = np.zeros(self.length, dtype=bool)
        for one in SEXES:
            here = (sex == one) & ~wrong
            waist = np.full(self.length, np.nan)
            for name, level in WAIST_TO_HOLD.items():
                waist = np.where(np.isnan(waist), columns.get(name, np.nan) + level[one], waist)
            alone = np.isnan(waist) | np.isnan(columns["age_years"])
            very_large = (beyond(bmi, *BMI_PLAUSIBLE[one]) > 0) | (bmi > POUNDS_FROM_BMI)
            odd |= here & alone & very_large
            expected = expected_waist(one, bmi, columns["age_years"], columns["height_cm"])
            odd |= here & (np.abs(waist - expected) > WAIST_GAP)
        self.mark(odd, "W123", "weight_kg, height_cm")

    def words(self, name: str) -> Array:
        """A column of words, lower case, "" where empty."""
        if name not in self.frame:
            return np.full(self.length, "", dtype=object)
        column = self.frame[name]
        filled = column.astype(object).where(column.notna(), "")
        filled = filled.map(lambda cell: "?" if isinstance(cell, bytes) else cell)
        return np.asarray(filled.astype(str).str.strip().str.lower(), dtype=object)

    def truths(self, name: str) -> tuple[Array, Array]:
        """A yes/no column and which rows are neither; those are marked."""
        words = self.words(name)
        yes = np.isin(words.astype(str), ("true", "1", "1.0", "yes"))
        no = np.isin(words.astype(str), ("", "false", "0", "0.0", "no"))
        self.mark(~yes & ~no, "E113", name)
        return yes, ~yes & ~no


UNIT_ENDINGS = tuple(f"_{unit}" for unit in ("mm", "cm", "m", "in", "ft", "kg", "g", "lb", "st"))


def _plain(cell: Any) -> Any:
    """A cell that can be read as text, None where it is missing, "?" where it holds anything else."""
    if isinstance(cell, str | int | float | np.number) and not isinstance(cell, bool):
        return None if isinstance(cell, float) and np.isnan(cell) else cell
    return None if cell is None or cell is pd.NA or cell is pd.NaT else "?"


def _near_fact(name: str) -> str:
    """The fact about a client that a column name may mean, or "": a miss here could hurt."""
    plain = name.strip().lower().removeprefix("is_")
    if "pregnan" in plain:
        return "pregnant"
    near = difflib.get_close_matches(plain, (*FACTS, "age"), n=1, cutoff=0.8)
    return "" if not near else {"age": "age_years"}.get(near[0], near[0])


def check_columns(frame: pd.DataFrame) -> None:
    """Raise for a table that cannot be read as one row a client.

    Raises
    ------
    FoldspanError
        E404 not a table, E403 a column twice, E402 a name close to a fact, E401 sex or age
        missing, E114 a bare ``suprailiac``, E120 no measured column.
    """
    if not isinstance(frame, pd.DataFrame):
        raise FoldspanError([Problem("E404", "table", "not a data frame", "Give a pandas one.")])
    found: list[Problem] = []
    twice = frame.columns[frame.columns.duplicated()].unique()
    found += [Problem("E403", f"column {name}", "given twice", "Keep one.") for name in twice]
    found += [
        Problem("E401", f"column {name}", "missing", f"Add {name} for every row.")
        for name in ("sex", "age_years")
        if name not in frame.columns
    ]
    choices = ", ".join(f"{name}_mm" for name in SUPRAILIAC_CHOICES)
    found += [
        Problem(
            "E114", f"column {name}", "three different sites go by that name", f"Use {choices}."
        )
        for name in ("suprailiac", "suprailiac_mm")
        if name in frame.columns
    ]
    found += [
        Problem(
            "E402",
            f"column {name}",
            f"not known, but close to {fact}",
            f"Write {fact}, or rename the column.",
        )
        for name in frame.columns
        if name not in (*BY_NAME, *FACTS, *INTAKE_COLUMNS) and (fact := _near_fact(str(name)))
    ]
    if not any(name in frame.columns for name in MEASURED):
        remedy = "Name columns by quantity and unit, such as weight_kg, height_cm, triceps_mm."
        found.append(Problem("E120", "table", "no measured column", remedy))
    if found:
        raise FoldspanError(found)


def unused_columns(frame: pd.DataFrame) -> list[str]:
    """Return the columns that look like measurements, by unit or name, but are not known.

    Codes, dates and notes may stand in a table; a misspelt quantity must not pass in silence.
    """
    known = {*BY_NAME, *FACTS, *INTAKE_COLUMNS, *REFERENCE}
    near = {*BY_NAME, "waist", *(quantity.short_name for quantity in BY_NAME.values())}
    near |= {*INTAKE_COLUMNS, *VISIT_ONLY, *ALL_WORDS}
    names = [str(name) for name in frame.columns if name not in known]
    return [
        name
        for name in names
        if name.lower().endswith(UNIT_ENDINGS)
        or difflib.get_close_matches(name.lower(), near, n=1, cutoff=0.8)
    ]

"""Tables: the main job for many clients at once, one row a client."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any, Self

import numpy as np
import pandas as pd

from foldspan import agreement
from foldspan.applicability import LEAVES_OUT, beyond
from foldspan.catalogue.card import FAMILIES, Array
from foldspan.problems import FoldspanError, Problem
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import (
    ANCESTRIES,
    BY_NAME,
    MEASURED,
    SEXES,
    SUPRAILIAC_CHOICES,
    Sex,
    UnreadableValue,
    read_value,
)
from foldspan.reconciliation import (
    ANCESTRY_INDICATORS,
    People,
    Settings,
    cards_for,
    reconcile_people,
    settings_for,
)
from foldspan.reference_people import indicators
from foldspan.slips import (
    BMI_PLAUSIBLE,
    BMI_POSSIBLE,
    WAIST_GAP,
    WAIST_TO_HOLD,
    expected_waist,
)
from foldspan.visit_reader import ADULT_AGE

# rows reconciled at a time: enough for fast arrays, few enough to stay far below a gigabyte
ROWS_AT_ONCE = 8192
FACTS = ("sex", "age_years", "ancestry", "pregnant", "athlete")
REFERENCE = ("reference_fat_percent", "reference_scale")
NUMBERS = (
    "fat_percent",
    "fat_percent_se",
    "likely_low",
    "likely_high",
    "wide_low",
    "wide_high",
    *(f"{family}_percent" for family in FAMILIES),
    "equations_used",
)
ORDER = (
    "fat_percent",
    "fat_percent_se",
    "likely_low",
    "likely_high",
    "wide_low",
    "wide_high",
    "verdict",
    "skinfold_percent",
    "girth_percent",
    "mass_height_percent",
    "waist_height_percent",
    "equations_used",
    "flags",
    "worst_flag_level",
    "problems",
)


class _Rows:
    """The table as arrays, with the problem codes of every row."""

    def __init__(self, frame: pd.DataFrame) -> None:
        self.frame = frame
        self.length = len(frame)
        self.codes = np.full(self.length, "", dtype=object)

    def mark(self, rows: Array, code: str, name: str) -> None:
        """Add a code to the rows of a mask."""
        hit = np.flatnonzero(rows)
        if hit.size:
            text = f"{code} {name}".strip()
            self.codes[hit] = [f"{old}; {text}" if old else text for old in self.codes[hit]]

    def number(self, name: str) -> Array:
        """A column as floats in canonical units; what cannot be read is NaN and marked."""
        if name not in self.frame:
            return np.full(self.length, np.nan)
        column = self.frame[name]
        if pd.api.types.is_bool_dtype(column):
            self.mark(np.ones(self.length, dtype=bool), "E101", name)
            return np.full(self.length, np.nan)
        if pd.api.types.is_numeric_dtype(column):
            values = column.to_numpy(dtype=float, na_value=np.nan)
        else:
            values = self._from_texts(name)
        infinite = np.isinf(values)
        self.mark(infinite, "E106", name)
        return np.where(infinite, np.nan, values)

    def _from_texts(self, name: str) -> Array:
        unit = BY_NAME[name].unit
        codes, uniques = pd.factorize(self.frame[name].to_numpy(dtype=object))
        read = np.full(len(uniques) + 1, np.nan)  # the last stands for missing
        for place, one in enumerate(uniques):
            try:
                read[place] = read_value(str(one), unit) if str(one).strip() else np.nan
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
        waist = np.full(self.length, np.nan)
        for name in WAIST_TO_HOLD:
            waist = np.where(np.isnan(waist), columns.get(name, np.nan), waist)
        for one in SEXES:
            here = (sex == one) & ~wrong
            odd |= here & (beyond(bmi, *BMI_PLAUSIBLE[one]) > 0)
            expected = expected_waist(one, bmi, columns["age_years"], columns["height_cm"])
            odd |= here & (np.abs(waist - expected) > WAIST_GAP)
        self.mark(odd, "W123", "")

    def words(self, name: str) -> Array:
        """A column of words, lower case, "" where empty."""
        if name not in self.frame:
            return np.full(self.length, "", dtype=object)
        column = self.frame[name]
        filled = column.astype(object).where(column.notna(), "")
        return np.asarray(filled.astype(str).str.strip().str.lower(), dtype=object)

    def truths(self, name: str) -> tuple[Array, Array]:
        """A yes/no column and which rows are neither; those are marked."""
        words = self.words(name)
        yes = np.isin(words.astype(str), ("true", "1", "1.0", "yes"))
        no = np.isin(words.astype(str), ("", "false", "0", "0.0", "no"))
        self.mark(~yes & ~no, "E113", name)
        return yes, ~yes & ~no


def check_columns(frame: pd.DataFrame) -> None:
    """Raise for a table that cannot be read as one row a client.

    Raises
    ------
    FoldspanError
        E404 not a table, E403 a column twice, E401 sex or age missing, E114 a bare ``suprailiac``,
        E120 no measured column.
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
    if not any(name in frame.columns for name in MEASURED):
        remedy = "Name columns by quantity and unit, such as weight_kg, height_cm, triceps_mm."
        found.append(Problem("E120", "table", "no measured column", remedy))
    if found:
        raise FoldspanError(found)


def unused_columns(frame: pd.DataFrame) -> list[str]:
    """Return the columns that look like measurements by their unit but are not known.

    Codes, dates and notes may stand in a table; a misspelt quantity must not pass in silence.
    """
    known = {*BY_NAME, *FACTS, *REFERENCE}
    units = tuple(f"_{unit}" for unit in {quantity.unit for quantity in BY_NAME.values()})
    names = [str(name) for name in frame.columns if name not in known]
    return [name for name in names if name.endswith(units)]


def reconcile_table(
    frame: pd.DataFrame,
    *,
    scale: str = "density",
    conversion: str = "siri1961",
    with_disputed: bool = False,
) -> pd.DataFrame:
    """Reconcile one row a client.

    Parameters
    ----------
    frame : DataFrame
        Columns by quantity name and unit (``weight_kg``, ``triceps_mm``, …); ``sex`` and
        ``age_years`` are needed, ``ancestry``, ``pregnant`` and ``athlete`` optional. Numbers, or texts
        with units. Each value counts as one accepted value with the published technical error.
    scale, conversion, with_disputed
        As in ``reconcile``.

    Returns
    -------
    DataFrame
        Same index; columns ``fat_percent``, ``fat_percent_se``, ``likely_low``, ``likely_high``,
        ``wide_low``, ``wide_high`` [% of weight], ``verdict``, one estimate a family, the number of
        ``equations_used``, ``flags``, ``worst_flag_level`` and ``problems`` (codes; "" if none). A
        value that cannot be used is left out and its row says so; a row without a range says why.

    Raises
    ------
    FoldspanError
        If the table as a whole cannot be read; see ``check_columns`` and ``settings_for``.

    Examples
    --------
    >>> import pandas as pd, foldspan
    >>> table = pd.DataFrame({"sex": ["male"], "age_years": [35], "weight_kg": [80.0],
    ...                       "height_cm": [178.0], "waist_iliac_cm": [88.0]})
    >>> answer = foldspan.reconcile_table(table)
    >>> bool(answer.likely_low[0] < answer.fat_percent[0] < answer.likely_high[0])
    True
    """
    settings = settings_for(scale, conversion, with_disputed=with_disputed)
    check_columns(frame)
    if unused := unused_columns(frame):
        text = f"columns not used, their names are not known: {', '.join(unused)} [W402]"
        warnings.warn(text, UserWarning, stacklevel=2)
    rows = _Rows(frame)
    clients = _Clients.read(rows)
    numbers = {name: np.full(rows.length, np.nan) for name in NUMBERS}
    verdict = np.full(rows.length, "", dtype=object)
    for one in SEXES:
        chosen = np.flatnonzero(clients.able & (clients.sex == one))
        for start in range(0, chosen.size, ROWS_AT_ONCE):
            some = chosen[start : start + ROWS_AT_ONCE]
            _fill(numbers, verdict, some, clients.people(one, some), settings)
    rows.mark(np.isnan(numbers["fat_percent"]) & clients.able, "E203", "")
    used = np.nan_to_num(numbers.pop("equations_used")).astype(int)
    table: dict[str, Any] = {
        **numbers,
        "verdict": verdict,
        "equations_used": used,
        "flags": "",
        "worst_flag_level": "",
        "problems": rows.codes,
    }
    return pd.DataFrame(table, index=frame.index)[list(ORDER)]


@dataclass(frozen=True, slots=True)
class _Clients:
    """What the rows say about the clients; ``able`` are those who may get a range."""

    sex: Array
    ancestry: Array
    athlete: Array
    columns: dict[str, Array]
    able: Array

    @classmethod
    def read(cls, rows: _Rows) -> Self:
        """Read every known column and mark what is wrong."""
        sex = rows.words("sex")
        known_sex = np.isin(sex.astype(str), SEXES)
        rows.mark(sex == "", "E111", "sex")
        rows.mark((sex != "") & ~known_sex, "E113", "sex")
        age = rows.measured("age_years", sex)
        rows.mark(np.isnan(age), "E112", "age_years")
        rows.mark(age < ADULT_AGE, "E201", "")
        pregnant, in_doubt = rows.truths("pregnant")
        rows.mark(pregnant, "E202", "")
        given = [name for name in MEASURED if name in rows.frame.columns]
        columns = {name: rows.measured(name, sex) for name in given} | {"age_years": age}
        rows.hold_together(columns, sex)
        ancestry = rows.words("ancestry")
        rows.mark(~np.isin(ancestry.astype(str), ("", *ANCESTRIES)), "E113", "ancestry")
        athlete = rows.truths("athlete")[0].astype(float)
        # a word about pregnancy that cannot be read is no reason to guess
        able = known_sex & (age >= ADULT_AGE) & ~pregnant & ~in_doubt
        return cls(sex, ancestry, athlete, columns, able)

    def people(self, sex: Sex, some: Array) -> People:
        """Return some rows of one sex for the bench."""
        values = {name: column[some] for name, column in self.columns.items()}
        return _people(sex, values, self.ancestry[some], self.athlete[some])


def _people(sex: Sex, given: dict[str, Array], ancestry: Array, athlete: Array) -> People:
    length = given["age_years"].size
    columns = {name: np.full(length, np.nan) for name in BY_NAME} | given
    marks = {name: mark.copy() for name, mark in indicators(sex, length).items()}
    for word, name in ANCESTRY_INDICATORS.items():
        marks[name][ancestry == word] = 1.0
    marks["is_athlete"] = athlete
    errors = {}
    for name in given:
        if name != "age_years":
            error = technical_error(name)
            errors[name] = np.maximum(error.floor, error.share * given[name])
    return People(sex, columns | marks, errors, ancestry)


def _fill(
    numbers: dict[str, Array], verdict: Array, some: Array, people: People, settings: Settings
) -> None:
    """Write the answers of some rows of one sex."""
    answer = reconcile_people(cards_for(people.sex), people, settings)
    combined = answer.combined
    numbers["fat_percent"][some] = combined.estimate
    numbers["fat_percent_se"][some] = combined.se
    for name, z in (("likely", agreement.Z_LIKELY), ("wide", agreement.Z_WIDE)):
        low, high = agreement.interval(combined.estimate, combined.se, z)
        numbers[f"{name}_low"][some], numbers[f"{name}_high"][some] = low, high
    for place, family in enumerate(FAMILIES):
        numbers[f"{family}_percent"][some] = answer.families[place]
    usable = (answer.flags & int(LEAVES_OUT)) == 0
    numbers["equations_used"][some] = usable.sum(axis=0)
    words = agreement.verdicts(combined.q, combined.dof)
    verdict[some] = np.where(np.isnan(combined.estimate), "", words)


__all__ = ["check_columns", "reconcile_table", "unused_columns"]

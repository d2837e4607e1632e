"""Tables: the main job for many clients at once, one row a client."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any, Self

import numpy as np
import pandas as pd

from foldspan import agreement
from foldspan.applicability import LEAVES_OUT
from foldspan.catalogue.card import FAMILIES, Array, Conversion
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import (
    ANCESTRIES,
    BY_NAME,
    MEASURED,
    SEXES,
    Sex,
)
from foldspan.readings import SCALE_END_SHARE
from foldspan.reconciliation import (
    ANCESTRY_INDICATORS,
    People,
    Settings,
    cards_for,
    conversion_fits,
    reconcile_people,
    settings_for,
)
from foldspan.reference_people import indicators
from foldspan.table_reader import Rows, check_columns, unused_columns
from foldspan.visit_reader import ADULT_AGE

# rows reconciled at a time: enough for fast arrays, few enough to stay far below a gigabyte
ROWS_AT_ONCE = 8192
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
    rows = Rows(frame)
    clients = _Clients.read(rows)
    numbers = {name: np.full(rows.length, np.nan) for name in NUMBERS}
    verdict = np.full(rows.length, "", dtype=object)
    for one in SEXES:
        clients.leave_out(rows, one, settings.conversion)
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
    at_least: dict[str, Array]
    able: Array

    @classmethod
    def read(cls, rows: Rows) -> Self:
        """Read every known column and mark what is wrong."""
        sex = rows.words("sex")
        known_sex = np.isin(sex.astype(str), SEXES)
        rows.mark(sex == "", "E111", "sex")
        rows.mark((sex != "") & ~known_sex, "E113", "sex")
        age = rows.measured("age_years", sex)
        unread = np.array(["age_years" in code for code in rows.codes], dtype=bool)
        rows.mark(np.isnan(age) & ~unread, "E112", "age_years")
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
        return cls(sex, ancestry, athlete, columns, rows.at_least, able)

    def leave_out(self, rows: Rows, sex: Sex, conversion: Conversion) -> None:
        """Leave out the rows of a sex that a conversion was not made for."""
        fits = conversion_fits(
            conversion, sex, self.columns["age_years"], self.ancestry, self.athlete
        )
        wrong = self.able & (self.sex == sex) & ~fits
        rows.mark(wrong, "E501", "conversion")
        self.able[wrong] = False

    def people(self, sex: Sex, some: Array) -> People:
        """Return some rows of one sex for the bench."""
        values = {name: column[some] for name, column in self.columns.items()}
        at_least = {name: mark[some] for name, mark in self.at_least.items()}
        return _people(sex, values, self.ancestry[some], self.athlete[some], at_least)


def _people(
    sex: Sex,
    given: dict[str, Array],
    ancestry: Array,
    athlete: Array,
    at_least: dict[str, Array],
) -> People:
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
            one = np.maximum(error.floor, error.share * given[name])
            ended = SCALE_END_SHARE * given[name] * at_least.get(name, False)
            errors[name] = np.sqrt(one**2 + ended**2)
            columns[name] = given[name] + ended
    return People(sex, columns | marks, errors, ancestry, at_least)


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

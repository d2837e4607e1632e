"""Clients of a table: who may get a range, and their answers in parts of a few thousand rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Self

import numpy as np

from foldspan.catalogue.card import Array, Conversion
from foldspan.indices import Measured, body_mass_index
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import ANCESTRIES, BY_NAME, MEASURED, SEXES, Sex
from foldspan.readings import SCALE_END_SHARE
from foldspan.reconciliation import (
    ANCESTRY_INDICATORS,
    People,
    Reconciled,
    Settings,
    cards_for,
    conversion_fits,
    reconcile_people,
)
from foldspan.reference_people import indicators
from foldspan.standards.backgrounds import BACKGROUNDS, background_of
from foldspan.standards.rules import MONTHS_AFTER_BIRTH
from foldspan.table_intake import read_told, refused
from foldspan.table_reader import Rows
from foldspan.told import Told
from foldspan.visit_reader import ADULT_AGE

# rows reconciled at a time: enough for fast arrays, few enough to stay far below a gigabyte
ROWS_AT_ONCE = 8192


@dataclass(frozen=True, slots=True, repr=False)
class Clients:
    """What the rows say about the clients; ``able`` are those who may get a range."""

    sex: Array
    ancestry: Array
    athlete: Array
    columns: dict[str, Array]
    at_least: dict[str, Array]
    able: Array
    background: Array
    told: Told
    is_expecting: Array

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
        rows.mark(pregnant & (sex == "male"), "E125", "pregnant")
        given = [name for name in MEASURED if name in rows.frame.columns]
        columns = {name: rows.measured(name, sex) for name in given} | {"age_years": age}
        rows.hold_together(columns, sex)
        ancestry = rows.words("ancestry")
        rows.mark(~np.isin(ancestry.astype(str), ("", *ANCESTRIES)), "E113", "ancestry")
        athlete = rows.truths("athlete")[0].astype(float)
        # a word about pregnancy that cannot be read is no reason to guess
        able = known_sex & (age >= ADULT_AGE) & ~pregnant & ~in_doubt
        stated = rows.words("family_background")
        rows.mark(~np.isin(stated.astype(str), ("", *BACKGROUNDS)), "E113", "family_background")
        background = np.array(
            [background_of(*both) for both in zip(stated, ancestry, strict=True)], dtype=object
        )
        weight = columns.get("weight_kg", np.full(rows.length, np.nan))
        told = read_told(rows, sex, weight, _reading_error("weight_kg", weight))
        able &= ~refused(rows, told)
        with np.errstate(invalid="ignore"):
            expecting = pregnant | (told.number("birth_months_ago") < MONTHS_AFTER_BIRTH)
        return cls(
            sex, ancestry, athlete, columns, rows.at_least, able, background, told, expecting
        )

    def leave_out(self, rows: Rows, sex: Sex, conversion: Conversion) -> None:
        """Leave out the rows of a sex that a conversion was not made for."""
        fits = conversion_fits(
            conversion, sex, self.columns["age_years"], self.ancestry, self.athlete
        )
        wrong = self.able & (self.sex == sex) & ~fits
        rows.mark(wrong, "E501", "conversion")
        self.able[wrong] = False

    def answers(self, settings: Settings) -> Iterator[tuple[Array, People, Reconciled]]:
        """Reconcile everybody who may get a range; yield row numbers, people, answers, by parts."""
        for sex in SEXES:
            chosen = np.flatnonzero(self.able & (self.sex == sex))
            for start in range(0, chosen.size, ROWS_AT_ONCE):
                some = chosen[start : start + ROWS_AT_ONCE]
                people = self.people(sex, some)
                yield some, people, reconcile_people(cards_for(sex), people, settings)

    def bmi(self, some: Array) -> Measured:
        """Return the body mass index of some rows with its error."""
        unknown = np.full(self.sex.size, np.nan)
        parts = []
        for name in ("weight_kg", "height_cm"):
            values = self.columns.get(name, unknown)[some]
            parts += [values, _reading_error(name, values)]
        return body_mass_index(*parts)

    def people(self, sex: Sex, some: Array) -> People:
        """Return some rows of one sex for the bench."""
        values = {name: column[some] for name, column in self.columns.items()}
        at_least = {name: mark[some] for name, mark in self.at_least.items()}
        return _people(sex, values, self.ancestry[some], self.athlete[some], at_least)


def _reading_error(name: str, values: Array) -> Array:
    """Standard error of single readings by the published technical error."""
    error = technical_error(name)
    return np.maximum(error.floor, error.share * values)


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
            one = _reading_error(name, given[name])
            ended = SCALE_END_SHARE * given[name] * at_least.get(name, False)
            errors[name] = np.sqrt(one**2 + ended**2)
            columns[name] = given[name] + ended
    return People(sex, columns | marks, errors, ancestry, at_least)

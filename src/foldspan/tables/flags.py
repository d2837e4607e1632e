"""Flag columns of a table: the codes raised for every row, and the most urgent level among them."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Literal

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.batch import People
from foldspan.estimation.other_reference import OtherReference
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import Settings
from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.fat_by_reference_method import fat_on
from foldspan.interpretation.indices import Indices, indices_of, unknown_fat
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import (
    chances_of,
    chances_without_range,
    has_low_weight,
    raised,
)
from foldspan.interpretation.referral_measured import fat_matters
from foldspan.interpretation.referral_self_reported import Chances
from foldspan.quantities import SEXES, Sex
from foldspan.standards.referral_rules import BY_URGENCY, RULE_BY_CODE, SURE_AT
from foldspan.tables.clients import Clients
from foldspan.tables.findings import RowMarks


def worst_level(codes: tuple[str, ...]) -> str:
    """Return the most urgent level of flags in the order of urgency, "" where there is none."""
    return RULE_BY_CODE[codes[0]].level if codes else ""


def indices_without_fat(clients: Clients, some: Array, sex: Sex | Literal[""]) -> Indices:
    """Return the indices of some adults whose fat, and where ``sex`` is "" whose sex, is not known.

    Body mass index is the one that flags go by, ``Clients.judged_bmi``.
    """
    people = clients.people(sex or SEXES[0], some)
    found = unknown_fat(sex, people.columns, people.reading_se, clients.background[some])
    return replace(found, bmi=clients.judged_bmi(some))


def _fat_that_matters(indices: Indices, reported: SelfReported, other: OtherReference) -> Measured:
    """Fat on the other scale where a rule may be raised by it; NaN elsewhere, which raises none."""
    rows = np.flatnonzero(fat_matters(indices, reported, other.certain()))
    value, se = np.full((2, indices.count), np.nan)
    if rows.size:
        combined = other.combined(rows)
        value[rows], se[rows] = combined.estimate, combined.se
    return Measured(value, se)


class FlagColumns:
    """``raised`` holds the codes of the rules of every row, the most urgent first.

    ``borderline`` holds those of them which the measurements leave open; ``low`` bool (N,) are the rows
    in which a low weight is raised.
    """

    def __init__(self, length: int) -> None:
        self.raised: RowMarks[str] = RowMarks(length)
        self.borderline: RowMarks[str] = RowMarks(length)
        self.low = np.zeros(length, dtype=bool)

    def fill(
        self, clients: Clients, some: Array, people: People, answer: Reconciled, settings: Settings
    ) -> Indices:
        """Write the flags of some adults of one sex; return their indices."""
        here = Measured(answer.combined.estimate, answer.combined.se)
        fat: dict[str, Measured] = {settings.reference_method: here}
        indices = indices_of(
            people.sex, people.columns, people.reading_se, clients.background[some], fat
        )
        reported = clients.reported.some(some)
        if answer.other is None:
            fat["density"] = fat_on("density", settings.reference_method, here, None)
        else:
            fat["density"] = _fat_that_matters(indices, reported, answer.other)
        is_strong = clients.athlete[some] > 0
        self._write(some, chances_of(indices, reported, is_strong=is_strong))
        return indices

    def fill_in_doubt(self, clients: Clients) -> None:
        """Write the flags of adults without a range for what is left out or cannot be read.

        They are judged as any adult, but for what rests on fat; where the sex is not known, by what
        needs none: a limit by sex counts for a referral where it is passed for either sex, and by itself
        where it is for both.
        """
        adult = ~clients.able & clients.judged_as_adult
        for place, sex in enumerate((*SEXES, "")):
            some = np.flatnonzero(adult & (clients.sexes == (place if sex else -1)))
            if some.size:
                indices = indices_without_fat(clients, some, sex)  # type: ignore[arg-type]
                is_strong = clients.athlete[some] > 0
                self._write(
                    some, chances_of(indices, clients.reported.some(some), is_strong=is_strong)
                )

    def fill_without_range(self, clients: Clients) -> None:
        """Write what was told by those for whom no adult range holds, or whose age is not known."""
        left = ~clients.judged_as_adult
        for expecting, (place, sex) in product((True, False), enumerate((*SEXES, ""))):
            here = clients.sexes == (place if sex else -1)
            some = np.flatnonzero(left & (clients.is_expecting == expecting) & here)
            if some.size:
                chances = chances_without_range(
                    clients.reported.some(some),
                    sex,
                    clients.age[some],
                    clients.background[some],
                    clients.judged_bmi(some),
                    is_expecting=expecting,
                )
                self._write(some, chances)

    def _write(self, some: Array, chances: Chances) -> None:
        rows = raised(chances)
        self.low[some] = has_low_weight(rows, some.size)
        for code in (rule.code for rule in BY_URGENCY if rule.code in rows):
            here = np.flatnonzero(rows[code])
            self.raised.add(some[here], code)
            self.borderline.add(some[here[chances[code][here] < SURE_AT]], code)

"""As arrays: the intake of N people as arrays, so that rules read them like any measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake.model import Intake


@dataclass(frozen=True, slots=True, repr=False)
class SelfReported:
    """What N people reported of themselves; NaN, or absent, where nothing was reported.

    ``words`` maps words of the intake to bool arrays. ``loss_percent`` is the loss in % of the earlier
    weight, ``loss_se`` its standard error, ``loss_months`` the time it took at most, ``loss_wanted``
    1, 0 or NaN.
    """

    count: int
    words: Mapping[str, Array] = field(default_factory=dict)
    numbers: Mapping[str, Array] = field(default_factory=dict)

    def has(self, *names: str) -> bool:
        """Whether anybody may have reported any of some words or numbers."""
        return any(name in self.words or name in self.numbers for name in names)

    def any_of(self, *words: str) -> Array:
        """Which people reported any of the words, bool (N,)."""
        some = np.zeros(self.count, dtype=bool)
        for word in words:
            if word in self.words:
                some |= self.words[word]
        return some

    def number(self, name: str) -> Array:
        """A number that was reported, (N,)."""
        known = self.numbers.get(name)
        return np.full(self.count, np.nan) if known is None else known

    def some(self, rows: Array) -> SelfReported:
        """Return what some of the people reported, by their numbers."""
        return SelfReported(
            count=int(rows.size),
            words={word: mark[rows] for word, mark in self.words.items()},
            numbers={name: values[rows] for name, values in self.numbers.items()},
        )


def intake_as_arrays(intake: Intake, weight: float | None, weight_se: float | None) -> SelfReported:
    """Return the intake of one client as arrays of length one.

    ``weight`` and its standard error [kg] are those of the visit; the earlier weight is taken to carry
    the same error.
    """
    numbers = {
        "surgery_months_ago": intake.surgery_months_ago,
        "birth_months_ago": intake.birth_months_ago,
        "grip_kg": intake.grip_kg,
        "loss_wanted": None if intake.loss_wanted is None else float(intake.loss_wanted),
    }
    if intake.pressure_mmhg is not None:
        numbers |= {"systolic": intake.pressure_mmhg[0], "diastolic": intake.pressure_mmhg[1]}
    known = {
        name: np.array([np.nan if value is None else value]) for name, value in numbers.items()
    }
    if None not in (intake.earlier_weight_kg, weight, weight_se):
        earlier, now, se = (
            np.array([value]) for value in (intake.earlier_weight_kg, weight, weight_se)
        )
        months = np.nan if intake.months_ago is None else intake.months_ago
        known |= losses(earlier, now, se) | {"loss_months": np.array([months])}
    return SelfReported(
        count=1,
        words={word: np.array([True]) for word in intake.words},
        numbers=known,
    )


def losses(earlier: Array, weight: Array, weight_se: Array) -> dict[str, Array]:
    """Return the loss in % of the earlier weight and its standard error, for N people.

    Both weights [kg] are taken to carry the same relative error; a gain is a negative loss.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = weight / earlier
        se = 100.0 * ratio * np.sqrt(2.0) * weight_se / weight
    return {"loss_percent": 100.0 * (1.0 - ratio), "loss_se": se}

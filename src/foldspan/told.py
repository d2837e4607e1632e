"""Told: the intake of N people as arrays, so that rules read them like any measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake import Intake


@dataclass(frozen=True, slots=True, repr=False)
class Told:
    """What N people told; NaN, or absent, where nothing was said.

    ``words`` maps words of the intake to bool arrays. ``loss_percent`` is the loss in % of the earlier
    weight, ``loss_se`` its standard error, ``loss_months`` the time it took at most, ``loss_wanted``
    1, 0 or NaN.
    """

    count: int
    words: Mapping[str, Array] = field(default_factory=dict)
    numbers: Mapping[str, Array] = field(default_factory=dict)

    def said(self, *words: str) -> Array:
        """Which people told any of the words, bool (N,)."""
        some = np.zeros(self.count, dtype=bool)
        for word in words:
            if word in self.words:
                some |= self.words[word]
        return some

    def number(self, name: str) -> Array:
        """A number that was told, (N,)."""
        return self.numbers.get(name, np.full(self.count, np.nan))


def told_of(intake: Intake, weight: float | None, weight_se: float | None) -> Told:
    """Return the intake of one client as arrays of length one.

    ``weight`` and its standard error [kg] are those of the visit; the earlier weight is taken to carry
    the same error.
    """
    numbers = {
        "surgery_months_ago": intake.surgery_months_ago,
        "grip_kg": intake.grip_kg,
        "loss_wanted": None if intake.loss_wanted is None else float(intake.loss_wanted),
    }
    if intake.pressure_mmhg is not None:
        numbers |= {"systolic": intake.pressure_mmhg[0], "diastolic": intake.pressure_mmhg[1]}
    earlier = intake.earlier_weight_kg
    if earlier is not None and weight is not None and weight_se is not None:
        ratio = weight / earlier
        numbers |= {
            "loss_percent": 100.0 * (1.0 - ratio),
            "loss_se": 100.0 * ratio * 2.0**0.5 * weight_se / weight,
            "loss_months": intake.months_ago,
        }
    return Told(
        count=1,
        words={word: np.array([True]) for word in intake.words},
        numbers={
            name: np.array([np.nan if value is None else value]) for name, value in numbers.items()
        },
    )

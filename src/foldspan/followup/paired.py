"""Paired: what changed between two visits of each of N people, as arrays; see ``difference``.

A table knows neither calliper, time of day, side of the body nor clothing: of what may break a
comparison only that can be told which its columns hold.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.estimation.batch import People
from foldspan.estimation.families.combine import Z_WIDE
from foldspan.estimation.settings import Settings
from foldspan.followup.comparability import FIRST_WEEKS, OTHER_TESTER
from foldspan.followup.difference import STABILITY
from foldspan.followup.like_with_like import have_in_common
from foldspan.interpretation.measured import chance_below
from foldspan.measurement.against_earlier import HEIGHT_MOVES
from foldspan.quantities import BY_NAME, MEASURED


@dataclass(frozen=True, slots=True, repr=False)
class Differences:
    """Later less earlier of N people with the standard error, (N,) each, in one unit; NaN: not known."""

    earlier: Array
    amount: Array
    se: Array

    def span(self, z: float) -> tuple[Array, Array]:
        """Return the span of so many standard errors either way."""
        return self.amount - z * self.se, self.amount + z * self.se

    @property
    def is_real(self) -> BoolArray:
        """Which changes are larger than chance makes in 19 cases of 20."""
        with np.errstate(invalid="ignore"):
            return np.asarray(np.abs(self.amount) > Z_WIDE * self.se)

    @property
    def chance_of_fall(self) -> Array:
        """Chance that the true value went down."""
        return np.asarray(chance_below(0.0, self.amount, self.se))


@dataclass(frozen=True, slots=True, repr=False)
class Paired:
    """What changed: body fat [percentage points], weight [kg], and what broke each comparison.

    ``breaks`` maps codes of ``comparability.BREAKS`` to bool arrays (N,).
    """

    percent: Differences
    weight: Differences
    breaks: Mapping[str, BoolArray]


def changes_between(
    earlier: People,
    later: People,
    settings: Settings,
    *,
    same_tester: Array,
    weeks: Array,
) -> Paired:
    """Return what changed between two visits of each of N people of one sex.

    Parameters
    ----------
    earlier, later : People
        The same people in the same order.
    settings : Settings
        Of both visits.
    same_tester : array (N,)
        1 where one tester measured both times, 0 where two did, NaN where that is not known.
    weeks : array (N,)
        Time between the visits [weeks], NaN where a date is missing.
    """
    taken = [
        {name: ~np.isnan(people.columns[name]) for name in MEASURED} for people in (earlier, later)
    ]
    used = {name: taken[0][name] & taken[1][name] for name in MEASURED}
    common = have_in_common((earlier, later), used, settings)
    variance_factor = np.where(same_tester == 0.0, OTHER_TESTER, 1.0)
    variances = [
        (1.0 - STABILITY) * (model * model) + variance_factor * readings
        for model, readings in zip(common.model, common.readings, strict=True)
    ]
    apart = common.model[0] - common.model[1]
    # what goes together of both models cancels but for what they differ by
    se = np.sqrt(STABILITY * (apart * apart) + variances[0] + variances[1])
    amount = common.estimates[1] - common.estimates[0]
    percent = Differences(common.estimates[0], amount, np.where(np.isnan(amount), np.nan, se))
    return Paired(
        percent,
        _weights(earlier, later, used["weight_kg"]),
        _breaks(taken, used, earlier, later, same_tester, weeks)
        | {"equations_differ": common.equations_differ},
    )


def _weights(earlier: People, later: People, used: BoolArray) -> Differences:
    before, now = (people.columns["weight_kg"] for people in (earlier, later))
    nothing = np.zeros(used.size)
    errors = [people.reading_se.get("weight_kg", nothing) for people in (earlier, later)]
    amount = np.where(used, now - before, np.nan)
    return Differences(before, amount, np.where(used, np.hypot(*errors), np.nan))


def _breaks(
    taken: list[dict[str, BoolArray]],
    used: Mapping[str, BoolArray],
    earlier: People,
    later: People,
    same_tester: Array,
    weeks: Array,
) -> dict[str, BoolArray]:
    """What breaks each comparison, in the order in which a page of two visits tells it."""
    nobody = np.zeros(same_tester.size, dtype=bool)
    once, folds = nobody.copy(), nobody.copy()
    for name in MEASURED:
        once |= taken[0][name] != taken[1][name]
        if BY_NAME[name].kind == "skinfold":
            folds |= used[name]
    height, height_before = (people.columns["height_cm"] for people in (later, earlier))
    with np.errstate(invalid="ignore"):
        return {
            "measured_once": once,
            "other_tester": same_tester == 0.0,
            "tester_not_known": np.isnan(same_tester),
            "calliper_not_known": folds,
            "height_differs": np.abs(height - height_before) > HEIGHT_MOVES,
            "too_soon": weeks < FIRST_WEEKS,
        }

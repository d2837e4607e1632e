"""Difference: whether a difference between visits of one client is real.

Most of a method's error belongs to the person and the equation and is there at every visit, so it
cancels in a difference taken with the same method. What does not cancel are the readings, and the part
of the other errors that is not the same on another day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.families.combine import Z_LIKELY, Z_WIDE
from foldspan.explanation.what_if import Case
from foldspan.followup.comparability import (
    CALLIPER_SHARE,
    DAYS_A_WEEK,
    CommonEstimates,
    ComparedVisit,
    common_estimates,
)
from foldspan.interpretation.measured import chance_below
from foldspan.numerics.normal import quantile
from foldspan.numerics.ordered_sums import inner, product, quadratic
from foldspan.quantities import BY_NAME, DAYS_A_MONTH, WAISTS

# How alike a person's own error is at two visits, as a correlation (our assumption; the page shows what
# it does to the answer).
STABILITY = 0.90
STABILITIES = (0.80, 0.90, 0.95)
# Folds of one person vary by 14.9 to 20.8 % over days and waists by 3.0 %, one observer's repeats by
# 7.3 to 16.0 % and 1.4 % (Int J Obes 2000;24:652-657, 51 lean and overweight adults, abstract read).
# What the lower ends hold beyond the errors of the readings, rounded; other girths are our guess.
DAY_SHARE_FOLD, DAY_SHARE_WAIST, DAY_SHARE_GIRTH = 0.12, 0.025, 0.01
LEAST_VISITS = 3
# what is judged over three visits and more: first to last, last to the one before, the trend
COMPARISONS = 3
CHANCE_OF_ALARM = 0.05


@cache
def z_real(comparisons: int = 1) -> float:
    """Return how many standard errors make a change real, where so many changes are judged at once.

    Chance passes any of them in fewer than 1 case of 20, however they hang together (Sidak 1967, J Am
    Stat Assoc 62:626-633, not verified in print: the chance that all of several normal values stay
    within bounds is at least the product of their chances).
    """
    if comparisons == 1:
        return Z_WIDE
    alone = (1.0 - CHANCE_OF_ALARM) ** (1.0 / comparisons)
    return quantile(0.5 + alone / 2.0)


@dataclass(frozen=True, slots=True, repr=False)
class Difference:
    """Later less earlier, with its standard error, both in one unit; None where not known."""

    earlier: float
    """Value at the earlier visit [unit of what changed]."""
    later: float
    """Value at the later visit [unit of what changed]."""
    se: float
    """Standard error of the difference [unit of what changed]."""
    judged_at: float = Z_WIDE
    """How many standard errors a real change must exceed."""

    @property
    def amount(self) -> float:
        """How much it went up; below zero it went down."""
        return self.later - self.earlier

    @property
    def range_80(self) -> tuple[float, float]:
        """Span that holds the true change with 8 chances in 10."""
        return self.amount - Z_LIKELY * self.se, self.amount + Z_LIKELY * self.se

    @property
    def range_95(self) -> tuple[float, float]:
        """Span that holds the true change with 19 chances in 20."""
        return self.amount - Z_WIDE * self.se, self.amount + Z_WIDE * self.se

    @property
    def minimal_detectable_change(self) -> float:
        """Smallest change that chance makes in fewer than 1 case in 20."""
        return self.judged_at * self.se

    @property
    def chance_of_fall(self) -> float:
        """Chance that the true value went down."""
        return float(chance_below(0.0, np.array([self.amount]), np.array([self.se]))[0])

    @property
    def is_real(self) -> bool:
        """Whether it is larger than chance makes in 19 cases of 20."""
        return abs(self.amount) > self.minimal_detectable_change


@dataclass(frozen=True, slots=True, repr=False)
class Change:
    """What changed between two visits."""

    percent: Difference | None
    """Body fat [percentage points]; None if not known at both visits."""
    fat_mass: Difference | None
    """Fat mass [kg]."""
    fat_free_mass: Difference | None
    """Fat-free mass [kg]."""
    weight: Difference | None
    """Body weight [kg]."""
    folds: Difference | None
    """Sum of the skinfolds measured at both visits [mm]."""
    girths: Mapping[str, Difference]
    """Each girth measured at both visits [cm], by quantity name."""
    used: tuple[str, ...]
    """Quantities measured in the same way at both visits, on which the difference is based."""
    once: tuple[str, ...]
    """Quantities measured at only one of the two visits."""
    breaks: tuple[str, ...]
    """Codes of what differed in how the visits were measured."""
    weeks: float | None
    """Time between the visits [weeks]; None if a date is missing."""
    cancelled: float
    """Share of the variance that cancels between the two visits [0 to 1]."""
    by_stability: Mapping[float, float]
    """Assumed correlation of a method's errors → standard error of ``percent`` [points]."""


def change_between(earlier: ComparedVisit, later: ComparedVisit, *, comparisons: int = 1) -> Change:
    """Return what changed from one visit to the next.

    Only what was measured at both visits counts, at the same variant of its site and with the equations
    that fit at both.

    Parameters
    ----------
    earlier, later : ComparedVisit
        Two visits of one client with the same settings.
    comparisons : int
        How many changes are judged at once: the percentage, the masses and the weight have to be so
        much clearer. Raw measures are judged one by one.
    """
    common = common_estimates((earlier, later))
    cases = (earlier.case, later.case)
    weight = _plain(cases, ["weight_kg"], 1.0) if "weight_kg" in common.used else None
    fat, lean = _masses(common, weight)
    percent, fat, lean, weight = (
        None if difference is None else replace(difference, judged_at=z_real(comparisons))
        for difference in (_percent(common), fat, lean, weight)
    )
    weeks = None
    if earlier.day is not None and later.day is not None:
        weeks = (later.day - earlier.day).days / DAYS_A_WEEK
    return Change(
        percent=percent,
        fat_mass=fat,
        fat_free_mass=lean,
        weight=weight,
        folds=_sum_of_folds(cases, common),
        girths={
            name: _plain(cases, [name], common.variance_factor)
            for name in common.used
            if BY_NAME[name].kind == "girth"
        },
        used=common.used,
        once=common.once,
        breaks=common.breaks,
        weeks=weeks,
        cancelled=_cancelled(common),
        by_stability={stability: _se(common, stability) for stability in STABILITIES}
        if common.estimates
        else {},
    )


def _se(
    common: CommonEstimates, stability: float, factors: tuple[float, float] = (1.0, 1.0)
) -> float:
    """Standard error of the later visit less the earlier one, each times its factor."""
    earlier, together, later = common.of_two(stability, factors)
    return math.sqrt(earlier + later - 2.0 * together)


def _plain(cases: tuple[Case, Case], names: Sequence[str], variance_factor: float) -> Difference:
    """Sum of some measurements at both visits; errors of the readings, and of another day."""
    totals, variance = [], 0.0
    for case in cases:
        values = case.values
        totals.append(sum(values[name] for name in names))
        for name in names:
            variance += variance_factor * float(case.people.reading_se[name][0]) ** 2
            variance += (_day_share(name) * values[name]) ** 2
    return Difference(totals[0], totals[1], math.sqrt(variance))


def _day_share(name: str) -> float:
    """What a measurement of an unchanged body differs by from day to day, as a share of itself."""
    if name in WAISTS:
        return DAY_SHARE_WAIST
    return {"skinfold": DAY_SHARE_FOLD, "girth": DAY_SHARE_GIRTH}.get(BY_NAME[name].kind, 0.0)


def _sum_of_folds(cases: tuple[Case, Case], common: CommonEstimates) -> Difference | None:
    """Sum of the folds at both visits; another calliper moves all of them together."""
    if not common.folds:
        return None
    plain = _plain(cases, common.folds, common.variance_factor)
    if "other_calliper" not in common.breaks:
        return plain
    calliper = CALLIPER_SHARE * (plain.earlier + plain.later) / 2.0
    return Difference(plain.earlier, plain.later, math.hypot(plain.se, calliper))


def _percent(common: CommonEstimates) -> Difference | None:
    if not common.estimates:
        return None
    return Difference(common.estimates[0], common.estimates[1], _se(common, STABILITY))


def _masses(
    common: CommonEstimates, weight: Difference | None
) -> tuple[Difference | None, Difference | None]:
    """Fat and lean mass [kg]; together they change as the weight does."""
    if not common.estimates or weight is None:
        return None, None
    kilograms = (weight.earlier, weight.later)
    shares = tuple(percent / 100.0 for percent in common.estimates)
    fat = [share * mass for share, mass in zip(shares, kilograms, strict=True)]
    spread = _se(common, STABILITY, (kilograms[0] / 100.0, kilograms[1] / 100.0))
    scale = weight.se / math.sqrt(2.0)  # of one weighing
    fat_se = math.hypot(spread, scale * math.hypot(*shares))
    fat_free_se = math.hypot(spread, scale * math.hypot(1.0 - shares[0], 1.0 - shares[1]))
    return (
        Difference(fat[0], fat[1], fat_se),
        Difference(kilograms[0] - fat[0], kilograms[1] - fat[1], fat_free_se),
    )


def _cancelled(common: CommonEstimates) -> float:
    """Share of the variance of two independent ranges that cancels in their difference."""
    alone = _se(common, 0.0) if common.estimates else 0.0
    return 1.0 - (_se(common, STABILITY) / alone) ** 2 if alone > 0.0 else 0.0


@dataclass(frozen=True, slots=True, repr=False)
class Trend:
    """A straight line through more than two visits: points a month, and its standard error."""

    a_month: float
    """Slope of the line [percentage points per month]."""
    se: float
    """Standard error of the slope [percentage points per month]."""
    visits: int
    """Number of visits it is fitted to."""
    months: float
    """Time from the first visit to the last [months]."""
    breaks: tuple[str, ...] = ()
    """Codes of what differed in how the visits were measured."""
    judged_at: float = Z_WIDE
    """How many standard errors a real change must exceed."""

    @property
    def whole(self) -> Difference:
        """What the line goes up by from the first visit to the last [points], the first as nought."""
        return Difference(0.0, self.a_month * self.months, self.se * self.months, self.judged_at)

    @property
    def chance_of_fall(self) -> float:
        """Chance that the true value goes down."""
        return self.whole.chance_of_fall

    @property
    def is_real(self) -> bool:
        """Whether it goes up or down by more than chance makes in 19 cases of 20."""
        return self.whole.is_real


def trend_of(taken: Sequence[ComparedVisit], *, comparisons: int = COMPARISONS) -> Trend | None:
    """Return the trend of the fat percentage over dated visits, from what all of them measured.

    Generalised least squares: the line is weighed by the covariance of the visits, in which what they
    share cancels. Its error is the larger of two: with what they do not share new at every visit, and
    with a slow drift of it, alike between neighbours and ``STABILITY`` between first and last. None
    where fewer than three days are dated, or no equation fits all visits.
    """
    dated = sorted(
        (visit for visit in taken if visit.day is not None), key=lambda visit: str(visit.day)
    )
    if len({visit.day for visit in dated}) < LEAST_VISITS:
        return None
    common = common_estimates(dated)
    if not common.estimates:
        return None
    first = dated[0].day
    assert first is not None
    months = np.array(
        [(visit.day - first).days / DAYS_A_MONTH for visit in dated if visit.day is not None]
    )
    pulls, se = _line(common, months)
    return Trend(
        inner(pulls, np.array(common.estimates)), se, len(dated), float(months[-1]),
        common.breaks, z_real(comparisons),
    )  # fmt: skip


def _line(common: CommonEstimates, months: Array) -> tuple[Array, float]:
    """What each visit adds to the slope [a month], and the slope's standard error."""
    design = np.column_stack([np.ones_like(months), months])
    covariance = common.covariance(STABILITY)
    inverse = np.linalg.inv(covariance)
    spread = np.linalg.inv(product(product(design.T, inverse), design))
    pulls = product(product(spread, design.T), inverse)[1]
    drifting = common.drifting(STABILITY, months)
    return pulls, math.sqrt(max(quadratic(pulls, part) for part in (covariance, drifting)))

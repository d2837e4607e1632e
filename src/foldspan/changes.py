"""Change: whether a difference between visits of one client is real.

Most of a method's error belongs to the person and the equation and is there at every visit, so it
cancels in a difference taken with the same method. What does not cancel are the readings, and the part
of the other errors that is not the same on another day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from foldspan.agreement import Z_LIKELY, Z_WIDE
from foldspan.applicability import LEAVES_OUT
from foldspan.bands import chance_below
from foldspan.case import Case, versions
from foldspan.catalogue.card import FAMILIES, Array
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.reconciliation import Reconciled, cards_for, reconcile_people

# How alike a person's own error is at two visits, as a correlation (our assumption; the page shows what
# it does to the answer).
STABILITY = 0.90
STABILITIES = (0.80, 0.90, 0.95)
# Callipers of two kinds can differ by about a tenth of every fold: 8 to 9 g/mm² of jaw pressure thins
# folds by 10 % (evidence on callipers, abstract read); as a standard error it is our use.
CALLIPER_SHARE = 0.10
# Another tester finds other marks: the variance of the readings counts twice (our proposal).
OTHER_TESTER = 2.0
# Before this many weeks a change in fat is smaller than what can be told (evidence: our proposal).
FIRST_WEEKS, USUAL_WEEKS = 4.0, 8.0
DAYS_A_WEEK = 7.0
BREAKS: dict[str, str] = {
    "other_tester": "another tester measured",
    "tester_not_known": "who measured is not noted at both visits",
    "other_calliper": "another calliper was used",
    "other_time": "another time of the day",
    "variant_differs": "a fold was taken at another variant of its site",
    "other_side": "a site was taken on the left at one visit only",
    "measured_once": "a site was measured at one visit only",
    "equations_differ": "equations fit at one visit only",
    "too_soon": "less than four weeks lie between",
}


@dataclass(frozen=True, slots=True, repr=False)
class Taken:
    """One visit as far as a comparison needs it; ``hour`` is the time of the day [h]."""

    case: Case
    day: date | None = None
    tester: str = ""
    calliper: str = ""
    hour: float | None = None
    variants: Mapping[str, str] = field(default_factory=dict)
    left_side: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class Difference:
    """Later less earlier, with its standard error, both in one unit; None where not known."""

    earlier: float
    later: float
    se: float

    @property
    def amount(self) -> float:
        """How much it went up; below zero it went down."""
        return self.later - self.earlier

    @property
    def likely(self) -> tuple[float, float]:
        """Span that holds the true change with 8 chances in 10."""
        return self.amount - Z_LIKELY * self.se, self.amount + Z_LIKELY * self.se

    @property
    def wide(self) -> tuple[float, float]:
        """Span that holds the true change with 19 chances in 20."""
        return self.amount - Z_WIDE * self.se, self.amount + Z_WIDE * self.se

    @property
    def smallest_real(self) -> float:
        """Smallest change that chance makes in fewer than 1 case in 20."""
        return Z_WIDE * self.se

    @property
    def chance_of_fall(self) -> float:
        """Chance that the true value went down."""
        return float(chance_below(0.0, np.array([self.amount]), np.array([self.se]))[0])

    @property
    def is_real(self) -> bool:
        """Whether it is larger than chance makes in 19 cases of 20."""
        return abs(self.amount) > self.smallest_real


@dataclass(frozen=True, slots=True, repr=False)
class Change:
    """What changed between two visits.

    ``percent`` is in points, masses in kg, ``folds`` the sum of the folds measured twice [mm],
    ``girths`` each girth [cm]. ``cancelled`` is the share of the variance of two independent ranges
    that cancels; ``by_stability`` the standard error of ``percent`` for other stabilities.
    """

    percent: Difference | None
    fat_mass: Difference | None
    lean_mass: Difference | None
    weight: Difference | None
    folds: Difference | None
    girths: Mapping[str, Difference]
    used: tuple[str, ...]
    once: tuple[str, ...]
    breaks: tuple[str, ...]
    weeks: float | None
    cancelled: float
    by_stability: Mapping[float, float]


@dataclass(frozen=True, slots=True, repr=False)
class _Point:
    """The two visits on one footing: estimates, and standard deviations of model and readings."""

    estimates: tuple[float, float]
    model: tuple[float, float]
    readings: tuple[float, float]
    equations_differ: bool

    def se(self, stability: float, of: tuple[float, float] = (1.0, 1.0)) -> float:
        """Standard error of the difference, each side times its factor."""
        first, later = (side * sd for side, sd in zip(of, self.model, strict=True))
        own = [(side * sd) ** 2 for side, sd in zip(of, self.readings, strict=True)]
        return math.sqrt(first**2 + later**2 - 2.0 * stability * first * later + sum(own))


def change_between(earlier: Taken, later: Taken) -> Change:
    """Return what changed from one visit to the next.

    Only what was measured at both visits counts, at the same variant of its site and with the equations
    that fit at both.

    Parameters
    ----------
    earlier, later : Taken
        Two visits of one client with the same settings.
    """
    once, names, breaks = _in_common(earlier, later)
    point = _footing(earlier.case, later.case, names)
    extra = _calliper_sd(later.case, names) if "other_calliper" in breaks else 0.0
    worse = OTHER_TESTER if "other_tester" in breaks else 1.0
    if point is not None:
        sides = tuple(math.sqrt(worse * sd**2 + 0.5 * extra**2) for sd in point.readings)
        point = replace(point, readings=(sides[0], sides[1]))
        breaks += ["equations_differ"] if point.equations_differ else []
    weight = _plain(earlier.case, later.case, ["weight_kg"], 1.0) if "weight_kg" in names else None
    weeks = None
    if earlier.day is not None and later.day is not None:
        weeks = (later.day - earlier.day).days / DAYS_A_WEEK
        breaks += ["too_soon"] if weeks < FIRST_WEEKS else []
    folds = [name for name in names if BY_NAME[name].kind == "skinfold"]
    fat, lean = _masses(point, weight)
    return Change(
        percent=_percent(point),
        fat_mass=fat,
        lean_mass=lean,
        weight=weight,
        folds=_plain(earlier.case, later.case, folds, worse) if folds else None,
        girths={
            name: _plain(earlier.case, later.case, [name], worse)
            for name in names
            if BY_NAME[name].kind == "girth"
        },
        used=tuple(names),
        once=tuple(once),
        breaks=tuple(breaks),
        weeks=weeks,
        cancelled=_cancelled(point),
        by_stability={} if point is None else {one: point.se(one) for one in STABILITIES},
    )


def _in_common(earlier: Taken, later: Taken) -> tuple[list[str], list[str], list[str]]:
    """What was measured once, what was measured twice alike, and what breaks the comparison."""
    first, second = set(earlier.case.values), set(later.case.values)
    once = [name for name in MEASURED if (name in first) != (name in second)]
    both = [name for name in MEASURED if name in first and name in second]
    moved = [
        name
        for name in both
        if "" not in (at := {one.variants.get(name, "") for one in (earlier, later)})
        and len(at) > 1
    ]
    breaks = ["variant_differs"] * bool(moved) + ["measured_once"] * bool(once)
    if set(both) & (set(earlier.left_side) ^ set(later.left_side)):
        breaks.append("other_side")
    if not (earlier.tester and later.tester):
        breaks.append("tester_not_known")
    elif earlier.tester != later.tester:
        breaks.append("other_tester")
    if earlier.calliper and later.calliper and earlier.calliper != later.calliper:
        breaks.append("other_calliper")
    if earlier.hour is not None and later.hour is not None and abs(earlier.hour - later.hour) > 3.0:
        breaks.append("other_time")
    return once, [name for name in both if name not in moved], breaks


def _footing(earlier: Case, later: Case, names: Sequence[str]) -> _Point | None:
    """Both visits with the same measurements, equations and weights; None if no equation fits both."""
    answers = [_only(case, names) for case in (earlier, later)]
    cards = answers[0].cards
    members = np.array(
        [[card.family == family for family in FAMILIES] for card in cards], dtype=float
    )
    usable = [(answer.flags[:, 0] & int(LEAVES_OUT)) == 0 for answer in answers]
    both = usable[0] & usable[1]
    if not both.any():
        return None
    weights = sum(
        answer.weights[:, 0] * (members @ answer.combined.weights[:, 0]) for answer in answers
    )
    weights = np.where(both, weights, 0.0)
    if not weights.sum() > 0.0:
        return None
    weights = weights / weights.sum()
    families = members.T @ weights
    estimates, model, readings = [], [], []
    for answer in answers:
        estimates.append(float(weights @ np.where(both, answer.percent[:, 0], 0.0)))
        covariance = np.nan_to_num(answer.covariance[0])
        own = float(families @ answer.blocks["tester"][0] @ families)
        model.append(math.sqrt(max(float(families @ covariance @ families) - own, 0.0)))
        readings.append(math.sqrt(own))
    return _Point(
        (estimates[0], estimates[1]),
        (model[0], model[1]),
        (readings[0], readings[1]),
        bool((usable[0] != usable[1]).any()),
    )


def _only(case: Case, names: Sequence[str]) -> Reconciled:
    """The case reconciled from some of its measurements."""
    left = {name: math.nan for name in case.values if name not in names}
    people = versions(case.people, [left])
    return reconcile_people(cards_for(people.sex), people, case.settings)


def _calliper_sd(case: Case, names: Sequence[str]) -> float:
    """What a tenth in every fold makes of the percentage [points]."""
    folds = {
        name: value * (1.0 + CALLIPER_SHARE)
        for name, value in case.values.items()
        if name in names and BY_NAME[name].kind == "skinfold"
    }
    if not folds:
        return 0.0
    left = {name: math.nan for name in case.values if name not in names}
    people = versions(case.people, [left, left | folds])
    estimate = reconcile_people(cards_for(people.sex), people, case.settings).combined.estimate
    return float(abs(estimate[1] - estimate[0])) if np.isfinite(estimate).all() else 0.0


def _plain(earlier: Case, later: Case, names: Sequence[str], worse: float) -> Difference:
    """Sum of some measurements at both visits, with the error of their readings."""

    def side(case: Case) -> tuple[float, float]:
        total = sum(case.values[name] for name in names)
        errors: list[Array] = [case.people.reading_se[name] for name in names]
        return total, float(np.sqrt(np.sum(np.square(errors))))

    (first, first_se), (second, second_se) = side(earlier), side(later)
    return Difference(first, second, math.sqrt(worse * (first_se**2 + second_se**2)))


def _percent(point: _Point | None) -> Difference | None:
    if point is None:
        return None
    return Difference(*point.estimates, point.se(STABILITY))


def _masses(
    point: _Point | None, weight: Difference | None
) -> tuple[Difference | None, Difference | None]:
    """Fat and lean mass [kg]; together they change as the weight does."""
    if point is None or weight is None:
        return None, None
    kilograms = (weight.earlier, weight.later)
    shares = tuple(percent / 100.0 for percent in point.estimates)
    fat = [share * mass for share, mass in zip(shares, kilograms, strict=True)]
    spread = point.se(STABILITY, (kilograms[0] / 100.0, kilograms[1] / 100.0))
    scale = weight.se / math.sqrt(2.0)  # of one weighing
    fat_se = math.hypot(spread, scale * math.hypot(*shares))
    lean_se = math.hypot(spread, scale * math.hypot(1.0 - shares[0], 1.0 - shares[1]))
    return (
        Difference(fat[0], fat[1], fat_se),
        Difference(kilograms[0] - fat[0], kilograms[1] - fat[1], lean_se),
    )


def _cancelled(point: _Point | None) -> float:
    """Share of the variance of two independent ranges that cancels in their difference."""
    if point is None:
        return 0.0
    alone = point.se(0.0)
    return 1.0 - (point.se(STABILITY) / alone) ** 2 if alone > 0.0 else 0.0


@dataclass(frozen=True, slots=True, repr=False)
class Trend:
    """A straight line through more than two visits: points a month, and its standard error."""

    a_month: float
    se: float
    visits: int

    @property
    def chance_of_fall(self) -> float:
        """Chance that the true value goes down."""
        return float(chance_below(0.0, np.array([self.a_month]), np.array([self.se]))[0])


def trend_of(taken: Sequence[Taken]) -> Trend | None:
    """Return the trend of the fat percentage over dated visits, from what all of them measured.

    Least squares with the covariance of the visits: the errors of the model go together by
    ``STABILITY``, those of the readings do not. None with fewer than three dated visits.
    """
    dated = sorted((one for one in taken if one.day is not None), key=lambda one: str(one.day))
    if len(dated) < 3:
        return None
    names = [name for name in MEASURED if all(name in one.case.values for one in dated)]
    points = [_footing(dated[0].case, one.case, names) for one in dated]
    known = [one for one in points if one is not None]
    if len(known) < len(points):
        return None
    values = np.array([one.estimates[1] for one in known])
    model = np.array([one.model[1] for one in known])
    readings = np.array([one.readings[1] for one in known])
    covariance = STABILITY * np.outer(model, model) + np.diag(
        (1.0 - STABILITY) * model**2 + readings**2
    )
    first = dated[0].day
    assert first is not None
    months = np.array([(one.day - first).days / 30.4375 for one in dated if one.day is not None])
    design = np.column_stack([np.ones_like(months), months])
    inverse = np.linalg.inv(covariance)
    spread = np.linalg.inv(design.T @ inverse @ design)
    slope = float((spread @ design.T @ inverse @ values)[1])
    return Trend(slope, math.sqrt(float(spread[1, 1])), len(dated))

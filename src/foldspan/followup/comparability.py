"""Comparability: visits of one client brought to what can be compared.

Only what was measured at all of them counts, at one variant of its site, with the equations that fit at
all of them and one set of weights.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import pairwise

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.applicability import ANCESTRY_INDICATORS, LEAVES_OUT
from foldspan.estimation.local_correction import by_family
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.explanation.what_if import Case, versions
from foldspan.measurement.against_earlier import HEIGHT_MOVES
from foldspan.numerics.ordered_sums import inner, product, quadratic
from foldspan.quantities import BY_NAME, MEASURED

# Callipers of two kinds can differ by about a tenth of every fold: 8 to 9 g/mm² of jaw pressure thins
# folds by 10 % (Gore 2000, abstract read; author and year not verified in print); as a
# standard error it is our use.
CALLIPER_SHARE = 0.10
# Another tester finds other marks: the variance of the readings counts twice (our choice).
OTHER_TESTER = 2.0
# Before this many weeks a change in fat is smaller than what can be told (our choice, no source).
FIRST_WEEKS = 4.0
DAYS_A_WEEK, HOURS_ALIKE = 7.0, 3.0
BREAKS: dict[str, str] = {
    "other_tester": "a different tester measured",
    "tester_not_known": "the tester is not recorded at every visit",
    "other_calliper": "a different calliper was used",
    "calliper_not_known": "the calliper is not recorded at every visit",
    "other_time": "a different time of day",
    "variant_differs": "a skinfold was taken at a different version of its site",
    "other_side": "a site was measured on the left at one visit only",
    "clothing_differs": "a girth was measured over clothing at one visit only",
    "height_differs": "an adult client's height changed",
    "measured_once": "a site was measured at one visit only",
    "equations_differ": "some equations could be used at one visit only",
    "too_soon": "less than four weeks between visits",
}


@dataclass(frozen=True, slots=True, repr=False)
class ComparedVisit:
    """One visit as far as a comparison needs it; ``hour`` is the time of the day [h]."""

    case: Case
    day: date | None = None
    tester: str = ""
    calliper: str = ""
    hour: float | None = None
    variants: Mapping[str, str] = field(default_factory=dict)
    left_side: tuple[str, ...] = ()
    over_clothing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class CommonEstimates:
    """What visits have in common: estimates [%], and standard deviations of model and readings [points].

    ``used`` were measured at all visits alike, ``once`` at some only; ``breaks`` are codes of
    ``BREAKS``. Estimates are empty where no equation fits all visits.
    """

    used: tuple[str, ...]
    once: tuple[str, ...]
    breaks: tuple[str, ...]
    estimates: tuple[float, ...] = ()
    model: tuple[float, ...] = ()
    readings: tuple[float, ...] = ()

    @property
    def folds(self) -> tuple[str, ...]:
        """The folds among what was used."""
        return tuple(name for name in self.used if BY_NAME[name].kind == "skinfold")

    @property
    def worse(self) -> float:
        """How many times the variance of the readings counts."""
        return OTHER_TESTER if "other_tester" in self.breaks else 1.0

    def covariance(self, stability: float) -> Array:
        """Covariance of the visits [points²].

        Errors of the model go together by ``stability``, those of the readings do not.
        """
        model, readings = np.array(self.model), np.array(self.readings)
        whole = stability * np.outer(model, model)
        whole += np.diag((1.0 - stability) * model**2 + readings**2)
        return np.asarray(whole)

    def of_two(self, stability: float, factors: tuple[float, float]) -> tuple[float, float, float]:
        """``covariance`` of two visits, each times its factor: of the first, of both, of the second."""
        (first, second), (one, two) = self.model, factors
        earlier, later = (
            stability * (model * model) + ((1.0 - stability) * (model * model) + reading * reading)
            for model, reading in zip(self.model, self.readings, strict=True)
        )
        together = stability * (first * second)
        return earlier * (one * one), together * (one * two), later * (two * two)

    def drifting(self, stability: float, months: Array) -> Array:
        """Covariance of the visits [points²] where errors of the model drift over time, (visits,).

        They go together by ``stability`` at the first visit and the last, more the nearer two are.
        """
        apart = np.abs(months[:, None] - months[None, :]) / (months[-1] - months[0])
        model = np.array(self.model)
        return np.asarray(
            np.outer(model, model) * stability**apart + np.diag(np.array(self.readings) ** 2)
        )


def common_estimates(taken: Sequence[ComparedVisit]) -> CommonEstimates:
    """Return visits of one client, in their order as far as all have it in common."""
    measured = [set(visit.case.values) for visit in taken]
    once = [name for name in MEASURED if 0 < sum(name in names for names in measured) < len(taken)]
    both = [name for name in MEASURED if all(name in names for names in measured)]
    moved = [name for name in both if _is_moved(taken, name)]
    used = [name for name in both if name not in moved]
    breaks = [
        *(["variant_differs"] if moved else []),
        *(["measured_once"] if once else []),
        *_breaks(taken, used),
    ]
    return _estimated(taken, CommonEstimates(tuple(used), tuple(once), tuple(breaks)))


def _is_moved(taken: Sequence[ComparedVisit], name: str) -> bool:
    """Whether a site is known to have been taken at two variants."""
    return len({visit.variants.get(name, "") for visit in taken} - {""}) > 1


def _breaks(taken: Sequence[ComparedVisit], used: Sequence[str]) -> Iterator[str]:
    """What breaks the comparison of visits, by its code."""
    testers = {visit.tester for visit in taken}
    if "" in testers:
        yield "tester_not_known"
    elif len(testers) > 1:
        yield "other_tester"
    if any(BY_NAME[name].kind == "skinfold" for name in used):
        callipers = {visit.calliper for visit in taken}
        if len(callipers - {""}) > 1:
            yield "other_calliper"
        elif "" in callipers:
            yield "calliper_not_known"
    hours = [visit.hour for visit in taken if visit.hour is not None]
    if hours and max(hours) - min(hours) > HOURS_ALIKE:
        yield "other_time"
    for code, lists in (
        ("other_side", [set(visit.left_side) for visit in taken]),
        ("clothing_differs", [set(visit.over_clothing) for visit in taken]),
    ):
        if any(len({name in names for names in lists}) > 1 for name in used):
            yield code
    heights = [
        visit.case.values["height_cm"] for visit in taken if "height_cm" in visit.case.values
    ]
    if heights and max(heights) - min(heights) > HEIGHT_MOVES:
        yield "height_differs"
    days = [visit.day for visit in taken if visit.day is not None]
    if any((later - day).days < FIRST_WEEKS * DAYS_A_WEEK for day, later in pairwise(days)):
        yield "too_soon"


def _estimated(taken: Sequence[ComparedVisit], common: CommonEstimates) -> CommonEstimates:
    """What is common, with its estimates and their errors, where an equation fits all visits."""
    answers = [_only(visit.case, common.used, taken[0].case) for visit in taken]
    cards = answers[0].cards
    members = np.array(
        [[card.method == family for family in FAMILIES] for card in cards], dtype=float
    )
    usable = np.array([(answer.flags[:, 0] & int(LEAVES_OUT)) == 0 for answer in answers])
    all_fit = usable.all(axis=0)
    breaks = common.breaks
    if (usable.any(axis=0) != all_fit).any():
        breaks = (*breaks, "equations_differ")
    weights = np.where(
        all_fit,
        sum(
            visit.weights[:, 0] * (product(members, visit.combined.weights[:, 0]))
            for visit in answers
        ),
        0.0,
    )
    if not weights.sum() > 0.0:
        return CommonEstimates(common.used, common.once, breaks)
    weights = weights / weights.sum()
    families = product(members.T, weights)
    extra = 0.0
    if "other_calliper" in breaks:
        moved = [_calliper_sd(visit.case, common, taken[0].case) for visit in taken]
        extra = 0.5 * (sum(moved) / len(moved)) ** 2
    # one weight each: what a site's own correction takes off is the same at every visit
    first = taken[0].case
    off = inner(families, by_family(first.settings.local, first.people.sex).offset)
    estimates, model, readings = [], [], []
    for answer in answers:
        printed = inner(weights, np.where(all_fit, answer.percent[:, 0], 0.0))
        estimates.append(printed - off)
        own = quadratic(families, answer.blocks["tester"][0])
        whole = quadratic(families, np.nan_to_num(answer.covariance[0]))
        model.append(math.sqrt(max(whole - own, 0.0)))
        readings.append(math.sqrt(common.worse * own + extra))
    return CommonEstimates(
        common.used, common.once, breaks, tuple(estimates), tuple(model), tuple(readings)
    )


def _only(case: Case, names: Sequence[str], first: Case) -> Reconciled:
    """The case reconciled from some of its measurements, at age, height, background of the first visit.

    A birthday between two visits would move equations with age bands, another reading of the same
    height all that divide by it, a background or training told at one visit only all that know of it:
    none is a change of the body.
    """
    fixed = {name: math.nan for name in case.values if name not in names}
    fixed |= {"age_years": first.age}
    if "height_cm" in names:
        fixed |= {"height_cm": first.values["height_cm"]}
    stated = first.people
    stated_inputs = ("is_athlete", *ANCESTRY_INDICATORS.values())
    fixed |= {name: float(stated.columns[name][0]) for name in stated_inputs}
    people = replace(versions(case.people, [fixed]), ancestry=stated.ancestry)
    return reconcile_people(case.settings.cards_for(people.sex), people, case.settings)


def _calliper_sd(case: Case, common: CommonEstimates, first: Case) -> float:
    """What a tenth in every fold makes of the percentage [points]."""
    if not common.folds:
        return 0.0
    thicker = {name: case.values[name] * (1.0 + CALLIPER_SHARE) for name in common.folds}
    moved = replace(case, people=versions(case.people, [thicker]))
    estimates = [
        float(_only(version, common.used, first).combined.estimate[0]) for version in (case, moved)
    ]
    return abs(estimates[1] - estimates[0]) if np.isfinite(estimates).all() else 0.0

"""Comparability: visits of one client brought to what can be compared.

Only what was measured at all of them counts, at one variant of its site, with the equations that fit at
all of them and one set of weights.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.estimation.pipeline import reconcile_people
from foldspan.explanation.what_if import Case, versions
from foldspan.followup.like_with_like import InCommon, have_in_common, only_in_common
from foldspan.measurement.against_earlier import HEIGHT_MOVES
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
    def variance_factor(self) -> float:
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
        (first, second), (first_factor, second_factor) = self.model, factors
        earlier, later = (
            stability * (model * model) + ((1.0 - stability) * (model * model) + reading * reading)
            for model, reading in zip(self.model, self.readings, strict=True)
        )
        together = stability * (first * second)
        return (
            earlier * (first_factor * first_factor),
            together * (first_factor * second_factor),
            later * (second_factor * second_factor),
        )

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
    found = _in_common([visit.case for visit in taken], common.used)
    breaks = common.breaks
    if found.equations_differ[0]:
        breaks = (*breaks, "equations_differ")
    estimates = tuple(found.estimates[:, 0].tolist())
    if math.isnan(estimates[0]):
        return CommonEstimates(common.used, common.once, breaks)
    extra = 0.0
    if "other_calliper" in breaks:
        moved = [_calliper_sd(visit.case, common, taken[0].case) for visit in taken]
        extra = 0.5 * (sum(moved) / len(moved)) ** 2
    return CommonEstimates(
        common.used,
        common.once,
        breaks,
        estimates,
        tuple(found.model[:, 0].tolist()),
        tuple(
            math.sqrt(common.variance_factor * own + extra) for own in found.readings[:, 0].tolist()
        ),
    )


def _in_common(cases: Sequence[Case], names: Sequence[str]) -> InCommon:
    """What visits of one client have in common, from some of their measurements."""
    return have_in_common([case.people for case in cases], _marked(names), cases[0].settings)


def _marked(names: Sequence[str]) -> dict[str, BoolArray]:
    """Every measured quantity → whether it is among some, for one client."""
    return {name: np.array([name in names]) for name in MEASURED}


def _calliper_sd(case: Case, common: CommonEstimates, first: Case) -> float:
    """What a tenth in every fold makes of the percentage [points]."""
    if not common.folds:
        return 0.0
    thicker = {name: case.values[name] * (1.0 + CALLIPER_SHARE) for name in common.folds}
    used, settings = _marked(common.used), case.settings
    estimates = [
        reconcile_people(
            settings.cards_for(people.sex), only_in_common(people, used, first.people), settings
        ).combined.estimate[0]
        for people in (case.people, versions(case.people, [thicker]))
    ]
    return float(abs(estimates[1] - estimates[0])) if np.isfinite(estimates).all() else 0.0

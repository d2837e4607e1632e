"""Combine: does a result from elsewhere go with the range?

A result whose sheet adds up (``consistency``) is placed against the range on its own scale, with its
method's own error; it is averaged with nothing unless that is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation import error_model
from foldspan.estimation.families import combine
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import Settings
from foldspan.external.consistency import Sheet, SheetCheck, check_sheet
from foldspan.numerics.ordered_sums import inner, quadratic
from foldspan.protocol.outside_methods import (
    OLD_AFTER_DAYS,
    OTHER_WEIGHT_SHARE,
    OUTSIDE_BY_KEY,
    SOUND,
    UNKNOWN_REFERENCE_SD,
)

# A result within this many standard deviations of the difference goes with the range (95 %).
CONSISTENT = combine.Z_WIDE
REMARKS: dict[str, str] = {
    "does_not_add_up": "its own numbers contradict each other",
    "too_little": "neither body-fat percentage nor the masses to calculate it",
    "not_sound": "outside 2% to 70% fat, as given or after conversion",
    "other_weight": "taken at another weight",
    "old": "taken too long before or after the visit",
    "no_date": "no date, or none on the visit: assumed to be the same day",
    "no_weight": "no weight on the sheet: the visit's weight is used",
    "scale_not_known": "reference method not stated",
    "method_not_known": "no method, so no published error: cannot be included in the range",
}
"""Code → meaning; docs/findings.md lists the same codes."""
BARS_JOINING = {
    "does_not_add_up", "too_little", "not_sound", "other_weight", "old", "method_not_known",
}  # fmt: skip


@dataclass(frozen=True, slots=True, repr=False)
class OutsideResult:
    """One result from elsewhere, as the visit file gives it."""

    method: str
    """Key of the method; see docs/visit-file.md."""
    sheet: Sheet
    """Its numbers."""
    day: date | None = None
    """Its date, None if not recorded."""


@dataclass(frozen=True, slots=True, repr=False)
class Placed:
    """An outside result against the range."""

    method: str
    """Key of the method."""
    fat_percent: float | None
    """Body fat as on its sheet [% of weight]; None if not given."""
    on_reference_method: float | None
    """The same, converted to the stated reference method [% of weight]."""
    error: float | None
    """Its standard deviation [percentage points]."""
    consistent: bool | None
    """Whether it and the range could both be right."""
    points_outside: float | None
    """Distance outside the 80% range [percentage points], 0 inside."""
    check: SheetCheck
    """Whether its sheet adds up."""
    remarks: tuple[str, ...]
    """Codes of remarks on it."""

    @property
    def may_join(self) -> bool:
        """Whether it may be taken into the range if that is asked for."""
        return self.on_reference_method is not None and not BARS_JOINING & set(self.remarks)


def place(
    result: OutsideResult,
    answer: Reconciled,
    settings: Settings,
    weight: float | None,
    day: date | None,
) -> Placed:
    """Place an outside result against the range of person 0.

    Parameters
    ----------
    result : OutsideResult
    answer : Reconciled
        With an estimate for person 0.
    settings : Settings
        Whose scale the range is on.
    weight : float or None
        Weight at the visit [kg].
    day : date or None
        Day of the visit.
    """
    method = OUTSIDE_BY_KEY[result.method]
    remarks: list[str] = []
    sheet = result.sheet
    check = check_sheet(sheet)
    if check.filled.fat_percent is None and sheet.weight is None and weight is not None:
        sheet = replace(sheet, weight=weight)
        check = check_sheet(sheet)
        remarks.append("no_weight")
    if check.adds_up is False and not check.may_be_bone:
        remarks.append("does_not_add_up")
    percent = check.filled.fat_percent
    if percent is None:
        return Placed(method.key, None, None, None, None, None, check, ("too_little", *remarks))
    remarks += _circumstances(result, check, weight, day)
    if not method.reference_method:
        remarks.append("scale_not_known" if method.key != "unknown" else "method_not_known")
    if not SOUND[0] <= percent <= SOUND[1]:
        return Placed(method.key, percent, None, None, None, None, check, ("not_sound", *remarks))
    moved, error = percent, method.error
    if not method.reference_method:
        error = math.hypot(error, UNKNOWN_REFERENCE_SD)
    elif method.reference_method != settings.reference_method:
        up = error_model.REFERENCE_OFFSET
        moved += up if settings.reference_method == "dxa" else -up
        error = math.hypot(error, error_model.REFERENCE_SD[settings.reference_method])
    if not SOUND[0] <= moved <= SOUND[1]:
        return Placed(method.key, percent, None, None, None, None, check, ("not_sound", *remarks))
    estimate, se = float(answer.combined.estimate[0]), float(answer.combined.se[0])
    apart = abs(moved - estimate)
    shared = _shared_with(answer, settings, result.method)
    spread = math.sqrt(max(se**2 + error**2 - 2.0 * shared, 0.0))
    outside = max(apart - combine.Z_LIKELY * se, 0.0)
    return Placed(
        method.key, percent, moved, error, apart <= CONSISTENT * spread, outside, check,
        tuple(remarks),
    )  # fmt: skip


def _circumstances(
    result: OutsideResult, check: SheetCheck, weight: float | None, day: date | None
) -> list[str]:
    """What counts against the result being of the same body on the same day.

    A sheet without a weight has one all the same, in its masses.
    """
    remarks = []
    given = result.sheet.weight or check.filled.weight
    if given is not None and weight is not None and abs(given / weight - 1.0) > OTHER_WEIGHT_SHARE:
        remarks.append("other_weight")
    if result.day is None or day is None:
        remarks.append("no_date")
    elif abs((result.day - day).days) > OLD_AFTER_DAYS:
        remarks.append("old")
    return remarks


def _shared_with(answer: Reconciled, settings: Settings, method: str) -> float:
    """Covariance of the range's error with that of the outside result [points²].

    Both may have been moved from the same other scale by the same step.
    """
    reference_method = OUTSIDE_BY_KEY[method].reference_method
    if reference_method in ("", settings.reference_method):
        return 0.0
    family = answer.combined.weights[:, 0]
    moved = np.array(
        [float(card.reference_method != settings.reference_method) for card in answer.cards]
    )
    places = np.argmax(error_model.family_rows(answer.cards), axis=0)
    moved_weight = float(np.sum(family[places] * answer.weights[:, 0] * moved))
    return moved_weight * error_model.REFERENCE_SD[settings.reference_method] ** 2


@dataclass(frozen=True, slots=True)
class Joined:
    """The range with outside results taken in.

    ``own`` is the weight left to the visit's methods, ``inflation`` by how much the error was widened
    because they disagree with the visit.
    """

    estimate: float
    se: float
    own: float = 1.0
    inflation: float = 1.0


# chi-square at .90 for one to six degrees of freedom (any table)
ALLOWED_MISFIT = (2.706, 4.605, 6.251, 7.779, 9.236, 10.645)
# Errors of other callipers and of the visit's own folds are of one body: half shared (our choice).
SHARED_BY_FOLDS = 0.5


def joining(placed: Sequence[Placed]) -> tuple[int, ...]:
    """Return the places of the results that join where that is asked for.

    One result a method, the first that may join: results of one method share their errors.
    """
    first: dict[str, int] = {}
    for order, result in enumerate(placed):
        if result.may_join:
            first.setdefault(result.method, order)
    return tuple(first.values())


def join(answer: Reconciled, settings: Settings, placed: Sequence[Placed]) -> Joined:
    """Take outside results into the answer of person 0, all at once.

    See ``joining`` for which. Weights are those of the smallest variance that are never negative; where
    the results and the visit disagree, the range widens as it does for families.
    """
    estimate, se = float(answer.combined.estimate[0]), float(answer.combined.se[0])
    chosen = [placed[order] for order in joining(placed)]
    if not chosen:
        return Joined(estimate, se)
    values = np.array([estimate, *(result.on_reference_method or 0.0 for result in chosen)])
    covariance = _joint_covariance(answer, settings, chosen, se)[None]
    present = np.ones((1, values.size), dtype=bool)
    weights = combine.best_weights(covariance, present)[0]
    q, dof = combine.misfit(values[None], covariance, present)
    inflation = max(1.0, float(q[0]) / ALLOWED_MISFIT[int(dof[0]) - 1])
    variance = quadratic(weights, covariance[0]) * inflation
    return Joined(
        inner(weights, values),
        math.sqrt(variance),
        float(weights[0]),
        math.sqrt(inflation),
    )


def _joint_covariance(
    answer: Reconciled, settings: Settings, chosen: Sequence[Placed], se: float
) -> Array:
    """Covariance of the range and of the results [points²], the range first."""
    step = error_model.REFERENCE_SD[settings.reference_method]
    moved = [
        OUTSIDE_BY_KEY[result.method].reference_method not in ("", settings.reference_method)
        for result in chosen
    ]
    size = len(chosen) + 1
    covariance = np.zeros((size, size))
    covariance[0, 0] = se**2
    folds = FAMILIES.index("skinfold")
    own_folds = float(
        answer.combined.weights[folds, 0] * math.sqrt(max(answer.covariance[0, folds, folds], 0.0))
    )
    for k, result in enumerate(chosen, start=1):
        covariance[k, k] = (result.error or 0.0) ** 2
        covariance[0, k] = _shared_with(answer, settings, result.method)
        if result.method == "other_callipers":
            covariance[0, k] += SHARED_BY_FOLDS * OUTSIDE_BY_KEY[result.method].error * own_folds
        covariance[k, 0] = covariance[0, k]
        for j in range(1, k):
            if moved[j - 1] and moved[k - 1]:
                covariance[j, k] = covariance[k, j] = step**2
    return covariance

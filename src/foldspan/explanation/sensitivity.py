"""Sensitivity: the reading at which two methods would agree, and the range without each part of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.families import combine
from foldspan.estimation.local_correction import by_family
from foldspan.explanation.case import CaseAnalysis, card_weights
from foldspan.explanation.what_if import Case, Changes, families_if, what_if
from foldspan.quantities import BY_NAME

# Values tried on either side of the reading, up to this many times as large or as small; the crossing
# is then closed in on by halving.
CANDIDATES, HALVINGS = 33, 6
FARTHEST, FARTHEST_FOLD = 2.0, 4.0
# Two methods agree where they differ by less than this [points].
AGREED = 0.1


@dataclass(frozen=True, slots=True, repr=False)
class WouldAgree:
    """The value of one reading at which two methods would agree; ``needed`` None if there is none."""

    quantity: str
    """Name of the quantity."""
    value: float
    """Its accepted value [unit of the quantity]."""
    needed: float | None
    """Value at which the two methods would agree [unit of the quantity]; None if there is none."""
    standard_errors_away: float | None
    """Distance to that value [standard errors of the accepted value]."""


@dataclass(frozen=True, slots=True, repr=False)
class LeftOutAnswer:
    """The answer without one method group or one measurement; all None if nothing is left."""

    without: str
    """The method group or quantity left out."""
    estimate: float | None
    """Estimate without it [% of weight]; None if nothing is left."""
    range_80: tuple[float, float] | None
    """Lower and upper end of the 80% range without it [% of weight]."""


def would_agree(analysis: CaseAnalysis, first: str, second: str) -> tuple[WouldAgree, ...]:
    """Return, for every measurement that bears on two methods, the value at which they would agree.

    Parameters
    ----------
    analysis : CaseAnalysis
    first, second : str
        Families, or keys of equations.

    Returns
    -------
    tuple of WouldAgree
        The likeliest first; those that no value could reconcile last. Everything else is held as it
        is, and only values that are possible in an adult are tried.

    Raises
    ------
    FoldspanError
        E501 if a method has no value.
    """
    case = analysis.case
    for name in (first, second):
        card_weights(analysis, name)  # raises if it has no value
    names = list(case.values)
    low, high = _bracket(case, names, first, second)
    needed = _close_in(case, names, low, high, first, second)
    crossings = []
    for place, name in enumerate(names):
        if np.isinf(needed[place]):
            continue  # the difference does not move with it
        value = case.values[name]
        error = float(case.people.reading_se[name][0]) if name in case.people.reading_se else 0.0
        if np.isnan(needed[place]):
            crossings.append(WouldAgree(name, value, None, None))
            continue
        away = (float(needed[place]) - value) / error if error > 0.0 else None
        crossings.append(WouldAgree(name, value, float(needed[place]), away))
    return tuple(
        sorted(crossings, key=lambda crossing: abs(crossing.standard_errors_away or np.inf))
    )


def _gap(case: Case, changes: Sequence[Changes], first: str, second: str) -> Array:
    """First less second by the stated reference method for every version, shape (N,)."""
    if {first, second} <= set(FAMILIES):  # single equations and errors are not asked for
        families = families_if(case, changes)
        return np.asarray(families[FAMILIES.index(first)] - families[FAMILIES.index(second)])
    result = what_if(case, changes, every=True)
    keys = [card.key for card in result.cards]
    off = by_family(case.settings.local, case.people.sex).offset

    def percent_of(name: str) -> Array:
        if name in FAMILIES:
            return np.asarray(result.families[FAMILIES.index(name)])
        row = keys.index(name)
        return np.asarray(result.percent[row] - off[FAMILIES.index(result.cards[row].method)])

    return percent_of(first) - percent_of(second)


def _bracket(case: Case, names: list[str], first: str, second: str) -> tuple[Array, Array]:
    """Ends of the span next to each reading in which the two methods cross; NaN where they do not.

    Infinite where the gap does not depend on the reading.
    """
    steps = np.linspace(-1.0, 1.0, CANDIDATES)
    tried = np.empty((len(names), CANDIDATES))
    for place, name in enumerate(names):
        farthest = FARTHEST_FOLD if BY_NAME[name].kind == "skinfold" else FARTHEST
        tried[place] = case.values[name] * farthest**steps
        possible = BY_NAME[name].possible(case.people.sex)
        tried[place] = np.clip(tried[place], *possible)
    changes = [
        {name: float(value)} for name, row in zip(names, tried, strict=True) for value in row
    ]
    gaps = _gap(case, changes, first, second).reshape(tried.shape)
    low, high = np.full(len(names), np.nan), np.full(len(names), np.nan)
    for place in range(len(names)):
        known = np.isfinite(gaps[place])
        if np.ptp(gaps[place][known]) < 1e-9:
            low[place] = high[place] = np.inf
            continue
        sign = np.sign(gaps[place])
        crossing = np.flatnonzero((sign[1:] != sign[:-1]) & known[1:] & known[:-1])
        if crossing.size:
            nearest = crossing[np.argmin(np.abs(crossing + 0.5 - (CANDIDATES - 1) / 2.0))]
            low[place], high[place] = tried[place, nearest], tried[place, nearest + 1]
    return low, high


def _close_in(
    case: Case, names: list[str], low: Array, high: Array, first: str, second: str
) -> Array:
    """Halve all brackets at once; the middle where the gap closes, NaN where it jumps over zero."""
    live = np.flatnonzero(np.isfinite(low))
    needed = low.copy()
    if live.size == 0:
        return needed
    # all halves at once: most of the time goes by the batch, whatever stands in it
    values = np.array([low[live], high[live]])
    for _ in range(HALVINGS):
        finer = np.empty((2 * len(values) - 1, live.size))
        finer[::2], finer[1::2] = values, (values[:-1] + values[1:]) / 2.0
        values = finer
    changes = [
        {names[place]: float(candidates[k])}
        for candidates in values
        for k, place in enumerate(live)
    ]
    gaps = _gap(case, changes, first, second).reshape(values.shape)
    below, above = np.zeros(live.size, dtype=int), np.full(live.size, 2**HALVINGS)
    for half in 2 ** np.arange(HALVINGS)[::-1]:
        ends = _at(values, below), _at(values, above)
        gap = _at(gaps, below), _at(gaps, above)
        same = np.sign(_at(gaps, below + half)) == np.sign(gap[0])
        below, above = np.where(same, below + half, below), np.where(same, above, above - half)
    span = gap[1] - gap[0]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(span != 0.0, -gap[0] / span, 0.5)
    needed[live] = ends[0] + np.clip(share, 0.0, 1.0) * (ends[1] - ends[0])
    last = _gap(case, [{names[p]: float(needed[p])} for p in live], first, second)
    needed[live] = np.where(np.abs(last) < AGREED, needed[live], np.nan)
    return needed


def _at(table: Array, rows: Array) -> Array:
    """One value of every column."""
    return np.asarray(table[rows, np.arange(rows.size)])


def leave_one_out(case: Case) -> tuple[LeftOutAnswer, ...]:
    """Return the answer without each family that has a value, then without each measurement."""
    answer = case.answer
    present = np.isfinite(answer.families[:, 0])
    used = np.flatnonzero(present)
    left_out: list[LeftOutAnswer] = []
    if used.size > 1:
        masks = np.tile(present, (used.size, 1))
        masks[np.arange(used.size), used] = False
        families = np.tile(np.nan_to_num(answer.families[:, 0]), (used.size, 1))
        covariance = np.repeat(answer.covariance, used.size, axis=0)
        combined = combine.combine(families, covariance, masks)
        left_out += _without([FAMILIES[k] for k in used], combined)
    names = list(case.values)
    missing = what_if(case, [{name: np.nan} for name in names])
    return tuple(left_out + _without(names, missing.combined))


def _without(names: list[str], combined: combine.Combined) -> list[LeftOutAnswer]:
    low, high = combine.interval(combined.estimate, combined.se, combine.Z_LIKELY)
    return [
        LeftOutAnswer(name, float(combined.estimate[k]), (float(low[k]), float(high[k])))
        if np.isfinite(combined.estimate[k])
        else LeftOutAnswer(name, None, None)
        for k, name in enumerate(names)
    ]

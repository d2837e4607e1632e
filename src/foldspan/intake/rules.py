"""Intake rules: what may be told, in which spans, and which statements contradict each other.

Sessions, visit files and tables all ask here, for N clients at once; one client is N = 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.quantities import BY_NAME, DAYS_A_MONTH
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.standards.referral_rules import MONTHS_AFTER_BIRTH, VERY_HIGH_PRESSURE

# lists of words, and statements that are yes or no
LISTS: dict[str, dict[str, str]] = {
    "symptoms": SYMPTOMS, "conditions": CONDITIONS, "medicines": MEDICINES,
}  # fmt: skip
MARKS = ("eating_concern", "periods_stopped", "anabolic_drugs")
# what rarely goes with the equations for men, and is asked of women
OF_WOMEN = ("pregnant", "birth_months_ago", "periods_stopped")

MOST_MONTHS = 600.0
# numbers and the span in which each can be right [months, kg]
SPANS: dict[str, tuple[float, float]] = {
    "earlier_weight_months_ago": (0.1, MOST_MONTHS),
    "surgery_months_ago": (0.0, MOST_MONTHS),
    "birth_months_ago": (0.0, MOST_MONTHS),
    "grip_kg": (0.0, 120.0),
}
# either blood pressure [mmHg], and an earlier weight [kg] of an adult
PRESSURES = (30.0, 300.0)
EARLIER_WEIGHTS = BY_NAME["weight_kg"].possible(None)
# two ways of telling the same thing may differ by this much [kg, months]
SAME_WEIGHT, SAME_TIME = 1.0, 1.0


def is_after_birth(months: Array | float) -> BoolArray:
    """Whether a birth was so recent that no method holds, and that weight falls anyway.

    ``months`` (N,) since it, NaN where none was told.
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(months < MONTHS_AFTER_BIRTH)


def loses_too_much(weight: Array | float, earlier: Array | float) -> BoolArray:
    """Whether more of an earlier weight would be lost than is left [kg]."""
    with np.errstate(invalid="ignore"):
        return np.asarray(earlier >= 2.0 * weight)


@dataclass(frozen=True, slots=True, repr=False)
class EarlierWeight:
    """Weights before a loss [kg], (N,), NaN where none was told or one of the masks says why not.

    ``is_apart``: does not match the loss that was told; ``is_halved``: more would be lost than is left;
    ``is_outside``: outside ``EARLIER_WEIGHTS``.
    """

    value: Array
    is_apart: BoolArray
    is_halved: BoolArray
    is_outside: BoolArray


def earlier_weights(
    weight: Array, reported: Array, lost: Array, *, asks_back: BoolArray
) -> EarlierWeight:
    """Return the weights before a loss, from themselves or from the loss.

    Parameters
    ----------
    weight : array (N,)
        Weights of the visit [kg], NaN where not known.
    reported, lost : array (N,)
        Earlier weights, and losses, as told [kg]; above zero, NaN where not told.
    asks_back : bool array (N,)
        Whom the spans are for: not the young, nor in pregnancy.
    """
    low, high = EARLIER_WEIGHTS
    with np.errstate(invalid="ignore"):
        apart = np.abs(reported - weight - lost) > SAME_WEIGHT
        reported = np.where(np.isnan(reported), weight + lost, reported)
        halved = loses_too_much(weight, reported)
        outside = ~halved & ~np.isnan(weight) & ((reported < low) | (reported > high)) & asks_back
    wrong = apart | halved | outside
    return EarlierWeight(np.where(wrong, np.nan, reported), apart, halved, outside)


@dataclass(frozen=True, slots=True, repr=False)
class EarlierTime:
    """Months between an earlier weight and the visit, (N,), NaN where not known.

    ``is_not_before``: its date is not before the visit; ``is_too_far``: more than ``MOST_MONTHS``
    before it; both leave what was told in months. ``is_apart``: that does not match the date, which
    counts.
    """

    months: Array
    is_not_before: BoolArray
    is_too_far: BoolArray
    is_apart: BoolArray


def earlier_times(reported: Array, days: Array) -> EarlierTime:
    """Return how long before the visit an earlier weight was taken.

    ``reported`` (N,) in months, ``days`` (N,) between its date and that of the visit; NaN if not known.
    """
    with np.errstate(invalid="ignore"):
        not_before = days <= 0.0
        months = np.where(not_before, np.nan, days / DAYS_A_MONTH)
        too_far = months > MOST_MONTHS
        months = np.where(too_far, np.nan, months)
        apart = np.abs(reported - months) > SAME_TIME
    return EarlierTime(np.where(np.isnan(months), reported, months), not_before, too_far, apart)


def is_pressure(pressure: Array | float) -> BoolArray:
    """Whether a blood pressure [mmHg] can be right."""
    low, high = PRESSURES
    return np.asarray((low <= pressure) & (pressure <= high))


def are_crossed(upper: Array | float, lower: Array | float) -> BoolArray:
    """Whether a lower blood pressure is not below its upper one; not where either is unknown."""
    with np.errstate(invalid="ignore"):
        return np.asarray(lower >= upper)


def pressure_if_right(pressure: Array | float) -> Array:
    """Return a pressure [mmHg] of a faulty pair that counts all the same, NaN for most.

    It is the higher number of the two: one that cannot wait, whichever of them it was.
    """
    with np.errstate(invalid="ignore"):
        counts = (pressure >= VERY_HIGH_PRESSURE[0]) & (pressure <= PRESSURES[1])
    return np.where(counts, pressure, np.nan)

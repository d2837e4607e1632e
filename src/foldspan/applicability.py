"""Applicability: does an equation fit this person, and how far outside its sample is she?

Two answers for every card and person: flag bits that say why, and the standard deviation [points of
fat] that the distance outside adds. Some flags keep an equation out; others only make it vaguer. The
growth is smooth: no cliff at the edge of a sample, and no equation is used at face value beyond it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import IntFlag

import numpy as np

from foldspan.catalogue.card import Array, Equation, Sum


class Fit(IntFlag):
    """Why an equation is left out, or used with a wider error. Names are the codes in results."""

    WRONG_SEX = 1
    MISSING_INPUT = 2
    OUTSIDE_AGE = 4
    OUTSIDE_SPAN = 8
    SITE_DIFFERS = 16
    DISPUTED = 32
    SCALE_END = 64
    WAIST_BRIDGED = 128
    YOUTH_ONLY = 256
    ATHLETES_ONLY = 512
    OBESITY_ONLY = 1024
    CLINICAL_ONLY = 2048
    OTHER_ANCESTRY = 4096
    SAME_SAMPLE = 8192
    NO_SOUND_VALUE = 16384


LEAVES_OUT = (
    Fit.WRONG_SEX
    | Fit.MISSING_INPUT
    | Fit.DISPUTED
    | Fit.YOUTH_ONLY
    | Fit.ATHLETES_ONLY
    | Fit.OBESITY_ONLY
    | Fit.CLINICAL_ONLY
    | Fit.OTHER_ANCESTRY
    | Fit.SAME_SAMPLE
    | Fit.NO_SOUND_VALUE
)
"""Flags that keep an equation out of the range; the others widen its error."""

# Points of fat added per decade outside the ages of the sample. Equations without an age term are
# known to drift by 1-1.4 points a decade at one BMI (Meeuwsen 2010); the rest is our proposal.
POINTS_PER_DECADE = 1.5
# Points of fat added per whole width of the sample's span beyond its edge, for sums of folds and BMI.
# Quadratic sums turn over about one width beyond (evidence of Nevill 2008); our proposal.
POINTS_PER_SPAN = 8.0
# A fold taken at another variant of its site: ± 10 % of the reading (our proposal, no source).
SITE_VARIANT_SHARE = 0.10
# An ancestry term left at its reference group because nothing was stated: the terms in print are worth
# 0.3 to 2.5 points [points].
ANCESTRY_UNSTATED = 1.0
# A formula that returns less or more than this has left the ground it was built on.
SOUND_PERCENT = (-5.0, 95.0)
OBESE_BMI = 30.0


def beyond(value: Array, low: float, high: float) -> Array:
    """Return how far ``value`` lies outside ``[low, high]``, in its own unit; 0 inside."""
    return np.maximum(np.maximum(low - value, value - high), 0.0)


def _limit_value(card: Equation, name: str, columns: Mapping[str, Array]) -> Array | None:
    """The person's value for one entry of ``card.limits``; None where it cannot be known."""
    if name == "bmi":
        bmi: Array = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
        return bmi
    if name == "sum":
        folds = next((given for given in card.inputs if isinstance(given, Sum)), None)
        return None if folds is None else np.sum([columns[fold] for fold in folds.names], axis=0)
    return columns.get(name)


def outside(card: Equation, columns: Mapping[str, Array]) -> tuple[Array, Array]:
    """Flags and added standard deviation for one card.

    Parameters
    ----------
    card : Equation
        Its ``limits`` are read.
    columns : mapping of str to array
        Float arrays of length N.

    Returns
    -------
    flags : int array of shape (N,)
        Bits of ``Fit``.
    added : float array of shape (N,)
        Standard deviation [points of fat]; contributions of several limits add up in quadrature.
    """
    length = columns["weight_kg"].shape[0]
    flags = np.zeros(length, dtype=np.int64)
    variance = np.zeros(length)
    for name, (low, high) in card.limits.items():
        value = _limit_value(card, name, columns)
        if value is None:
            continue
        upper = high + 1.0 if name == "age_years" else high  # the last completed year belongs
        distance = np.nan_to_num(beyond(value, low, upper))
        if name == "age_years":
            added = POINTS_PER_DECADE * distance / 10.0
            flags |= np.where(distance > 0, int(Fit.OUTSIDE_AGE), 0)
        else:
            added = POINTS_PER_SPAN * distance / (high - low)
            flags |= np.where(distance > 0, int(Fit.OUTSIDE_SPAN), 0)
        variance += added**2
    return flags, np.sqrt(variance)


def beyond_limits(card: Equation, columns: Mapping[str, Array]) -> dict[str, float]:
    """How far person 0 lies outside each limit of a card, in its own unit; only what lies outside.

    Keys are those of ``card.limits``: a quantity, ``"sum"`` [mm] or ``"bmi"`` [kg/m²].
    """
    found: dict[str, float] = {}
    for name, (low, high) in card.limits.items():
        value = _limit_value(card, name, columns)
        upper = high + 1.0 if name == "age_years" else high
        distance = 0.0 if value is None else float(np.nan_to_num(beyond(value, low, upper))[0])
        if distance > 0.0:
            found[name] = distance
    return found


def audience_flags(card: Equation, columns: Mapping[str, Array], ancestry: Array) -> Array:
    """Flag bits for whom a card was made, shape (N,).

    ``ancestry`` holds self-described words or "", and is read only for cards built for one group.
    """
    length = columns["weight_kg"].shape[0]
    flags = np.zeros(length, dtype=np.int64)
    if card.status == "disputed":
        flags |= int(Fit.DISPUTED)
    if card.audience == "youth":
        flags |= int(Fit.YOUTH_ONLY)
    if card.audience == "clinical":
        flags |= int(Fit.CLINICAL_ONLY)
    if card.audience == "athlete":
        flags |= np.where(columns["is_athlete"] > 0, 0, int(Fit.ATHLETES_ONLY))
    if card.audience == "obese":
        bmi = columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2
        flags |= np.where(bmi >= OBESE_BMI, 0, int(Fit.OBESITY_ONLY))
    if card.ancestry:
        flags |= np.where(ancestry == card.ancestry, 0, int(Fit.OTHER_ANCESTRY))
    return flags


def speak_once(cards: Sequence[Equation], flags: Array) -> Array:
    """Flag every card whose sample is already spoken for by an earlier usable card.

    Parameters
    ----------
    cards : sequence of Equation
        E cards in catalogue order, which is the order of preference within a lineage.
    flags : int array of shape (E, N)
        Bits so far.

    Returns
    -------
    int array of shape (E, N)
        ``flags`` with ``SAME_SAMPLE`` set where an earlier card of the lineage is in use.
    """
    marked = flags.copy()
    spoken: dict[tuple[str, str], Array] = {}
    for row, card in enumerate(cards):
        witness = (card.family, card.lineage)
        taken = spoken.get(witness)
        if taken is None:
            taken = np.zeros(flags.shape[1], dtype=bool)
        usable = (marked[row] & int(LEAVES_OUT)) == 0
        marked[row] |= np.where(usable & taken, int(Fit.SAME_SAMPLE), 0)
        spoken[witness] = taken | usable
    return marked


def codes(bits: int) -> list[str]:
    """Return the names of the flags in ``bits``, in lower case, as results carry them."""
    return [name for value, name in _NAMES if bits & value]


_NAMES = [(flag.value, str(flag.name).lower()) for flag in Fit]

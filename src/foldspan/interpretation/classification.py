"""Classification: how likely each band of a standard is, for a value that carries an error.

A label would hide that a value near a limit can be on either side of it. So the answer of a standard
is a probability for every band, under a normal error around the value; no standard is averaged with
another, and where they contradict each other that is told. One client is asked as N = 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.measured import Measured
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.card import REACH, Standard

# A standard whose likeliest band is less likely than this is called a coin toss (ours).
COIN_TOSS = 0.60
# Other bands are told from this chance on.
LEAST_PROBABILITY = 0.05


def probabilities(standard: Standard, measured: Measured) -> Array:
    """Return the probability of every band, (bands, N); each column sums to one, or is NaN.

    A value without an error is wholly in its own band, limits taken as the standard prints them.
    """
    under = measured.below_each(standard.limits)
    chances = np.empty((len(standard.labels), measured.value.size))
    chances[0] = under[0]
    for place, (lower, upper) in enumerate(pairwise(under), start=1):
        np.subtract(upper, lower, out=chances[place])
    np.subtract(1.0, under[-1], out=chances[-1])
    exact = np.flatnonzero((measured.se == 0.0) & np.isfinite(measured.value))
    if exact.size:
        chances[:, exact] = 0.0
        chances[standard.place(measured.value[exact]), exact] = 1.0
    return chances


@dataclass(frozen=True, slots=True, repr=False)
class Classified:
    """Those of N people for whom the same standards of one measure speak.

    ``people`` (n,) are their numbers, ``standards`` those asked, whose mean speaks, ``measured`` the
    measure of these people and ``chances`` (bands, n) the probability of every band.
    """

    people: Array
    standards: tuple[Standard, ...]
    measured: Measured
    chances: Array


def classified(standards: Sequence[Standard], indices: Indices) -> Iterator[Classified]:
    """Yield what standards of one measure, all with the same labels, say of N people of one sex.

    A standard for a client's family background speaks alone; where there is none, those for everybody
    do, or the mean of all columns that may be averaged. Whoever has no value, or for whom no standard
    was made, is in no group.
    """
    fitting = [row for row in standards if row.sex in (indices.sex, "both")]
    if not fitting:
        return
    measured = indices.of(fitting[0])
    known = np.isfinite(measured.value) & np.isfinite(measured.se)
    others = ~indices.is_among(
        tuple(word for background in fitting for word in background.backgrounds)
    )
    groups = np.zeros(indices.count, dtype=np.int16)  # bit by bit the standards asked
    for bit, standard in enumerate(fitting):
        is_asked = standard.fits(indices.sex, indices.age, indices.bmi.value) & known
        is_asked &= _meant_for(standard, indices, others)
        groups |= is_asked * np.int16(1 << bit)
    for group in np.flatnonzero(np.bincount(groups)).tolist():
        if not group:
            continue
        fitting_standards = tuple(
            standard for bit, standard in enumerate(fitting) if group & 1 << bit
        )
        here = np.flatnonzero(groups == group)
        some = measured if here.size == indices.count else measured.some(here)
        # all at once
        some.below_each([limit for standard in fitting_standards for limit in standard.limits])
        total = probabilities(fitting_standards[0], some)
        for standard in fitting_standards[1:]:
            total += probabilities(standard, some)
        if len(fitting_standards) > 1:
            total /= len(fitting_standards)
        yield Classified(here, fitting_standards, some, total)


def _meant_for(standard: Standard, indices: Indices, others: Array) -> Array:
    """For whose family background a standard speaks; ``others`` have one that no standard names."""
    who = others
    if standard.backgrounds:
        own = indices.is_among(standard.backgrounds)
        who = own | others if standard.is_averaged else own
    return who & ~indices.is_among(standard.not_for) if standard.not_for else who


def likeliest(chances: Array) -> tuple[Array, Array]:
    """Return for each of N people the place and the chance of the likeliest band, the first of equals.

    The same as ``argmax`` and ``max`` over (bands, N), which takes the people one by one.
    """
    place, best = np.zeros(chances.shape[1], dtype=np.int8), chances[0].copy()
    for band, chance in enumerate(chances[1:], start=1):
        # bands rise, so the last one that was better has the highest number
        np.maximum(place, (chance > best) * np.int8(band), out=place)
        np.maximum(best, chance, out=best)
    return place, best


@dataclass(frozen=True, slots=True, repr=False)
class Band:
    """What one standard says of one client.

    ``rows`` are the standards asked: one, or the columns that were averaged. ``value`` and ``se`` are
    in the unit of the measure; ``probabilities`` go by label from low to high.
    """

    rows: tuple[Standard, ...]
    value: float
    se: float
    probabilities: dict[str, float]
    stood_in: str = ""

    @property
    def standard(self) -> Standard:
        """The standard, or the first of its columns."""
        return self.rows[0]

    @property
    def key(self) -> str:
        """The key of the standard, without what names a column where several were averaged."""
        if len(self.rows) == 1:
            return self.standard.key
        shared = [
            parts[0]
            for parts in zip(*(row.key.split("_") for row in self.rows), strict=False)
            if len(set(parts)) == 1
        ]
        return "_".join(shared)

    @property
    def ranked(self) -> list[tuple[str, float]]:
        """Labels with their probabilities, the likeliest first."""
        return sorted(self.probabilities.items(), key=lambda item: -item[1])

    @property
    def likeliest(self) -> str:
        """The label of the likeliest band."""
        return self.ranked[0][0]

    @property
    def is_about_even(self) -> bool:
        """Whether no band is clearly the likeliest."""
        return self.ranked[0][1] < COIN_TOSS

    @property
    def reach(self) -> str:
        """What the likeliest band leaves open: b below the usual, u usual, a above it."""
        return REACH[self.likeliest]


def bands_of(indices: Indices, standards: Sequence[Standard] = ALL_STANDARDS) -> tuple[Band, ...]:
    """Return what every standard made for the client says, in their order.

    ``indices`` holds one person. A standard without a value, or made for others, is left out.
    """
    systems: dict[str, list[Standard]] = {}
    for standard in standards:
        if standard.is_shown:
            systems.setdefault(standard.system, []).append(standard)
    return tuple(
        _band_of(group) for system in systems.values() for group in classified(system, indices)
    )


def _band_of(group: Classified) -> Band:
    """What standards say of one client."""
    measured, labels = group.measured, group.standards[0].labels
    return Band(
        rows=group.standards,
        value=float(measured.value[0]),
        se=float(measured.se[0]),
        probabilities=dict(zip(labels, map(float, group.chances[:, 0]), strict=True)),
        stood_in="" if measured.stood_in is None else str(measured.stood_in[0]),
    )


def without_too_much(bands: Sequence[Band]) -> tuple[Band, ...]:
    """Return the bands to tell where weight is low: none that speaks of too much, or reassures."""
    return tuple(
        band
        for band in bands
        if helps_at_low_weight(
            tuple(band.probabilities),
            np.array([[chance] for chance in band.probabilities.values()]),
        )[0]
    )


def helps_at_low_weight(labels: Sequence[str], chances: Array) -> Array:
    """Whether the bands of a standard are to be told of N people whose weight is low, bool (N,).

    ``chances`` of its ``labels`` are (bands, N). A standard that asks for too much alone would call
    somebody who is ill from hunger free of risk.
    """
    above = np.array(["a" in REACH[label] for label in labels])
    # a band that leaves too much open counts as too much where it is the likeliest
    much = np.array([REACH[label] == "a" for label in labels])
    first = likeliest(chances)[0]
    asks_for_little = any(REACH[label] == "b" for label in labels)
    is_clear = np.sum(chances[much], axis=0) < LEAST_PROBABILITY
    is_low_fat_free_mass = np.array([label == "low_lean" for label in labels])[first]
    return np.asarray((asks_for_little & is_clear & ~above[first]) | is_low_fat_free_mass)

"""Bands of a table: for every row the likeliest band of body mass index, waist to height and fat.

One standard a measure speaks for all rows, so that a column means one thing: the classes of the WHO
with the lower points of NICE for the backgrounds it names, the waist to height of NICE, and the fat
that goes with a healthy weight. ``reconcile`` gives one client all standards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array, Scale
from foldspan.interpretation.classification import below_each, helps_at_low_weight, probabilities
from foldspan.interpretation.indices import Indices
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.card import Standard

MEASURES = ("bmi", "waist_to_height", "fat")
SYSTEMS: dict[str, dict[Scale, tuple[str, ...]]] = {
    "bmi": dict.fromkeys(
        ("density", "dxa"), ("WHO classes 2000", "NICE lower points 2023")
    ),
    "waist_to_height": dict.fromkeys(("density", "dxa"), ("NICE waist to height 2022",)),
    "fat": {
        "density": ("Fat at healthy weight 2000",),
        "dxa": ("Fat at healthy weight, DXA 2018",),
    },
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Ruler:
    """The standards that speak for one measure; all have the same labels."""

    rows: tuple[Standard, ...]

    @property
    def labels(self) -> tuple[str, ...]:
        """Bands from low to high."""
        return self.rows[0].labels

    def chances(self, indices: Indices) -> Iterator[tuple[Array, Array]]:
        """Yield groups of N people of one sex: their numbers, and the chance of every band for each.

        People of a group are asked the same standards, whose mean speaks. Those without a value, or
        for whom no standard was made, are in no group.
        """
        fitting = [row for row in self.rows if row.sex in (indices.sex, "both")]
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
            asked = [standard for bit, standard in enumerate(fitting) if group & 1 << bit]
            here = np.flatnonzero(groups == group)
            some = measured if here.size == indices.count else measured.some(here)
            below_each(
                [limit for standard in asked for limit in standard.limits], some
            )  # all at once
            total = probabilities(asked[0], some)
            for standard in asked[1:]:
                total += probabilities(standard, some)
            if len(asked) > 1:
                total /= len(asked)
            yield here, total


def _meant_for(standard: Standard, indices: Indices, others: Array) -> Array:
    """For whose family background a standard speaks; ``others`` have one that no standard names."""
    who = others
    if standard.backgrounds:
        own = indices.is_among(standard.backgrounds)
        who = own | others if standard.is_averaged else own
    return who & ~indices.is_among(standard.not_for) if standard.not_for else who


def rulers(scale: Scale) -> dict[str, Ruler]:
    """Return the standards by measure for answers on a scale."""
    return {
        measure: Ruler(
            tuple(
                standard for standard in ALL_STANDARDS if standard.system in SYSTEMS[measure][scale]
            )
        )
        for measure in MEASURES
    }


class BandColumns:
    """For N rows and each measure the likeliest band (a place in its labels, -1 unknown), its chance.

    ``shares`` holds the sums of the chances by sex and measure, in ten-thousandths, so that sums over
    any parts of a table add up to the same whole.
    """

    def __init__(self, length: int, scale: Scale) -> None:
        self.rulers = rulers(scale)
        self.places: dict[str, Array] = {}
        self.chances: dict[str, Array] = {}
        self.shares: dict[tuple[str, str], Array] = {}
        for measure in MEASURES:
            self.places[measure] = np.full(length, -1, dtype=np.int8)
            self.chances[measure] = np.full(length, np.nan)

    def fill(self, some: Array, indices: Indices, low: Array) -> None:
        """Write the bands of some adults of one sex.

        ``low`` bool (N,) are those of a low weight: of them no band is told that speaks of too much, or
        reassures.
        """
        for measure, ruler in self.rulers.items():
            for group, chances in ruler.chances(indices):
                place, chance = likeliest(chances)
                shows = ~low[group]
                if not shows.all():
                    shows |= helps_at_low_weight(ruler.labels, chances)
                here = some[group][shows]
                self.places[measure][here], self.chances[measure][here] = (
                    place[shows],
                    chance[shows],
                )
                chances *= 1e4
                whole = np.rint(chances, out=chances).sum(axis=1).astype(np.int64)
                so_far = self.shares.get((indices.sex, measure), 0)
                self.shares[indices.sex, measure] = whole + so_far

    def fill_without_sex(self, some: Array, indices: Indices) -> None:
        """Write the band of body mass index of adults whose sex is not known: it has none.

        They are in no sum of shares, which go by the sex.
        """
        for group, chances in self.rulers["bmi"].chances(indices):
            here = some[group]
            self.places["bmi"][here], self.chances["bmi"][here] = likeliest(chances)


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

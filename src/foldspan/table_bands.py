"""Bands of a table: for every row the likeliest band of body mass index, waist to height and fat.

One standard a measure speaks for all rows, so that a column means one thing: the classes of the WHO
with the lower points of NICE for the backgrounds it names, the waist to height of NICE, and the fat
that goes with a healthy weight. ``reconcile`` gives one client all standards.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldspan.bands import probabilities
from foldspan.catalogue.card import Array, Scale
from foldspan.flags import is_among
from foldspan.indices import Indices, Measured
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

    def chances(self, indices: Indices) -> Array:
        """Return the chance of every band for N people of one sex, (bands, N), NaN where unknown."""
        total = np.zeros((len(self.labels), indices.count))
        voices = np.zeros(indices.count)
        fitting = [one for one in self.rows if one.sex in (indices.sex, "both")]
        named = [word for one in fitting for word in one.backgrounds]
        is_named = is_among(indices.background, named)
        for one in fitting:
            here = one.fits(indices.sex, indices.age, indices.bmi.value)
            here &= ~is_among(indices.background, one.not_for)
            if one.backgrounds:
                here &= is_among(indices.background, one.backgrounds) | (
                    ~is_named & one.is_averaged
                )
            else:
                here &= ~is_named
            if here.any():
                measured = indices.of(one)
                some = Measured(measured.value[here], measured.se[here])
                total[:, here] += probabilities(one, some)
                voices += here
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.asarray(np.where(voices > 0, total / voices, np.nan))


def rulers(scale: Scale) -> dict[str, Ruler]:
    """Return the standards by measure for answers on a scale."""
    return {
        measure: Ruler(tuple(one for one in ALL_STANDARDS if one.system in SYSTEMS[measure][scale]))
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

    def fill(self, some: Array, indices: Indices) -> None:
        """Write the bands of some adults of one sex."""
        for measure, ruler in self.rulers.items():
            chances = ruler.chances(indices)
            known = ~np.isnan(chances[0])
            if not known.any():
                continue
            chances = np.where(known, chances, 0.0)
            self.places[measure][some] = np.where(known, chances.argmax(axis=0), -1)
            self.chances[measure][some] = np.where(known, chances.max(axis=0), np.nan)
            whole = np.rint(chances * 1e4).astype(np.int64).sum(axis=1)
            so_far = self.shares.get((indices.sex, measure), 0)
            self.shares[indices.sex, measure] = whole + so_far

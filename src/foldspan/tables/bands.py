"""Bands of a table: for every row the likeliest band of body mass index, waist to height and fat.

One standard a measure speaks for all rows, so that a column means one thing: the classes of the WHO
with the lower points of NICE for the backgrounds it names, the waist to height of NICE, and the fat
that goes with a healthy weight. ``reconcile`` gives one client all standards.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, ReferenceMethod
from foldspan.interpretation.classification import classified, helps_at_low_weight, likeliest
from foldspan.interpretation.indices import Indices
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.card import Standard

MEASURES = ("bmi", "waist_to_height", "fat")
# how the keys of the standards of a measure begin, by the scale of the answer
_KEYS: dict[str, dict[ReferenceMethod, tuple[str, ...]]] = {
    "bmi": dict.fromkeys(("density", "dxa"), ("who2000_bmi", "nice2023_bmi")),
    "waist_to_height": dict.fromkeys(("density", "dxa"), ("nice2022_waist_to_height",)),
    "fat": {"density": ("gallagher2000",), "dxa": ("nhanes2017",)},
}


def standards_for(reference_method: ReferenceMethod) -> dict[str, tuple[Standard, ...]]:
    """Return the standards by measure for answers on a scale; those of a measure share their labels."""
    return {
        measure: tuple(
            standard
            for standard in ALL_STANDARDS
            if standard.key.startswith(_KEYS[measure][reference_method])
        )
        for measure in MEASURES
    }


def systems(measure: str, reference_method: ReferenceMethod) -> tuple[str, ...]:
    """Return the names of the standards that speak for a measure."""
    return tuple(
        dict.fromkeys(standard.system for standard in standards_for(reference_method)[measure])
    )


class BandColumns:
    """For N rows and each measure the likeliest band (a place in its labels, -1 unknown), its chance.

    ``shares`` holds the sums of the chances by sex and measure, in ten-thousandths, so that sums over
    any parts of a table add up to the same whole; who is of no known sex is in none of them.
    """

    def __init__(self, length: int, reference_method: ReferenceMethod) -> None:
        self.standards = standards_for(reference_method)
        self.places: dict[str, Array] = {}
        self.chances: dict[str, Array] = {}
        self.shares: dict[tuple[str, str], Array] = {}
        for measure in MEASURES:
            self.places[measure] = np.full(length, -1, dtype=np.int8)
            self.chances[measure] = np.full(length, np.nan)

    def labels(self, measure: str) -> tuple[str, ...]:
        """Return the bands of a measure from low to high."""
        return self.standards[measure][0].labels

    def fill(self, some: Array, indices: Indices, low: Array) -> None:
        """Write the bands of some adults of one sex, or of none that is known.

        ``low`` bool (N,) are those of a low weight: of them no band is told that speaks of too much, or
        reassures.
        """
        for measure, standards in self.standards.items():
            for group in classified(standards, indices):
                chances, people = group.chances, group.people
                place, chance = likeliest(chances)
                shows = ~low[people]
                if not shows.all():
                    shows |= helps_at_low_weight(standards[0].labels, chances)
                here = some[people][shows]
                self.places[measure][here], self.chances[measure][here] = (
                    place[shows],
                    chance[shows],
                )
                if indices.sex:
                    self._add_shares(indices.sex, measure, chances)

    def _add_shares(self, sex: str, measure: str, chances: Array) -> None:
        chances *= 1e4
        whole = np.rint(chances, out=chances).sum(axis=1).astype(np.int64)
        self.shares[sex, measure] = whole + self.shares.get((sex, measure), 0)

"""One per sample: of equations built on the same people only one has a part in the answer."""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.applicability import Who, for_both
from foldspan.numerics.forward_diff import Slope


class OnePerSample:
    """Who has an estimate of a sample: of equations built on the same people, the first usable counts.

    Where it fades out the next one comes in by the share that is left.
    """

    def __init__(self) -> None:
        self._covered: dict[tuple[str, str], Who] = {}
        self._left: dict[tuple[str, str], Array] = {}

    def covered_by_earlier(self, card: Equation) -> Who:
        """Return for whom an earlier card of the lineage counts in full."""
        return self._covered.get((card.method, card.lineage), False)

    def share_left(self, card: Equation) -> Array | None:
        """Return the share that earlier cards of the lineage leave, (N,); None where no card fades."""
        return self._left.get((card.method, card.lineage))

    def add(self, card: Equation, usable: Who, precision: Slope = 1.0) -> None:
        """Add for whom a card is usable, and how far it counts."""
        sample = card.method, card.lineage
        if isinstance(precision, np.ndarray):
            left = self._left.get(sample, np.ones(precision.shape))
            self._left[sample] = left * np.where(usable, 1.0 - precision, 1.0)
            usable = for_both(usable, precision >= 1.0)
        covered = usable | self.covered_by_earlier(card)
        if not isinstance(covered, bool) and covered.all():
            covered = True
        self._covered[sample] = covered

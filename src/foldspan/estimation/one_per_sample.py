"""One per sample: of equations built on the same people only one has a part in the answer."""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.applicability import Who, both
from foldspan.numerics.forward_diff import Slope


class Witnesses:
    """Who is spoken for: of equations built on the same people, the first that can be used speaks.

    Where it fades out the next one comes in by the share that is left.
    """

    def __init__(self) -> None:
        self._spoken: dict[tuple[str, str], Who] = {}
        self._left: dict[tuple[str, str], Array] = {}

    def spoken_for(self, card: Equation) -> Who:
        """Return for whom an earlier card of the lineage speaks in full."""
        return self._spoken.get((card.family, card.lineage), False)

    def left_to(self, card: Equation) -> Array | None:
        """Return the share that earlier cards of the lineage leave, (N,); None where no card fades."""
        return self._left.get((card.family, card.lineage))

    def speaks(self, card: Equation, usable: Who, precision: Slope = 1.0) -> None:
        """Note for whom a card is usable, and how far it counts."""
        witness = card.family, card.lineage
        if isinstance(precision, np.ndarray):
            left = self._left.get(witness, np.ones(precision.shape))
            self._left[witness] = left * np.where(usable, 1.0 - precision, 1.0)
            usable = both(usable, precision >= 1.0)
        together = usable | self.spoken_for(card)
        if not isinstance(together, bool) and together.all():
            together = True
        self._spoken[witness] = together

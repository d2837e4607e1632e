"""Other scale: the same people on the scale that was not asked for, from cards evaluated already.

Health standards stand on the scale they were built on, so the range is wanted on both. A card prints
the same wherever fat is stated, and its slopes are the same. What differs is what is made of it: the
step between the scales, levelling, weights and their errors. So only that is worked out again, and
only for those of whom it is asked.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.batch import in_print
from foldspan.estimation.combine import Combined
from foldspan.estimation.select_equations import EvaluatedCard, Selection
from foldspan.estimation.settings import Settings
from foldspan.estimation.weighted_families import WeightedFamilies, answer_of


class OtherScale:
    """N people on the other scale: nothing is worked out before it is asked for."""

    def __init__(
        self, selection: Selection, evaluated: Sequence[EvaluatedCard], settings: Settings
    ) -> None:
        self.settings, self._selection, self._evaluated = settings, selection, evaluated

    @classmethod
    def of(cls, selection: Selection, evaluated: Sequence[EvaluatedCard]) -> OtherScale:
        """Return the other scale of people whose cards are ``evaluated`` by a selection."""
        settings = selection.settings.on_other_scale()
        cards = settings.cards_for(selection.people.sex)
        if settings.as_printed:
            cards = in_print(cards)
        other, taken_over = selection.again(cards, settings, evaluated)
        return cls(other, taken_over, settings)

    def combined(self, rows: Array | None = None) -> Combined:
        """Return estimate and error of those people whose numbers are in ``rows``, else of all."""
        people, bridged = self._selection.people, self._selection.bridged
        evaluated = self._evaluated
        if rows is not None:
            people, bridged = people.some(rows), bridged.some(rows)
            chosen = [card.some(rows) for card in evaluated]
            evaluated = [card for card in chosen if card is not None]
        weighted = WeightedFamilies(self._selection.cards, people, self.settings, every=False)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            return answer_of(evaluated, weighted, people, bridged, self.settings).combined

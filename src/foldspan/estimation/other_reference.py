"""Other scale: the same people on the scale that was not asked for, from cards evaluated already.

Health standards stand on the scale they were built on, so the range is wanted on both. A card prints
the same wherever fat is stated, and its slopes are the same. What differs is what is made of it: the
step between the scales, levelling, weights and their errors. So only that is worked out again, and
only for those of whom it is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Bmi, Input, Sum
from foldspan.estimation.batch import in_print
from foldspan.estimation.error_model import (
    CONVERSION_SD,
    REFERENCE_OFFSET,
    REFERENCE_SD,
    athletes_share_less,
    shared_variance,
)
from foldspan.estimation.evaluate import spread_slope
from foldspan.estimation.families.combine import CEILING_PERCENT, FLOOR_PERCENT, Combined
from foldspan.estimation.select_equations import EvaluatedCard, Selection
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_gaps import UsualGaps
from foldspan.estimation.weighted_families import PrintedFamilies, WeightedFamilies, answer_of

# Room for rounding in what is certain [points].
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Bounds:
    """What is certain of N people on a scale before their answers are worked out there, each (N,).

    The estimate lies between ``low`` and ``high`` [% of weight], NaN where there is none, its standard
    error between ``least_se`` and ``most_se`` [points], infinite where it is not known.
    """

    low: Array
    high: Array
    least_se: Array
    most_se: Array


class OtherReference:
    """N people on the other scale: nothing is worked out before it is asked for."""

    def __init__(
        self, selection: Selection, evaluated: Sequence[EvaluatedCard], settings: Settings
    ) -> None:
        self.settings, self._selection, self._evaluated = settings, selection, evaluated
        self._shared: PrintedFamilies | None = None
        self._alone: list[EvaluatedCard] = []

    @classmethod
    def of(cls, selection: Selection, evaluated: Sequence[EvaluatedCard]) -> OtherReference:
        """Return the other scale of people whose cards are ``evaluated`` by a selection."""
        settings = selection.settings.on_other_reference()
        cards = settings.cards_for(selection.people.sex)
        if settings.as_printed:
            cards = in_print(cards)
        other, taken_over = selection.again(cards, settings, evaluated)
        return cls(other, taken_over, settings)

    def sums_beside(self, stated: Sequence[EvaluatedCard]) -> PrintedFamilies:
        """Return empty sums, to be filled beside those of the ``stated`` scale, for ``certain``."""
        there = {card.card.key: card for card in stated}
        shared = set()
        for card in self._evaluated:
            same = there.get(card.card.key)
            if same is not None and same.usable is card.usable:  # taken over as it is
                shared.add(same.row)
            else:
                self._alone.append(card)
        self._shared = PrintedFamilies(shared, self._selection.people.ancestry.shape[0])
        return self._shared

    @np.errstate(invalid="ignore", divide="ignore", over="ignore")
    def certain(self) -> Bounds:
        """Return what is certain of all people; the sums of ``sums_beside`` must be filled.

        Why it holds, where no equation is levelled (else nothing is certain):

        - The weights of the families are never negative and sum to one, so the estimate lies between the
          lowest and the highest family.
        - Every block of errors is positive semi-definite, and what all methods share is the same in
          every family: the variance is ``shared_variance`` at least, in athletes without
          ``athletes_share_less``. The widening adds to it.
        - No weights give a smaller variance than those taken, so it is at most that of height and weight
          alone. There, what is shared is ``shared_variance`` at most, the scale ``REFERENCE_SD²``,
          the conversion ``CONVERSION_SD²``. Errors of n cards with variances v, whose weights go by 1/v,
          come to ``(Σ v^-½)² / (Σ 1/v)²`` if they all go together, which is at most ``n / Σ 1/v``
          (Cauchy and Schwarz). No waist stands in there; readings: see ``_reading_variance``.
        - What is added where methods disagree is at most the scatter of the families without their usual
          gaps around a weighted mean, and that is at most a quarter of the square of their span
          (Popoviciu 1935; not verified in print).
        """
        shared, people = self._shared, self._selection.people
        assert shared is not None
        assert not self.settings.levels
        weighted = WeightedFamilies(
            self._selection.cards, people, self.settings, every=False, with_verdict=False
        )
        for card in self._alone:
            weighted.add(card)
        total = shared.total + weighted.total
        step = REFERENCE_OFFSET if self.settings.reference_method == "dxa" else -REFERENCE_OFFSET
        families = (shared.part + step * shared.total + weighted.families) / total
        low, high = np.fmin.reduce(families), np.fmax.reduce(families)
        light = FAMILIES.index("mass_height")
        count = sum(card.card.method == FAMILIES[light] for card in self._evaluated)
        reference_method = self.settings.reference_method
        least = np.full(low.shape, shared_variance(reference_method))
        least[people.columns["is_athlete"] > 0] -= athletes_share_less(reference_method)
        most = (
            shared_variance(reference_method)
            + REFERENCE_SD[reference_method] ** 2
            + CONVERSION_SD**2
        )
        most = most + count / total[light] + self._reading_variance(FAMILIES[light])
        most += (self._span(families, weighted.usual_gaps) / 2.0) ** 2
        return Bounds(
            low=(low - ROUNDING).clip(FLOOR_PERCENT, CEILING_PERCENT),
            high=(high + ROUNDING).clip(FLOOR_PERCENT, CEILING_PERCENT),
            least_se=np.sqrt(least) - ROUNDING,
            most_se=np.sqrt(np.where(np.isnan(most), np.inf, most)) + ROUNDING,
        )

    def _span(self, families: Array, usual_gaps: UsualGaps) -> Array:
        """Return how far the families are apart at most without their usual gaps [points], (N,)."""
        lowest, highest = np.full((2, *families.shape), np.nan)
        for place, family in enumerate(FAMILIES):
            rows = [card.row for card in self._evaluated if card.card.method == family]
            if rows:
                least, most = usual_gaps.between(rows)
                lowest[place], highest[place] = families[place] - most, families[place] - least
        return np.asarray(np.fmax.reduce(highest) - np.fmin.reduce(lowest))

    def _reading_variance(self, family: str) -> Array:
        """Return the most variance that errors of readings give one family [points²], (N,).

        What a reading moves the family is a mean of what it moves its cards, so not more than it moves
        the steepest of them anywhere among these people. Other people make the bound wider, never wrong.
        """
        steepest: dict[Input, float] = {}
        for card in self._evaluated:
            if card.card.method == family and card.traced is not None:
                each = np.fmax.reduce(np.abs(np.atleast_1d(card.traced.points_per_output)))
                for given, slope in card.traced.slopes.items():
                    assert isinstance(given, str | Sum | Bmi)
                    steep = float(each * np.fmax.reduce(np.abs(np.atleast_1d(slope))))
                    steepest[given] = max(steepest.get(given, 0.0), steep)
        columns, reading_se = self._selection.bridged.columns, self._selection.people.reading_se
        moved: dict[str, Array] = {}
        for given, steep in steepest.items():
            for name, part in spread_slope(given, np.asarray(steep), columns):
                moved[name] = moved.get(name, 0.0) + np.abs(part)
        variance = np.zeros(columns["weight_kg"].shape)
        for name, part in moved.items():
            if name in reading_se:
                variance += np.square(part * np.nan_to_num(reading_se[name]))
        return variance

    def combined(self, rows: Array | None = None) -> Combined:
        """Return estimate and error of those people whose numbers are in ``rows``, else of all.

        No verdict is made there.
        """
        people, bridged = self._selection.people, self._selection.bridged
        evaluated = self._evaluated
        if rows is not None:
            people, bridged = people.some(rows), bridged.some(rows)
            chosen = [card.some(rows) for card in evaluated]
            evaluated = [card for card in chosen if card is not None]
        weighted = WeightedFamilies(
            self._selection.cards, people, self.settings, every=False, with_verdict=False
        )
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            return answer_of(evaluated, weighted, people, bridged, self.settings).combined

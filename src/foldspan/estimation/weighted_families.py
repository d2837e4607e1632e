"""Weighted families: evaluated cards to families, to the blocks of their errors, to one answer.

What depends on the scale that fat is stated on begins here: the step from one scale to the other, what
levelling takes off, the weights that follow from both, and the errors that go with them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, BoolArray, Equation
from foldspan.estimation import error_correlation, error_model
from foldspan.estimation.batch import People
from foldspan.estimation.evaluate import Inputs
from foldspan.estimation.families import combine
from foldspan.estimation.families.batched_matrices import Blocks, Symmetric, places
from foldspan.estimation.families.covariance import Weighted, correlated, require_sound
from foldspan.estimation.known_offsets import Levelled, Levelling
from foldspan.estimation.local_correction import by_family, corrected
from foldspan.estimation.measurement_error import Sensitivities, reading_loads
from foldspan.estimation.select_equations import EvaluatedCard
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_gaps import UsualGaps
from foldspan.measurement.waist_conversion import Bridged
from foldspan.numerics.forward_diff import Slope

KINDS = ("published", "new_people", "limits")
"""Blocks of errors that equations share by their inputs."""


class PrintedFamilies:
    """Sums of the cards by family as if none were levelled, for the scale on which none is.

    ``rows`` are the cards that can enter a range on that scale too, by their numbers on the stated one;
    ``total`` (4, N) are sums of weights, ``part`` (4, N) of weights times estimates moved to the stated
    scale.
    """

    def __init__(self, rows: Collection[int], count: int) -> None:
        self.rows = rows
        self.total = np.zeros((len(FAMILIES), count))
        self.part = np.zeros(self.total.shape)

    def add(self, family: int, weights: Array, part: Array) -> None:
        """Add one card by its weights and its part in the family."""
        self.total[family] += weights
        self.part[family] += part


class WeightedFamilies:
    """The estimates of the cards on the stated scale, weighted into their families.

    Cards are added one after the other, each while its numbers are at hand, weighted by the inverse
    of their variances; the sums are multiplied by ``per_total`` in the end, one over the sum of the
    weights of a family. Where ``every`` card is asked for, ``percent``, ``weights`` of those in use and,
    by block, the standard deviations in ``block_sds`` are kept by the row of a card. Without
    ``with_verdict`` the misfit is not worked out: NaN. Without ``with_errors`` there are the families
    and nothing of their errors: no blocks.
    """

    def __init__(
        self,
        cards: Sequence[Equation],
        people: People,
        settings: Settings,
        *,
        every: bool,
        with_verdict: bool = True,
        with_errors: bool = True,
    ) -> None:
        self.cards, self.sex, self.settings, self.every = cards, people.sex, settings, every
        self._with_errors = with_errors
        count = people.ancestry.shape[0]
        self.families = np.zeros((len(FAMILIES), count))
        self.present = np.zeros((len(FAMILIES), count), dtype=bool)
        self.sensitivities = Sensitivities()
        self.weights: dict[int, Array] = {}
        self.percent: dict[int, Array] = {}
        self.block_sds: dict[str, dict[int, Slope]] = {name: {} for name in KINDS}
        self.total = np.zeros(self.families.shape)
        self.per_total = np.ones(self.families.shape)
        self._moved: dict[int, Array] = {}
        self._dense: dict[int, Array] = {}
        self._athletes = people.columns["is_athlete"] > 0
        self._tried: dict[int, Array] = {}
        self._moves = error_model.reference_shifts(cards, settings.reference_method)
        self._size = error_model.SizeVariance(cards, people.columns, people.sex)
        self._levelling = Levelling(
            people.columns,
            people.sex,
            settings.reference_method,
            settings.conversion,
            ancestry=people.ancestry,
            as_printed=settings.as_printed,
        )
        self.offsets: dict[int, Array] = {}
        self.usual_gaps = UsualGaps(
            cards, people.columns, people.sex, settings, with_scatter=with_verdict
        )
        self._weighted = Weighted(error_model.families_of(cards), len(KINDS), count)
        self.printed: PrintedFamilies | None = None

    def add(self, evaluated: EvaluatedCard) -> None:
        """Add one card for those who use it."""
        card, move = evaluated.card, self._moves[evaluated.row]
        levelled = self._levelling.of(card, evaluated.percent)
        variance, block_sds, more = self._block_sds(evaluated, card, levelled)
        percent = evaluated.percent + move if move else evaluated.percent
        family = FAMILIES.index(card.method)
        printed = self.printed if self.printed and evaluated.row in self.printed.rows else None
        if printed is not None and levelled is not None:
            printed.add(family, *_weighed(evaluated, variance + more, percent))
        if levelled is not None:
            percent = percent - levelled.offset
            self.offsets[evaluated.row] = levelled.offset
        if self.every:
            self.percent[evaluated.row] = percent
            for name, spread in zip(KINDS, block_sds, strict=True):
                self.block_sds[name][evaluated.row] = spread
        if evaluated.traced is None:
            return  # nobody uses it
        weights, part = _weighed(evaluated, variance, percent)
        if printed is not None and levelled is None:
            printed.add(family, weights, part)
        if self.every:
            self.weights[evaluated.row] = weights
        self.total[family] += weights
        self.present[family] |= evaluated.usable
        self.families[family] += part
        if not self._with_errors:
            return
        self._add_shared(card, family, weights, is_levelled=levelled is not None)
        self.usual_gaps.add(evaluated.row, family, weights)
        usable = None if evaluated.everybody else evaluated.usable
        through = weights
        if levelled is not None and isinstance(levelled.slope, np.ndarray):
            through = weights * levelled.slope
        self.sensitivities.add(family, through, evaluated.traced, usable)
        self._weighted.add(evaluated.row, weights, block_sds)

    def _block_sds(
        self, evaluated: EvaluatedCard, card: Equation, levelled: Levelled | None
    ) -> tuple[Array, tuple[Slope, ...], Slope]:
        """Variance of one card, its standard deviations by block, and how much more it is as printed.

        See ``Levelling.taper``.
        """
        own = error_model.published(card, evaluated.se, self.sex, self._athletes)
        carrying = error_model.new_people(card, self._athletes)
        printed = own + carrying**2
        if levelled is not None:
            carrying = self._levelling.taper(levelled, own, error_model.transfer_sd(card))
            own = levelled.variance
        rest = own + carrying**2
        by_age = evaluated.by_age if levelled is None else self._levelling.by_age(evaluated.by_age)
        variance = error_model.limits(
            evaluated.variance + by_age, self._size.of(evaluated.row), evaluated.precision, rest
        )
        limits = np.sqrt(variance)
        variance += rest
        # where a card fades out its whole variance is over its precision
        more: Slope = 0.0
        if levelled is not None:
            more = printed - rest
            if isinstance(evaluated.by_age, np.ndarray):  # else an age is nobody's reason
                more += evaluated.by_age - by_age
            if isinstance(evaluated.precision, np.ndarray):
                more /= evaluated.precision
        return variance, (np.sqrt(own), carrying, limits), more

    def _add_shared(
        self, card: Equation, family: int, weights: Array, *, is_levelled: bool
    ) -> None:
        """Add up the weights of what was tried on athletes, is moved or predicts density.

        The error of a levelled card was seen on the DXA scale itself, with the way there in it.
        """
        if card.athletes_error is not None and self._athletes.any():
            tried = weights * self._athletes
            self._tried[family] = self._tried[family] + tried if family in self._tried else tried
        if is_levelled:
            if not self._levelling.tapered.size:
                return
            weights = weights * (1.0 - self._levelling.share)
        for is_so, loads in (
            (card.reference_method != self.settings.reference_method, self._moved),
            (card.predicts == "density", self._dense),
        ):
            if is_so and family in loads:
                loads[family] += weights
            elif is_so:
                loads[family] = weights.copy()

    def normalise(self) -> None:
        """Scale the weights of every family to a sum of one."""
        self.per_total = 1.0 / np.where(self.total > 0.0, self.total, 1.0)
        self.families *= self.per_total
        self.usual_gaps.normalise(self.per_total)
        self.sensitivities.multiply(self.per_total)
        for loads in (self._moved, self._dense, self._tried):
            for family, load in loads.items():
                load *= self.per_total[family]

    def blocks(self) -> dict[str, Symmetric]:
        """Covariance of the families by block, but for what their readings share."""
        rule = self.settings.correlation_rule
        correlation = error_correlation.error_correlation_of(self.cards, self.sex, rule)
        blocks = dict(zip(KINDS, correlated(self._weighted, correlation), strict=True))
        for j, k in places(len(FAMILIES)):
            both = self.per_total[j] * self.per_total[k]
            for block in blocks.values():
                block.elements[j, k] *= both
        stated, count = self.settings.reference_method, self.present.shape[1]
        blocks["shared"] = error_model.shared(self.present, self._tried, stated)
        blocks["reference_method"] = error_model.reference_method(self._moved, stated, count)
        blocks["conversion"] = error_model.conversion(self._dense, count)
        return blocks


def _weighed(evaluated: EvaluatedCard, variance: Array, percent: Array) -> tuple[Array, Array]:
    """Weights of one card and its part in its family, (N,); 0 for people who do not use it.

    ``variance`` is written over.
    """
    weights = np.divide(1.0, variance, out=variance)
    part = weights * percent
    if not evaluated.everybody:
        weights *= evaluated.usable
        np.putmask(part, ~evaluated.usable, 0.0)
    return weights, part


@dataclass(frozen=True, slots=True)
class Answer:
    """What the families of N people come to on one scale.

    ``families`` (4, N) are their estimates, anything where one is absent; ``present`` (4, N) which are
    there, ``blocks`` the covariance of their errors by name, ``covariance`` the sum of the blocks.
    """

    families: Array
    present: BoolArray
    blocks: Blocks
    covariance: Symmetric
    combined: combine.Combined


def answer_of(
    evaluated: Iterable[EvaluatedCard],
    weighted: WeightedFamilies,
    people: People,
    bridged: Bridged,
    settings: Settings,
) -> Answer:
    """Return the answer of N people by the cards that are evaluated for them.

    Parameters
    ----------
    evaluated : iterable of EvaluatedCard
        In the order of the catalogue.
    weighted : WeightedFamilies
        Empty; the cards are added to it.
    people, bridged, settings
        Those of the cards.

    Raises
    ------
    FoldspanError
        E502 if the errors of the families do not form a covariance.
    """
    for card in evaluated:
        weighted.add(card)
    weighted.normalise()
    blocks, scatter = _blocks(people, bridged, weighted)
    families, present = weighted.families, weighted.present.T
    learnt = settings.local.by_sex.get(people.sex) if settings.local is not None else None
    if learnt is not None:
        families, moved = corrected(families, blocks, present, learnt, settings.reference_method)
        # what a site learnt of a family holds its usual gap
        weighted.usual_gaps.families[by_family(settings.local, people.sex).known] = 0.0
        blocks = Blocks({name: Symmetric.of(block) for name, block in moved.items()})
    covariance = blocks.total()
    require_sound(covariance.only(present))
    usual = combine.Usual(weighted.usual_gaps.families, scatter)
    combined = combine.combine_symmetric(families.T, covariance, present, usual)
    return Answer(families, weighted.present, blocks, covariance, combined)


def _blocks(
    people: People, bridged: Bridged, weighted: WeightedFamilies
) -> tuple[Blocks, Symmetric | None]:
    """Covariance of the families by block, and how those of usual bodies scatter."""
    blocks = weighted.blocks()
    inputs = Inputs(bridged.columns)
    loads, stand_in = reading_loads(weighted.sensitivities, inputs, bridged)
    blocks["tester"] = error_model.tester(loads, people.reading_se, inputs.count)
    blocks["waist_site"] = error_model.waist_site(stand_in, bridged.spread, inputs.count)
    return Blocks(blocks), weighted.usual_gaps.scatter(weighted.per_total, loads)

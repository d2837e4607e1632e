"""Pipeline: from columns of accepted values to the agreement range of every person.

One sex at a time, because equations and reference people are by sex. Nothing here loops over people,
and a person's answer is the same to the last bit whoever else is in the batch: numbers are added up
element by element in the order of the cards, and only exact zeros are left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Equation, IntArray
from foldspan.estimation import combine, error_correlation, error_model
from foldspan.estimation.batch import People, in_print
from foldspan.estimation.covariance import Weighted, correlated, require_sound
from foldspan.estimation.known_offsets import Levelled, Levelling
from foldspan.estimation.local_correction import by_family, corrected
from foldspan.estimation.measurement_error import Sensitivities, reading_loads
from foldspan.estimation.select_equations import EvaluatedCard, Selection
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_gaps import UsualGaps
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.numerics.batched_matrices import Blocks, Symmetric, places
from foldspan.numerics.forward_diff import Slope


@dataclass(frozen=True, slots=True)
class Reconciled:
    """The answer for N people of one sex, with everything that led to it.

    ``percent`` (E, N) is on the stated scale and levelled by ``offset`` (E, N) [points, 0 where it is
    not], ``as_printed`` (E, N) what the source prints on its own scale, ``flags`` (E, N) bits of
    ``Fit``, ``equation_sd`` (E, N) each equation's own standard deviation without the shared blocks,
    ``weights`` (E, N) its weight within its family, ``families`` (4, N) the family estimates,
    ``blocks`` the covariance (N, 4, 4) by name, ``covariance`` their sum, ``bridges`` the waist that
    was converted: wanted site → measured site. ``printed_se`` (E, N) holds the printed errors in points,
    the largest of its kind where none is, ``spreads`` (E, N) each equation's standard deviation by block
    before it is shared out.
    """

    cards: tuple[Equation, ...]
    percent: Array
    offset: Array
    as_printed: Array
    flags: IntArray
    equation_sd: Array
    weights: Array
    families: Array
    blocks: Mapping[str, Array]
    covariance: Array
    combined: combine.Combined
    bridges: Mapping[str, Array]
    printed_se: Array
    spreads: Mapping[str, Array]


KINDS = ("published", "new_people", "limits")
"""Blocks of errors that equations share by their inputs."""


class WeightedFamilies:
    """The estimates of the cards on the stated scale, weighted into their families.

    Cards are added one after the other, each while its numbers are at hand, weighted by the inverse
    of their variances; the sums are multiplied by ``per_total`` in the end, one over the sum of the
    weights of a family. Where ``every`` card is asked for, ``percent``, ``weights`` of those in use and,
    by block, the standard deviations in ``spreads`` are kept by the row of a card.
    """

    def __init__(
        self, cards: Sequence[Equation], people: People, settings: Settings, *, every: bool
    ) -> None:
        self.cards, self.sex, self.settings, self.every = cards, people.sex, settings, every
        count = people.ancestry.shape[0]
        self.families = np.zeros((len(FAMILIES), count))
        self.present = np.zeros((len(FAMILIES), count), dtype=bool)
        self.sensitivities = Sensitivities()
        self.weights: dict[int, Array] = {}
        self.percent: dict[int, Array] = {}
        self.spreads: dict[str, dict[int, Slope]] = {name: {} for name in KINDS}
        self._total = np.zeros(self.families.shape)
        self.per_total = np.ones(self.families.shape)
        self._moved: dict[int, Array] = {}
        self._dense: dict[int, Array] = {}
        self._athletes = people.columns["is_athlete"] > 0
        self._tried: dict[int, Array] = {}
        self._moves = error_model.scale_moves(cards, settings.scale)
        self._size = error_model.SizeVariance(cards, people.columns, people.sex)
        self._levelling = Levelling(
            people.columns,
            people.sex,
            settings.scale,
            settings.conversion,
            ancestry=people.ancestry,
            as_printed=settings.as_printed,
        )
        self.offsets: dict[int, Array] = {}
        self.usual = np.zeros(self.families.shape)
        self.usual_gaps = UsualGaps(cards, people.columns, people.sex, settings)
        groups = error_correlation.groups_of(cards)
        self._weighted = Weighted(groups, len(KINDS), count)

    def add(self, evaluated: EvaluatedCard) -> None:
        """Add one card for those who use it."""
        card, move = self.cards[evaluated.row], self._moves[evaluated.row]
        levelled = self._levelling.of(card)
        variance, spreads = self._spreads(evaluated, card, levelled)
        percent = evaluated.percent + move if move else evaluated.percent
        if levelled is not None:
            percent = percent - levelled.offset
            self.offsets[evaluated.row] = levelled.offset
        if self.every:
            self.percent[evaluated.row] = percent
            for name, spread in zip(KINDS, spreads, strict=True):
                self.spreads[name][evaluated.row] = spread
        if evaluated.traced is None:
            return  # nobody uses it
        weights = np.divide(1.0, variance, out=variance)
        part = weights * percent
        if not evaluated.everybody:
            weights *= evaluated.usable
            np.putmask(part, ~evaluated.usable, 0.0)
        family = FAMILIES.index(card.family)
        if self.every:
            self.weights[evaluated.row] = weights
        self._total[family] += weights
        self._add_shared(card, family, weights, is_levelled=levelled is not None)
        self.present[family] |= evaluated.usable
        self.families[family] += part
        gap = self.usual_gaps.of(evaluated.row)
        if gap is not None:
            self.usual[family] += weights * gap
        self.sensitivities.add(
            family, weights, evaluated.traced, None if evaluated.everybody else evaluated.usable
        )
        self._weighted.add(evaluated.row, weights, spreads)

    def _spreads(
        self, evaluated: EvaluatedCard, card: Equation, levelled: Levelled | None
    ) -> tuple[Array, tuple[Slope, ...]]:
        """Variance of one card, and its standard deviations by block; see ``Levelling.fade``."""
        own = error_model.published(card, evaluated.se, self.sex, self._athletes)
        carrying = error_model.new_people(card, self._athletes)
        if levelled is not None:
            carrying = self._levelling.fade(levelled, own, error_model.own_carrying(card))
            own = levelled.variance
        rest = own + carrying**2
        variance = error_model.limits(
            evaluated.variance, self._size.of(evaluated.row), evaluated.precision, rest
        )
        limits = np.sqrt(variance)
        variance += rest
        return variance, (np.sqrt(own), carrying, limits)

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
            if not self._levelling.faded.size:
                return
            weights = weights * (1.0 - self._levelling.share)
        for is_so, loads in (
            (card.scale != self.settings.scale, self._moved),
            (card.predicts == "density", self._dense),
        ):
            if is_so and family in loads:
                loads[family] += weights
            elif is_so:
                loads[family] = weights.copy()

    def normalise(self) -> None:
        """Scale the weights of every family to a sum of one."""
        self.per_total = 1.0 / np.where(self._total > 0.0, self._total, 1.0)
        self.families *= self.per_total
        self.usual *= self.per_total
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
        stated, count = self.settings.scale, self.present.shape[1]
        blocks["shared"] = error_model.shared(self.present, self._tried, stated)
        blocks["scale"] = error_model.scale(self._moved, stated, count)
        blocks["conversion"] = error_model.conversion(self._dense, count)
        return blocks


def _blocks(people: People, selection: Selection, weighted: WeightedFamilies) -> Blocks:
    """Covariance of the families by block."""
    blocks = weighted.blocks()
    bridged, count = selection.bridged, selection.inputs.count
    loads, stand_in = reading_loads(weighted.sensitivities, selection.inputs, bridged)
    blocks["tester"] = error_model.tester(loads, people.reading_se, count)
    blocks["waist_site"] = error_model.waist_site(stand_in, bridged.spread, count)
    return Blocks(blocks)


def reconcile_people(
    cards: Sequence[Equation],
    people: People,
    settings: Settings | None = None,
    *,
    every: bool = True,
) -> Reconciled:
    """Reconcile N people of one sex.

    Parameters
    ----------
    cards : sequence of Equation
        The catalogue, or part of it, in its order; cards for the other sex are not allowed.
    people : People
        Columns of length N.
    settings : Settings, optional
        Scale, conversion, disputed equations.
    every : bool
        Whether cards that nobody here can use are worked out too. Without it their flags tell only one
        reason why they are left out; ``percent``, ``weights``, ``equation_sd``, ``printed_se`` and
        ``spreads``, which a single visit lists and a table does not, are all NaN. Nothing else changes.

    Returns
    -------
    Reconciled

    Raises
    ------
    FoldspanError
        E502 if the errors of the families do not form a covariance.
    """
    settings = settings or Settings()
    if settings.as_printed:
        cards = in_print(cards)
    selection = Selection(cards, people, settings, bridge_waists(people.columns, people.sex))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        weighted = WeightedFamilies(cards, people, settings, every=every)
        printed_se: dict[int, Slope] = {}
        as_printed: dict[int, Array] = {}
        for row, card in enumerate(cards):
            evaluated = selection.evaluate(row, card, every=every)
            if evaluated is not None:
                weighted.add(evaluated)
                if every:
                    printed_se[row] = error_model.printed_or_largest(card, evaluated.se)
                    as_printed[row] = selection.as_printed(card, evaluated)
        weighted.normalise()
        blocks = _blocks(people, selection, weighted)
        families, present = weighted.families, weighted.present.T
        learnt = settings.local.by_sex.get(people.sex) if settings.local is not None else None
        if learnt is not None:
            families, moved = corrected(families, blocks, present, learnt, settings.scale)
            # what a site learnt of a family holds its usual gap
            known = by_family(settings.local, people.sex).known
            weighted.usual[known] = 0.0
            blocks = Blocks({name: Symmetric.of(block) for name, block in moved.items()})
        covariance = blocks.total()
        require_sound(covariance.only(present))
        spread = weighted.usual_gaps.spread(combine.freedom(present.T))
        combined = combine.combine_symmetric(
            families.T, covariance, present, weighted.usual, spread
        )
        by_card = _by_card(weighted, printed_se, as_printed, every=every)
    return Reconciled(
        cards=tuple(cards),
        flags=selection.flags,
        families=np.where(weighted.present, families, np.nan),
        blocks=blocks,
        covariance=covariance.as_array(),
        combined=combined,
        bridges=selection.bridged.measured_at,
        **by_card,
    )


def _by_card(
    weighted: WeightedFamilies,
    printed_se: Mapping[int, Slope],
    as_printed: Mapping[int, Array],
    *,
    every: bool,
) -> dict[str, Any]:
    """What ``Reconciled`` holds of every card, (E, N); nothing in a table, which lists no cards."""
    shape = (len(weighted.cards), weighted.families.shape[1])
    if not every:
        nothing = np.broadcast_to(np.nan, shape)
        names = ("percent", "offset", "as_printed", "weights", "equation_sd", "printed_se")
        return dict.fromkeys(names, nothing) | {"spreads": dict.fromkeys(KINDS, nothing)}
    percent, weights, printed = np.empty(shape), np.zeros(shape), np.empty(shape)
    offset, own = np.zeros(shape), np.empty(shape)
    spreads = {name: np.empty(shape) for name in KINDS}
    for row, card in enumerate(weighted.cards):
        percent[row], printed[row], own[row] = (
            weighted.percent[row],
            printed_se[row],
            as_printed[row],
        )
        if row in weighted.offsets:
            offset[row] = weighted.offsets[row]
        if row in weighted.weights:
            per_total = weighted.per_total[FAMILIES.index(card.family)]
            weights[row] = weighted.weights[row] * per_total
        for name, spread in spreads.items():
            spread[row] = weighted.spreads[name][row]
    published, new_people, limits = spreads.values()
    variance = published**2 + new_people**2 + limits**2
    return {
        "percent": percent,
        "offset": offset,
        "as_printed": own,
        "weights": weights,
        "equation_sd": np.sqrt(variance),
        "printed_se": printed,
        "spreads": spreads,
    }

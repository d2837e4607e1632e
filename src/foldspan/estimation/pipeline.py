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
from foldspan.estimation import error_model
from foldspan.estimation.batch import People, in_print
from foldspan.estimation.evaluate import Traced
from foldspan.estimation.families import combine
from foldspan.estimation.other_reference import OtherReference
from foldspan.estimation.select_equations import EvaluatedCard, Selection
from foldspan.estimation.settings import Settings
from foldspan.estimation.weighted_families import KINDS, WeightedFamilies, answer_of
from foldspan.measurement.waist_conversion import bridge_waists


@dataclass(frozen=True, slots=True)
class Reconciled:
    """The answer for N people of one sex, with everything that led to it.

    ``percent`` (E, N) is on the stated scale and levelled by ``offset`` (E, N) [points, 0 where it is
    not], ``as_printed`` (E, N) what the source prints on its own scale, ``flags`` (E, N) bits of
    ``Fit``, ``equation_sd`` (E, N) each equation's own standard deviation without the shared blocks,
    ``weights`` (E, N) its weight within its family, ``families`` (4, N) the family estimates,
    ``blocks`` the covariance (N, 4, 4) by name, ``covariance`` their sum, ``bridges`` the waist that
    was converted: wanted site → measured site. ``printed_se`` (E, N) holds the printed errors in points,
    the largest of its kind where none is, ``block_sds`` (E, N) each equation's standard deviation by
    block before it is shared out, ``traced`` the slopes of the cards in use by their rows, of one person
    of whom every card was asked for. ``other`` is the same fat on the other scale, where asked for.
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
    block_sds: Mapping[str, Array]
    traced: Mapping[int, Traced]
    other: OtherReference | None = None


def reconcile_people(
    cards: Sequence[Equation],
    people: People,
    settings: Settings | None = None,
    *,
    every: bool = True,
    both_references: bool = False,
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
        Whether cards that nobody here can use are worked out too, but for those of which everybody lacks
        the same measurement: they are NaN, but for their weights. Without it their flags tell only one
        reason why they are left out; ``percent``, ``weights``, ``equation_sd``, ``printed_se`` and
        ``block_sds``, which a single visit lists and a table does not, are NaN; all else is the same.
    both_references : bool
        Whether the same fat is wanted on the other scale too, in ``other``: from the cards as they are
        evaluated here, those that can enter a range on that scale.

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
    bridged = bridge_waists(people.columns, people.sex)
    selection = Selection(cards, people, settings, bridged)
    weighted = WeightedFamilies(cards, people, settings, every=every)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        one_by_one = selection.evaluated(every=every)
        # what nobody reads again is not kept: each card is added while its numbers are at hand
        kept = list(one_by_one) if every or both_references else []
        other = OtherReference.of(selection, kept) if both_references else None
        if other is not None and not every and not other.settings.levels:
            weighted.printed = other.sums_beside(kept)
        answer = answer_of(kept or one_by_one, weighted, people, bridged, settings)
        by_card = _by_card(weighted, selection, kept if every else None)
    return Reconciled(
        cards=tuple(cards),
        flags=selection.flags,
        families=np.where(answer.present, answer.families, np.nan),
        blocks=answer.blocks,
        covariance=answer.covariance.as_array(),
        combined=answer.combined,
        bridges=bridged.measured_at,
        traced=_tracings(kept) if every and people.ancestry.size == 1 else {},
        other=other,
        **by_card,
    )


def families_of(cards: Sequence[Equation], people: People, settings: Settings) -> Array:
    """Return the family estimates (4, N) of ``reconcile_people`` alone, NaN where one is absent.

    In a third of its time: nothing is said of their errors. Without a site's own correction, which goes
    by them.
    """
    assert settings.local is None, "a local correction goes by the errors"
    if settings.as_printed:
        cards = in_print(cards)
    selection = Selection(cards, people, settings, bridge_waists(people.columns, people.sex))
    weighted = WeightedFamilies(cards, people, settings, every=False, with_errors=False)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for card in selection.evaluated(every=False):
            weighted.add(card)
        weighted.normalise()
    return np.where(weighted.present, weighted.families, np.nan)


def _tracings(evaluated: Sequence[EvaluatedCard]) -> dict[int, Traced]:
    return {card.row: card.traced for card in evaluated if card.traced is not None}


def _by_card(
    weighted: WeightedFamilies,
    selection: Selection,
    evaluated: Sequence[EvaluatedCard] | None,
) -> dict[str, Any]:
    """What ``Reconciled`` holds of every card, (E, N); nothing in a table, which lists no cards."""
    shape = (len(weighted.cards), weighted.families.shape[1])
    if evaluated is None:
        nothing = np.broadcast_to(np.nan, shape)
        names = ("percent", "offset", "as_printed", "weights", "equation_sd", "printed_se")
        return dict.fromkeys(names, nothing) | {"block_sds": dict.fromkeys(KINDS, nothing)}
    percent, printed, own = (np.full(shape, np.nan) for _ in range(3))
    offset, weights = np.zeros(shape), np.zeros(shape)
    block_sds = {name: np.full(shape, np.nan) for name in KINDS}
    for evaluation in evaluated:
        row, card = evaluation.row, evaluation.card
        percent[row] = weighted.percent[row]
        printed[row] = error_model.printed_or_largest(card, evaluation.se)
        own[row] = selection.as_printed(evaluation)
        if row in weighted.offsets:
            offset[row] = weighted.offsets[row]
        if row in weighted.weights:
            per_total = weighted.per_total[FAMILIES.index(card.method)]
            weights[row] = weighted.weights[row] * per_total
        for name, spread in block_sds.items():
            spread[row] = weighted.block_sds[name][row]
    published, new_people, limits = block_sds.values()
    variance = published**2 + new_people**2 + limits**2
    return {
        "percent": percent,
        "offset": offset,
        "as_printed": own,
        "weights": weights,
        "equation_sd": np.sqrt(variance),
        "printed_se": printed,
        "block_sds": block_sds,
    }

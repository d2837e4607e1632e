"""Reconciliation: from columns of accepted values to the agreement range of every person.

One sex at a time, because equations and reference people are by sex. Nothing here loops over people,
and a person's answer is the same to the last bit whoever else is in the batch: numbers are added up
element by element in the order of the cards, and only exact zeros are left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foldspan import agreement, errormodel
from foldspan.catalogue.card import FAMILIES, Array, Equation
from foldspan.correlated_errors import correlated, grouped
from foldspan.dual import Slope
from foldspan.fitting import Fitted, Fitting, variant_variance
from foldspan.local import corrected
from foldspan.people import (
    ANCESTRY_INDICATORS,
    People,
    Settings,
    cards_for,
    conversion_fits,
    settings_for,
)
from foldspan.quantities import Sex
from foldspan.reading_errors import Pulls, reading_blocks
from foldspan.small_matrices import Blocks, Symmetric
from foldspan.waist_bridging import Bridged, bridge_waists


@dataclass(frozen=True, slots=True)
class Reconciled:
    """The answer for N people of one sex, with everything that led to it.

    ``percent`` (E, N) is on the stated scale, ``flags`` (E, N) bits of ``Fit``, ``equation_sd`` (E, N)
    each equation's own standard deviation without the shared blocks, ``weights`` (E, N) its weight
    within its family, ``families`` (4, N) the family estimates, ``blocks`` the covariance (N, 4, 4) by
    name, ``covariance`` their sum, ``bridges`` the waist that stood in: wanted site → measured site.
    ``printed_se`` (E, N) holds the printed errors in points, the largest of its kind where none is,
    ``spreads`` (E, N) each equation's standard deviation by block before it is shared out.
    """

    cards: tuple[Equation, ...]
    percent: Array
    flags: Array
    equation_sd: Array
    weights: Array
    families: Array
    blocks: Mapping[str, Array]
    covariance: Array
    combined: agreement.Combined
    bridges: Mapping[str, Array]
    printed_se: Array
    spreads: Mapping[str, Array]


class Voices:
    """What the cards say on the stated scale, and with which weight in their families.

    Arrays have a row for every card, NaN or zero where it was not worked out; ``published``,
    ``carrying`` and ``limits`` hold the standard deviations of the others by row, ``used`` the cards
    that somebody uses.
    """

    def __init__(self, cards: Sequence[Equation], count: int) -> None:
        self.cards = cards
        self.percent = np.full((len(cards), count), np.nan)
        self.shares = np.zeros((len(cards), count))
        self.families = np.zeros((len(FAMILIES), count))
        self.present = np.zeros((len(FAMILIES), count), dtype=bool)
        self.pulls = Pulls()
        self.used: dict[int, Equation] = {}
        self.published: dict[int, Slope] = {}
        self.carrying: dict[int, Slope] = {}
        self.limits: dict[int, Slope] = {}

    def listen(self, fitted: Sequence[Fitted], people: People, settings: Settings) -> None:
        """Let the usable cards of every family share its voice, by the inverse of their variances."""
        moves = errormodel.scale_moves(self.cards, settings.scale)
        size = errormodel.SizeVariance(self.cards, people.columns, people.sex)
        total = np.zeros(self.families.shape)
        for one in fitted:
            card = self.cards[one.row]
            home = FAMILIES.index(card.family)
            np.add(one.percent, moves[one.row], out=self.percent[one.row])
            variance = self._spread(one, size.of(one.row), people.sex)
            if one.slopes is None:
                continue  # nobody uses it
            share = np.divide(1.0, variance, out=self.shares[one.row])
            if not one.everybody:
                share[~one.usable] = 0.0
            total[home] += share
            self.present[home] |= one.usable
            self.used[one.row] = card
        self._share(fitted, np.where(total > 0.0, total, 1.0))

    def _spread(self, one: Fitted, of_size: Array, sex: Sex) -> Array:
        """Keep the standard deviations of one card by block; return its whole variance."""
        card = self.cards[one.row]
        own, carrying = (
            errormodel.published_variance(card, one.se, sex),
            errormodel.own_carrying(card),
        )
        variance = of_size + one.variance
        self.published[one.row], self.carrying[one.row] = np.sqrt(own), carrying
        self.limits[one.row] = np.sqrt(variance)
        variance += own + carrying**2
        return variance

    def _share(self, fitted: Sequence[Fitted], total: Array) -> None:
        """Bring the weights of every family to one, and let it speak."""
        for one in fitted:
            if one.slopes is None:
                continue
            home = FAMILIES.index(self.cards[one.row].family)
            share = self.shares[one.row]
            share /= total[home]
            part = share * self.percent[one.row]
            if not one.everybody:
                part[~one.usable] = 0.0
            self.families[home] += part
            self.pulls.add(home, share, one.slopes, None if one.everybody else one.usable)

    def by_block(self) -> dict[str, Mapping[int, Slope]]:
        """Standard deviations by block and by the row of a card."""
        return {"published": self.published, "new_people": self.carrying, "limits": self.limits}

    def correlated_blocks(self, sex: Sex) -> dict[str, Symmetric]:
        """Blocks of errors that equations share by their inputs."""
        in_use = [{row: one[row] for row in self.used} for one in self.by_block().values()]
        correlation = errormodel.error_correlation_of(self.cards, sex)
        found = correlated(grouped(self.cards), correlation, self.shares, in_use)
        return dict(zip(self.by_block(), found, strict=True))


def _blocks(people: People, settings: Settings, fitting: Fitting, voices: Voices) -> Blocks:
    """Covariance of the families by block."""
    blocks = voices.correlated_blocks(people.sex)
    blocks |= errormodel.shared_blocks(voices.used, voices.shares, voices.present, settings.scale)
    blocks["tester"], blocks["waist_site"] = reading_blocks(
        voices.pulls, fitting.inputs, fitting.bridged, people.reading_se
    )
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
        Whether cards that nobody here can use are worked out too. Without it their rows are NaN and
        their flags tell only why they are left out; ``equation_sd``, ``printed_se`` and ``spreads``,
        which a single visit lists and a table does not, are all NaN. Nothing else changes.

    Returns
    -------
    Reconciled

    Raises
    ------
    FoldspanError
        E502 if the errors of the families do not form a covariance.
    """
    settings = settings or Settings()
    fitting = Fitting(cards, people, settings, bridge_waists(people.columns, people.sex))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        tried = [fitting.fit(row, card, every=every) for row, card in enumerate(cards)]
        fitted = [one for one in tried if one is not None]
        voices = Voices(cards, people.ancestry.shape[0])
        voices.listen(fitted, people, settings)
        blocks = _blocks(people, settings, fitting, voices)
        families, present = voices.families, voices.present.T
        learnt = settings.local.by_sex.get(people.sex) if settings.local is not None else None
        if learnt is not None:
            families, moved = corrected(families, blocks, present, learnt, settings.scale)
            blocks = Blocks({name: Symmetric.of(block) for name, block in moved.items()})
        covariance = blocks.total()
        errormodel.require_sound(covariance.only(present))
        combined = agreement.combine_symmetric(families.T, covariance, present)
        errors = _errors_by_card(voices, fitted, every=every)
    return Reconciled(
        cards=tuple(cards),
        percent=voices.percent,
        flags=fitting.flags,
        weights=voices.shares,
        families=np.where(voices.present, families, np.nan),
        blocks=blocks,
        covariance=covariance.whole(),
        combined=combined,
        bridges=fitting.bridged.measured_at,
        **errors,
    )


def _errors_by_card(voices: Voices, fitted: Sequence[Fitted], *, every: bool) -> dict[str, Any]:
    """What ``Reconciled`` holds of the errors of the cards; nothing in a table."""
    nothing = np.broadcast_to(np.nan, voices.percent.shape)
    spreads = dict.fromkeys(voices.by_block(), nothing)
    if not every:
        return {"equation_sd": nothing, "printed_se": nothing, "spreads": spreads}
    printed = np.full(nothing.shape, np.nan)
    for one in fitted:
        printed[one.row] = errormodel.printed_or_largest(voices.cards[one.row], one.se)
    variance = np.zeros(nothing.shape)
    for name, spread in voices.by_block().items():
        whole = [np.broadcast_to(one, nothing.shape[1]) for one in spread.values()]
        spreads[name] = np.array(whole)
        variance += spreads[name] ** 2
    return {"equation_sd": np.sqrt(variance), "printed_se": printed, "spreads": spreads}


__all__ = [
    "ANCESTRY_INDICATORS",
    "Bridged",
    "People",
    "Reconciled",
    "Settings",
    "bridge_waists",
    "cards_for",
    "conversion_fits",
    "reconcile_people",
    "settings_for",
    "variant_variance",
]

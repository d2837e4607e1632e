"""Batch: N clients of one sex as columns, what the caller asked for, and which cards there are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from foldspan.catalogue.card import Array, Equation
from foldspan.numerics.chosen_columns import ChosenColumns
from foldspan.quantities import Sex


@dataclass(frozen=True, slots=True)
class People:
    """N people of one sex: accepted values, and how uncertain each is.

    Parameters
    ----------
    sex : str
        ``female`` or ``male``.
    columns : mapping of str to array
        Every quantity and indicator, float arrays of length N in canonical units, NaN = unknown.
    reading_se : mapping of str to array
        Standard error of each accepted value, same units; a missing name means no error.
    ancestry : array of str
        Self-described word or "", length N.
    at_least : mapping of str to bool array
        Readings that stopped at the end of the scale.
    site_variants : mapping of str to str
        Variant at which a fold was taken, where it is known; the same for all N.
    """

    sex: Sex
    columns: Mapping[str, Array]
    reading_se: Mapping[str, Array]
    ancestry: Array
    at_least: Mapping[str, Array] = field(default_factory=dict)
    site_variants: Mapping[str, str] = field(default_factory=dict)

    def some(self, rows: Array) -> People:
        """Return some of the people, by their numbers."""
        return replace(
            self,
            columns=ChosenColumns(self.columns, rows),
            reading_se=ChosenColumns(self.reading_se, rows),
            ancestry=self.ancestry[rows],
            at_least=ChosenColumns(self.at_least, rows),
        )


def in_print(cards: Sequence[Equation]) -> tuple[Equation, ...]:
    """Return the cards with their formulas exactly as printed, jumps and all."""
    return tuple(replace(card, formula=card.printed_formula, table=None) for card in cards)

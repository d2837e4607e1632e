"""Measurement error: how far readings, and waists that stood in, move the families."""

from __future__ import annotations

from collections.abc import Hashable

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Input, Sum
from foldspan.estimation.evaluate import Inputs, Traced, spread_slope
from foldspan.measurement.waist_conversion import NUMBER, Bridged
from foldspan.quantities import WAISTS

Loads = dict[str, dict[int, Array]]


class Pulls:
    """Points of a family per unit of each argument of the formulas, added up card by card."""

    def __init__(self) -> None:
        self._sums: dict[tuple[int, Hashable], Array] = {}

    def add(self, family: int, weights: Array, card: Traced, usable: Array | None) -> None:
        """Add one card by its weights in its family; ``usable`` is None where everybody uses it."""
        unused = None if usable is None else ~usable
        through = weights
        if isinstance(card.worth, np.ndarray):
            through = weights * card.worth
            _forget(through, unused)
        for given, slope in card.slopes.items():
            pull = through * slope
            if isinstance(slope, np.ndarray):
                _forget(pull, unused)
            if (family, given) in self._sums:
                self._sums[family, given] += pull
            else:
                self._sums[family, given] = pull

    def times(self, factors: Array) -> None:
        """Multiply the pulls of every family by its factor, (families, N)."""
        for (family, _), pull in self._sums.items():
            pull *= factors[family]

    def in_order(self) -> list[tuple[int, Input, Array]]:
        """Family, argument and pull, in an order that does not depend on who is in the batch."""
        found = []
        for (family, given), pull in self._sums.items():
            assert isinstance(given, str | Sum | Bmi)
            found.append((family, given, pull))
        return sorted(found, key=lambda one: (one[0], str(one[1])))


def _forget(values: Array, unused: Array | None) -> None:
    """Set to zero what a formula says of people who do not use it: it may be no number at all."""
    if unused is not None:
        np.putmask(values, unused, 0.0)


def reading_loads(pulls: Pulls, inputs: Inputs, bridged: Bridged) -> tuple[Loads, Loads]:
    """Points of every family per unit of each reading, and per cm of each waist that stood in."""
    loading: Loads = {}
    stand_in: Loads = {}
    no_size = inputs.unknown(Bmi().names)
    for family, given, pull in pulls.in_order():
        for name, part in spread_slope(given, pull, inputs.columns):
            if isinstance(given, Bmi) and no_size is not None:
                part = np.where(no_size, 0.0, part)
            if name not in bridged.numbers:
                _add(loading, name, family, part)
                continue
            number = bridged.numbers[name]
            _add(stand_in, name, family, np.where(number == 0, 0.0, part))
            for site in WAISTS:
                here = number == (0 if site == name else NUMBER[site])
                if here.any():
                    _add(loading, site, family, np.where(here, part, 0.0))
    return loading, stand_in


def _add(loads: Loads, name: str, family: int, part: Array) -> None:
    held = loads.setdefault(name, {})
    held[family] = held[family] + part if family in held else part

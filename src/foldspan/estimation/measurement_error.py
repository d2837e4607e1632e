"""Measurement error: how far readings, and waists that stood in, move the families."""

from __future__ import annotations

from collections.abc import Hashable

import numpy as np

from foldspan.catalogue.card import Array, Bmi, BoolArray, Input, Sum
from foldspan.estimation.evaluate import Inputs, Traced, spread_slope
from foldspan.measurement.waist_conversion import NUMBER, Bridged
from foldspan.quantities import WAISTS

Loads = dict[str, dict[int, Array]]


class Sensitivities:
    """Points of a family per unit of each argument of the formulas, summed card by card."""

    def __init__(self) -> None:
        self._sums: dict[tuple[int, Hashable], Array] = {}

    def add(self, family: int, weights: Array, card: Traced, usable: BoolArray | None) -> None:
        """Add one card by its weights in its family; ``usable`` is None where everybody uses it."""
        unused = None if usable is None else ~usable
        through = weights
        if isinstance(card.points_per_output, np.ndarray):
            through = weights * card.points_per_output
            _clear(through, unused)
        for given, slope in card.slopes.items():
            sensitivity = through * slope
            if isinstance(slope, np.ndarray):
                _clear(sensitivity, unused)
            if (family, given) in self._sums:
                self._sums[family, given] += sensitivity
            else:
                self._sums[family, given] = sensitivity

    def multiply(self, factors: Array) -> None:
        """Multiply the sensitivities of every family by its factor, (families, N)."""
        for (family, _), sensitivity in self._sums.items():
            sensitivity *= factors[family]

    def in_order(self) -> list[tuple[int, Input, Array]]:
        """Family, argument and sensitivity, in an order that does not depend on who is in the batch."""
        ordered = []
        for (family, given), sensitivity in self._sums.items():
            assert isinstance(given, str | Sum | Bmi)
            ordered.append((family, given, sensitivity))
        return sorted(ordered, key=lambda item: (item[0], str(item[1])))


def _clear(values: Array, unused: Array | None) -> None:
    """Set to zero what a formula gives for people who do not use it: it may be no number at all."""
    if unused is not None:
        np.putmask(values, unused, 0.0)


def reading_loads(
    sensitivities: Sensitivities, inputs: Inputs, bridged: Bridged
) -> tuple[Loads, Loads]:
    """Points of every family per unit of each reading, and per cm of each waist that stood in."""
    loading: Loads = {}
    stand_in: Loads = {}
    no_size = inputs.unknown(Bmi().names)
    for family, given, sensitivity in sensitivities.in_order():
        for name, part in spread_slope(given, sensitivity, inputs.columns):
            if isinstance(given, Bmi) and no_size is not None:
                part = np.where(no_size, 0.0, part)
            if name not in bridged.numbers:
                _add(loading, name, family, part)
                continue
            number = bridged.numbers[name]
            _add(stand_in, name, family, np.where(number == 0, 0.0, part))
            for site in WAISTS:
                from_site = number == (0 if site == name else NUMBER[site])
                if from_site.any():
                    _add(loading, site, family, np.where(from_site, part, 0.0))
    return loading, stand_in


def _add(loads: Loads, name: str, family: int, part: Array) -> None:
    held = loads.setdefault(name, {})
    held[family] = held[family] + part if family in held else part

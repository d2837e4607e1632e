"""Converted: columns of numbers turned into another unit."""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.quantities import units_with


def converted(values: Array, units: str | tuple[str, ...], to: str) -> Array:
    """Turn numbers into the wanted unit, rounded as ``quantities.convert`` rounds.

    Of several units each stands for one column of ``values``.
    """
    if units == to:
        return values
    table = units_with(to)
    size = table[units] if isinstance(units, str) else np.array([table[unit] for unit in units])
    return np.round(values * size / table[to], 9)

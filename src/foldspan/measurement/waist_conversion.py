"""Waist conversion: a waist that was not measured, filled from a neighbouring level that was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.numerics.chosen_columns import ChosenColumns
from foldspan.protocol.waist_sites import WaistBridge, bridges_to
from foldspan.quantities import WAISTS

# A level by its number, so that whole columns are compared at once; 0 stands for its own reading.
LEVELS: tuple[str, ...] = ("", *WAISTS)
NUMBER = {name: number for number, name in enumerate(LEVELS)}


class LevelNames(Mapping[str, Array]):
    """Wanted level → the name of the level that stood in, "" where none did; spelt when looked up."""

    def __init__(self, numbers: Mapping[str, Array]) -> None:
        self.numbers = numbers

    def __getitem__(self, name: str) -> Array:
        return np.asarray(LEVELS)[self.numbers[name]]

    def __iter__(self) -> Iterator[str]:
        return iter(self.numbers)

    def __len__(self) -> int:
        return len(self.numbers)


@dataclass(frozen=True, slots=True)
class Bridged:
    """Waists filled from their neighbours: values, where from, and the spread of the step.

    ``numbers`` holds the levels that stood in by their place in ``LEVELS``, for every waist that was
    filled for anybody; ``measured_at`` names them, ``spread`` is 0 where none stood in.
    """

    columns: Mapping[str, Array]
    measured_at: Mapping[str, Array]
    spread: Mapping[str, Array]
    numbers: Mapping[str, Array]

    def some(self, rows: Array) -> Bridged:
        """Return the waists of some of the people, by their numbers."""
        numbers = ChosenColumns(self.numbers, rows)
        return Bridged(
            ChosenColumns(self.columns, rows),
            LevelNames(numbers),
            ChosenColumns(self.spread, rows),
            numbers,
        )


_rows = cache(bridges_to)


def bridge_waists(columns: Mapping[str, Array], sex: str) -> Bridged:
    """Fill a waist that was not measured from one that was, with the published difference."""
    filled = dict(columns)
    unknown = {name: np.isnan(columns[name]) for name in WAISTS}
    nowhere = np.zeros(unknown[WAISTS[0]].shape, dtype=np.int8)
    step = np.zeros(nowhere.shape)
    numbers, spread = dict.fromkeys(WAISTS, nowhere), dict.fromkeys(WAISTS, step)
    for wanted in WAISTS:
        if unknown[wanted].any() and _rows(wanted, sex):
            filling = _fill(columns, wanted, _rows(wanted, sex), unknown)
            filled[wanted], numbers[wanted], spread[wanted] = filling
    used = {name: number for name, number in numbers.items() if number.any()}
    return Bridged(filled, LevelNames(numbers), spread, used)


def _fill(
    columns: Mapping[str, Array],
    wanted: str,
    rows: tuple[WaistBridge, ...],
    unknown: Mapping[str, Array],
) -> tuple[Array, Array, Array]:
    """Values, level numbers and spreads of one level, the tightest step first."""
    value, open_ = columns[wanted], unknown[wanted]
    number, step = np.zeros(value.shape, dtype=np.int8), np.zeros(value.shape)
    for row in rows:
        use = open_ & ~unknown[row.measured]
        value = np.where(use, columns[row.measured] + row.difference, value)
        number[use], step[use] = NUMBER[row.measured], row.spread
        open_ = open_ & ~use
    return value, number, step

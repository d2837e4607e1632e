"""Suppress: which numbers of several tables are withheld, so that no small one can be worked out.

A number from 1 to 4 is withheld, and so is whatever would give it away: totals less everything else,
or two tables held against each other. Whoever knows every number that is shown can be told, by linear
programming, between which bounds each withheld one must lie; numbers are withheld until the bounds of
every small one are at least ``WIDE`` apart (complementary cell suppression: Willenborg and de Waal,
Elements of Statistical Disclosure Control, 2001, chapter 4; not verified in print).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from foldspan.catalogue.card import Array, BoolArray
from foldspan.screening.group.grids import Grid

# the smallest number that is shown, and how far apart the bounds of a smaller one must lie (ours; five
# is the usual floor: common practice, no source)
FLOOR, WIDE = 5, 5
# (table, row, column); a row or column behind the last is a total
Cell = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class SafeTable:
    """One table of R rows and C columns with its totals, in the last row and column."""

    grid: Grid
    """What is counted."""
    counts: Array
    """Number of people, int (R + 1, C + 1) [people]."""
    is_hidden: BoolArray
    """Whether a number is withheld, bool (R + 1, C + 1)."""


def safe(grids: Sequence[Grid]) -> tuple[SafeTable, ...]:
    """Return tables with what must be withheld; columns are the same in all.

    The number of all people in a table is always shown.
    """
    whole = [_with_totals(grid.counts) for grid in grids]
    hidden = [(counts > 0) & (counts < FLOOR) for counts in whole]
    for grid, counts, hides in zip(grids, whole, hidden, strict=True):
        if grid.key != "age":  # that a whole group is in one category tells it of each of them
            inside = counts[:-1, :-1]
            hides[:-1, :-1] |= (inside == counts[-1, :-1]) & (inside > 0) & (len(grid.rows) > 1)
    for hides in hidden:
        hides[-1, -1] = False
    small = [
        (at, row, column)
        for at, counts in enumerate(whole)
        for row, column in np.argwhere((counts > 0) & (counts < FLOOR)).tolist()
    ]
    _share_totals(hidden)
    while (cell := _least_safe(whole, hidden, small)) is not None:
        _hide_another(whole, hidden, cell)
        _share_totals(hidden)
    return tuple(map(SafeTable, grids, whole, hidden))


def _with_totals(counts: Array) -> Array:
    both = np.vstack([counts, counts.sum(axis=0)])
    return np.hstack([both, both.sum(axis=1, keepdims=True)])


def _share_totals(hidden: Sequence[BoolArray]) -> None:
    """A total of a column that is withheld in one table is withheld in all."""
    together = np.any([hides[-1] for hides in hidden], axis=0)
    for hides in hidden:
        hides[-1] = together


def _least_safe(
    whole: Sequence[Array], hidden: Sequence[BoolArray], small: list[Cell]
) -> Cell | None:
    """The small number whose bounds lie closest together, None where all are wide apart.

    Of ``small`` those go whose bounds are wide apart. One is left as it is where everything that could
    hide it is withheld already.
    """
    if not small:
        return None
    known = _Known(whole, hidden)
    widths = {cell: known.width(cell) for cell in small}
    # the more is withheld, the farther apart the bounds: who is safe stays so
    small[:] = [cell for cell in small if widths[cell] < WIDE]
    able = {
        cell: widths[cell] for cell in small if any(True for _ in _candidates(whole, hidden, cell))
    }
    return min(able, key=lambda cell: (able[cell], cell)) if able else None


def _candidates(
    whole: Sequence[Array], hidden: Sequence[BoolArray], cell: Cell
) -> Iterator[tuple[tuple[bool, bool, int], Cell]]:
    """Numbers of a small one's table that are still shown, each with what it costs to lose it.

    A number inside costs less than a total, one of people less than a nought, a small one less than a
    large one.
    """
    at = cell[0]
    counts, hides = whole[at], hidden[at]
    rows, columns = counts.shape[0] - 1, counts.shape[1] - 1
    for row, column in np.argwhere(~hides).tolist():
        if (row, column) != (rows, columns):
            number = int(counts[row, column])
            is_total = row == rows or column == columns
            yield (is_total, number == 0, number), (at, row, column)


def _hide_another(whole: Sequence[Array], hidden: Sequence[BoolArray], cell: Cell) -> None:
    """Withhold the number that hides a small one best, of equals the one that costs least."""
    best: tuple[float, tuple[bool, bool, int], Cell] | None = None
    # from the cheapest on: the first that hides it enough is the best
    for cost, (at, row, column) in sorted(
        _candidates(whole, hidden, cell), key=lambda candidate: candidate[0]
    ):
        tried = [hides.copy() for hides in hidden]
        tried[at][row, column] = True
        _share_totals(tried)
        gain = min(_Known(whole, tried).width(cell), float(WIDE))
        if best is None or (-gain, cost) < best[:2]:
            best = -gain, cost, (at, row, column)
        if gain == WIDE:
            break
    assert best is not None
    at, row, column = best[2]
    hidden[at][row, column] = True


class _Known:
    """What whoever sees the tables can work out: bounds of each number that is withheld."""

    def __init__(self, whole: Sequence[Array], hidden: Sequence[BoolArray]) -> None:
        self._whole = whole
        self._number: dict[Cell, int] = {}
        for at, hides in enumerate(hidden):
            for row, column in np.argwhere(hides).tolist():
                key = self._key((at, row, column))
                self._number.setdefault(key, len(self._number))
        lines = [line for at, hides in enumerate(hidden) for line in self._lines(at, hides)]
        sums = np.array([line for line, _ in lines]).reshape(-1, len(self._number))
        rest = np.array([rest for _, rest in lines], dtype=float)
        self._lines_known = LinearConstraint(sums, rest, rest)

    def _key(self, cell: Cell) -> Cell:
        """Tables of the same people have the same totals: one number, whichever table shows it."""
        at, row, column = cell
        if row < self._whole[at].shape[0] - 1:
            return cell
        totals = self._whole[at][-1]
        same = next(at for at, counts in enumerate(self._whole) if (counts[-1] == totals).all())
        return same, -1, column

    def _lines(self, at: int, hides: BoolArray) -> Iterator[tuple[Array, float]]:
        """Every row and column: its numbers less its total are nothing."""
        counts = self._whole[at]
        rows, columns = counts.shape
        lines = [[(row, column) for column in range(columns)] for row in range(rows)]
        lines += [[(row, column) for row in range(rows)] for column in range(columns)]
        for line in lines:
            if not any(hides[there] for there in line):
                continue
            sums, rest = np.zeros(len(self._number)), 0.0
            for place, there in enumerate(line):
                sign = -1.0 if place == len(line) - 1 else 1.0
                if hides[there]:
                    sums[self._number[self._key((at, *there))]] += sign
                else:
                    rest -= sign * float(counts[there])
            yield sums, rest

    def width(self, cell: Cell) -> float:
        """How far apart the bounds of a number lie."""
        aim = np.zeros(len(self._number))
        aim[self._number[self._key(cell)]] = 1.0
        # without whole numbers: the quickest way to the solver behind it
        ends = [
            milp(sign * aim, constraints=self._lines_known, bounds=Bounds(0.0, np.inf))
            for sign in (1.0, -1.0)
        ]
        low, high = (None if end.status else end.fun for end in ends)
        # what nothing bounds is safe
        return float("inf") if low is None or high is None else -float(high) - float(low)

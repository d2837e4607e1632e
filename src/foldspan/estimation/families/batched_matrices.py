"""Batched matrices: many symmetric matrices of three or four rows, one for each person, worked at once.

A library call for each of many tiny matrices costs more than the arithmetic. Here every element is one
array over the people, and elimination is written out on the elements. So a person's numbers do not
depend, to the last bit, on who else is in the batch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Self

import numpy as np

from foldspan.catalogue.card import Array, BoolArray


class Symmetric:
    """N symmetric matrices of one size: ``elements[j, k]`` with j ≤ k, each of shape (N,)."""

    __slots__ = ("elements", "size")

    def __init__(self, size: int, elements: dict[tuple[int, int], Array]) -> None:
        self.size = size
        self.elements = elements

    @classmethod
    def zeros(cls, size: int, count: int) -> Self:
        """Return N matrices of zeros; the elements share one array until one is set anew."""
        nothing = np.zeros(count)
        return cls(size, dict.fromkeys(places(size), nothing))

    @classmethod
    def of(cls, matrices: Array) -> Self:
        """Return matrices given as an array of shape (N, size, size)."""
        size = matrices.shape[-1]
        return cls(size, {(j, k): matrices[:, j, k] for j, k in places(size)})

    def add_outer(self, loads: Mapping[int, Array], variance: float | Array) -> None:
        """Add ``loading loadingᵀ × variance``, in the order of the rows."""
        rows = sorted(loads)
        for place, j in enumerate(rows):
            spread = loads[j] * variance
            for k in rows[place:]:
                self.elements[j, k] = self.elements[j, k] + spread * loads[k]

    def plus(self, other: Symmetric) -> Symmetric:
        """Return the sums."""
        mine, theirs = self.elements, other.elements
        return Symmetric(self.size, {place: mine[place] + theirs[place] for place in mine})

    def as_array(self) -> Array:
        """Return them as one array of shape (N, size, size)."""
        count = self.elements[0, 0].shape[0]
        built = np.empty((self.size, self.size, count))
        for (j, k), element in self.elements.items():
            built[j, k] = element
            built[k, j] = element
        return built.transpose(2, 0, 1)

    def take(self, rows: Array) -> Symmetric:
        """Return the matrices of some people."""
        return Symmetric(
            self.size, {place: element[rows] for place, element in self.elements.items()}
        )

    def face(self, kept: Sequence[int]) -> Symmetric:
        """Return the matrices without the rows and columns that are not kept."""
        pairs = places(len(kept))
        return Symmetric(len(kept), {(j, k): self.elements[kept[j], kept[k]] for j, k in pairs})

    def only(self, present: BoolArray) -> Symmetric:
        """Return the matrices with absent rows (N, size) made independent, of variance one."""
        if present.all():
            return self
        there = present.T
        made = {}
        for (j, k), element in self.elements.items():
            both = there[j] & there[k]
            made[j, k] = np.where(both, element, float(j == k))
        return Symmetric(self.size, made)


def places(size: int) -> list[tuple[int, int]]:
    """The places on and above the diagonal, row by row."""
    return list(combinations_with_replacement(range(size), 2))


@dataclass(frozen=True, slots=True)
class Eliminated:
    """``L D Lᵀ`` of N matrices: ``pivots`` are D, ``factors[i, p]`` the elements of L below it."""

    pivots: list[Array]
    factors: dict[tuple[int, int], Array]

    def forward(self, side: Sequence[Array]) -> list[Array]:
        """Return ``L⁻¹ side``."""
        solved: list[Array] = []
        for i, right_side in enumerate(side):
            left = right_side
            for p in range(i):
                left = left - self.factors[i, p] * solved[p]
            solved.append(left)
        return solved

    def solve(self, side: Sequence[Array]) -> list[Array]:
        """Return the solutions for one right-hand side."""
        solved = [z / pivot for z, pivot in zip(self.forward(side), self.pivots, strict=True)]
        for p in reversed(range(len(solved))):
            for i in range(p + 1, len(solved)):
                solved[p] = solved[p] - self.factors[i, p] * solved[i]
        return solved

    def product(self, left: Sequence[Array], right: Sequence[Array]) -> Array:
        """Return ``left C⁻¹ right`` for sides that went ``forward``."""
        total = left[0] * right[0] / self.pivots[0]
        for a, b, pivot in zip(left[1:], right[1:], self.pivots[1:], strict=True):
            total = total + a * b / pivot
        return total


def eliminate(matrices: Symmetric) -> Eliminated:
    """Return ``L D Lᵀ`` of N symmetric matrices, without exchange of rows.

    Covariances need none: the pivots of a positive definite matrix are above zero in any order.
    """
    size, left = matrices.size, dict(matrices.elements)
    factors: dict[tuple[int, int], Array] = {}
    for p in range(size):
        for i in range(p + 1, size):
            factors[i, p] = left[p, i] / left[p, p]
            for j in range(i, size):
                left[i, j] = left[i, j] - factors[i, p] * left[p, j]
    return Eliminated([left[p, p] for p in range(size)], factors)


@dataclass(frozen=True, slots=True)
class Face:
    """Some rows of N matrices: ``raw`` solves them for their sides, ``total`` is side · raw."""

    rows: tuple[int, ...]
    raw: list[Array]
    total: Array


def faces(matrices: Symmetric, side: Sequence[Array]) -> Iterator[Face]:
    """Yield the solutions of every smaller matrix that some of the rows make, all but the whole.

    Rows are eliminated in turn, and what is left after some of them serves all that go on from there.
    """
    yield from _faces(matrices.size, matrices.elements, dict(enumerate(side)), [], 0.0)


@dataclass(frozen=True, slots=True)
class _Step:
    """One row that was eliminated: its side over its pivot, its factors to the rows behind it."""

    row: int
    share: Array
    factors: dict[int, Array]


def _faces(
    size: int,
    left: Mapping[tuple[int, int], Array],
    side: Mapping[int, Array],
    before: list[_Step],
    total: Array | float,
) -> Iterator[Face]:
    """Go on with every row behind the last one by what is ``left`` of the matrices and sides."""
    for row in range(before[-1].row + 1 if before else 0, size):
        if len(before) + 1 == size:
            return
        share = side[row] / left[row, row]
        steps = [*before, _Step(row, share, {})]
        together = total + side[row] * share
        yield Face(tuple(step.row for step in steps), _raw(steps), together)
        behind = range(row + 1, size)
        factors = steps[-1].factors
        factors |= {i: left[row, i] / left[row, row] for i in behind}
        rest = {
            (i, j): left[i, j] - factors[i] * left[row, j]
            for i in behind
            for j in behind[i - row - 1 :]
        }
        sides = {i: side[i] - factors[i] * side[row] for i in behind}
        yield from _faces(size, rest, sides, steps, together)


def _raw(steps: Sequence[_Step]) -> list[Array]:
    """Solve backwards."""
    raw: list[Array] = []
    for place in reversed(range(len(steps))):
        solved_row = steps[place].share
        for behind, solved in zip(steps[place + 1 :], raw, strict=True):
            solved_row = solved_row - steps[place].factors[behind.row] * solved
        raw.insert(0, solved_row)
    return raw


def quadratic(matrices: Symmetric, weights: Sequence[Array]) -> Array:
    """Return ``w C w`` of N people."""
    total = np.zeros(weights[0].shape)
    for j, weight in enumerate(weights):
        # the other side of the diagonal counts as well
        reached = matrices.elements[j, j] * weight
        for k in range(j + 1, matrices.size):
            reached += 2.0 * matrices.elements[j, k] * weights[k]
        total += weight * reached
    return total


class Blocks(Mapping[str, Array]):
    """Covariance matrices by name, each put together as (N, size, size) when it is looked up."""

    def __init__(self, parts: Mapping[str, Symmetric]) -> None:
        self.parts = parts

    def __getitem__(self, name: str) -> Array:
        return self.parts[name].as_array()

    def __iter__(self) -> Iterator[str]:
        return iter(self.parts)

    def __len__(self) -> int:
        return len(self.parts)

    def total(self) -> Symmetric:
        """Return their sum."""
        first, *others = self.parts.values()
        for other in others:
            first = first.plus(other)
        return first

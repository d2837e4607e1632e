"""Small matrices: many symmetric matrices of three or four rows, one for each person, worked at once.

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

from foldspan.catalogue.card import Array


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

    def whole(self) -> Array:
        """Return them as one array of shape (N, size, size)."""
        count = self.elements[0, 0].shape[0]
        built = np.empty((self.size, self.size, count))
        for (j, k), element in self.elements.items():
            built[j, k] = element
            built[k, j] = element
        return built.transpose(2, 0, 1)

    def some(self, rows: Array) -> Symmetric:
        """Return the matrices of some people."""
        return Symmetric(self.size, {place: one[rows] for place, one in self.elements.items()})

    def face(self, kept: Sequence[int]) -> Symmetric:
        """Return the matrices without the rows and columns that are not kept."""
        pairs = places(len(kept))
        return Symmetric(len(kept), {(j, k): self.elements[kept[j], kept[k]] for j, k in pairs})

    def only(self, present: Array) -> Symmetric:
        """Return the matrices with absent rows (N, size) made independent, of variance one."""
        if present.all():
            return self
        there = present.T
        found = {}
        for (j, k), element in self.elements.items():
            both = there[j] & there[k]
            found[j, k] = np.where(both, element, float(j == k))
        return Symmetric(self.size, found)


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
        for i, one in enumerate(side):
            left = one
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

    def product(self, one: Sequence[Array], other: Sequence[Array]) -> Array:
        """Return ``one C⁻¹ other`` for sides that went ``forward``."""
        total = one[0] * other[0] / self.pivots[0]
        for a, b, pivot in zip(one[1:], other[1:], self.pivots[1:], strict=True):
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


def quadratic(matrices: Symmetric, weights: Sequence[Array]) -> Array:
    """Return ``w C w`` of N people; where a weight is zero its row counts for nothing."""
    total = np.zeros(weights[0].shape)
    for (j, k), element in matrices.elements.items():
        both = weights[j] * weights[k]
        share = both if j == k else 2.0 * both
        total = total + np.where(both == 0.0, 0.0, share * element)
    return total


class Blocks(Mapping[str, Array]):
    """Covariance matrices by name, each put together as (N, size, size) when it is looked up."""

    def __init__(self, parts: Mapping[str, Symmetric]) -> None:
        self.parts = parts

    def __getitem__(self, name: str) -> Array:
        return self.parts[name].whole()

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

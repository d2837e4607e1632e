"""Covariance: covariance of the families from equation errors with one common correlation.

The sums over all pairs of equations are matrix products, over those equations that somebody in the
batch uses. Who else is there decides which these are, but not a person's bits: an equation that she does
not use has a weight of exactly zero, and ``numerics.ordered_sums`` sees to it that a product comes out
the same with rows of zeros or without. People are taken in blocks of one width, the last one filled up
with zeros.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.families.batched_matrices import Symmetric, eliminate, places
from foldspan.numerics.forward_diff import Slope
from foldspan.numerics.ordered_sums import ROWS, blocks_product
from foldspan.problems import FoldspanError, Problem

# people a block: wide enough for fast products, narrow enough that one visit does not pay for many
WIDTH = 256
# blocks worked at once: as much as fits where a processor reaches it fast
AT_ONCE = 8
FEW_AT_ONCE = 2


@dataclass(frozen=True, slots=True)
class InUse:
    """Equations of one family that somebody uses: their rows in the catalogue, and their loadings.

    ``loadings`` is (blocks, kinds, rows, WIDTH), zero where a person does not use one.
    """

    family: int
    rows: list[int]
    loadings: Array


class Weighted:
    """Weight times standard deviation of the equations in use, for several kinds of error.

    ``families`` is the family of every equation of the catalogue; those of one are added in its order.
    """

    def __init__(self, families: Sequence[int], kinds: int, people: int) -> None:
        self._families, self.kinds, self.people = families, kinds, people
        self.blocks = -(-people // WIDTH)
        self._rows: dict[int, list[int]] = {}
        # row by row, so that only those in use ever take memory
        self._loadings: dict[int, Array] = {}

    def add(self, row: int, weights: Array, sds: Sequence[Slope]) -> None:
        """Add one equation: weights (N,) and a standard deviation a kind, (N,) or one number."""
        family = self._families[row]
        if family not in self._rows:
            most = self._families.count(family)
            self._rows[family] = []
            self._loadings[family] = np.empty((most, self.kinds, self.blocks * WIDTH))
        place = len(self._rows[family])
        self._rows[family].append(row)
        for spread, loading in zip(sds, self._loadings[family][place], strict=True):
            np.multiply(weights, spread, out=loading[: self.people])
            loading[self.people :] = 0.0

    def in_use(self) -> list[InUse]:
        """Return the equations in use, family by family."""
        found = []
        for family, rows in sorted(self._rows.items()):
            loadings = self._loadings[family][: len(rows)]
            by_block = loadings.reshape(len(rows), self.kinds, self.blocks, WIDTH)
            found.append(InUse(family, rows, by_block.transpose(2, 1, 0, 3)))
        return found


@dataclass(frozen=True, slots=True)
class Reach:
    """What is reached from the equations of one family by a product: its own and those behind it.

    ``ends`` are the families with their places among the rows of ``correlation``, which has rows of
    zeros between them, so that every family begins with a whole number of ``ROWS``.
    """

    start: InUse
    ends: tuple[tuple[InUse, slice], ...]
    correlation: Array


def _reach(start: InUse, behind: Sequence[InUse], correlation: Array) -> Reach:
    rows = 0
    ends = []
    for end in behind:
        ends.append((end, slice(rows, rows + len(end.rows))))
        rows += -(-len(end.rows) // ROWS) * ROWS
    part = np.zeros((rows, len(start.rows)))
    for end, place in ends:
        part[place] = correlation[np.ix_(end.rows, start.rows)]
    return Reach(start, tuple(ends), part)


def correlated(
    weighted: Weighted, correlation: Array, size: int = len(FAMILIES)
) -> list[Symmetric]:
    """Covariance of the families for several kinds of error.

    Parameters
    ----------
    weighted : Weighted
        The equations in use, of E.
    correlation : array of shape (E, E)
        Of the equations' errors.
    size : int
        How many families.

    Returns
    -------
    list of Symmetric, one a kind
    """
    kinds, blocks, people = weighted.kinds, weighted.blocks, weighted.people
    in_use = weighted.in_use()
    reaches = [_reach(start, in_use[at:], correlation) for at, start in enumerate(in_use)]
    sums = {at: np.zeros((kinds, blocks, WIDTH)) for at in places(size)}
    longest = max((len(reach.correlation) for reach in reaches), default=0)
    spare = np.empty(min(AT_ONCE, blocks) * longest * kinds * WIDTH)
    for first in range(0, blocks, AT_ONCE):
        piece = slice(first, first + AT_ONCE)
        for reach in reaches:
            start = reach.start.loadings[piece]
            shape = (len(start), kinds, len(reach.correlation), WIDTH)
            reached = spare[: math.prod(shape)].reshape(shape)  # memory that was just used is fast
            blocks_product(reach.correlation, start, reached)
            for end, place in reach.ends:
                np.einsum(
                    "bkrn,bkrn->kbn",
                    reached[:, :, place],
                    end.loadings[piece],
                    out=sums[reach.start.family, end.family][:, piece],
                )
    return [
        Symmetric(size, {at: total[kind].reshape(-1)[:people] for at, total in sums.items()})
        for kind in range(kinds)
    ]


def weighted_outer(
    weighted: Weighted, terms: Array, shares: Array, size: int = len(FAMILIES)
) -> Symmetric:
    """Sum several terms of every equation by family, and multiply the sums of every two families.

    Parameters
    ----------
    weighted : Weighted
        The equations in use, of E, with one kind.
    terms : array of shape (S, T, E)
        What to sum, each times the equation's loading: S sets of T terms, T a multiple of ``ROWS``.
    shares : array of shape (S, N)
        How much the products of each set count for each of N people.
    size : int
        How many families.

    Returns
    -------
    Symmetric
        The products of the families' sums, added up over the terms.
    """
    people, blocks = weighted.people, weighted.blocks
    sets, several, _ = terms.shape
    in_use = weighted.in_use()
    of_family = [terms.reshape(sets * several, -1)[:, group.rows] for group in in_use]
    counted = np.zeros((sets, blocks * WIDTH))
    counted[:, :people] = shares
    by_block = counted.reshape(sets, blocks, WIDTH).transpose(1, 0, 2)[:, :, None]
    products = {at: np.zeros((blocks, WIDTH)) for at in places(size)}
    spare = np.empty((len(in_use) + 1, min(FEW_AT_ONCE, blocks), sets * several, WIDTH))
    for first in range(0, blocks, FEW_AT_ONCE):
        piece = slice(first, first + FEW_AT_ONCE)
        sums = spare[:, : len(by_block[piece])]
        for group, own, total in zip(in_use, of_family, sums[:-1], strict=True):
            blocks_product(own, group.loadings[piece, 0], total)
        apart = sums.reshape(*sums.shape[:2], sets, several, WIDTH)
        for at, group in enumerate(in_use):
            np.multiply(apart[at], by_block[piece], out=apart[-1])
            for other, total in zip(in_use[at:], sums[at:-1], strict=True):
                out = products[group.family, other.family][piece]
                np.einsum("btn,btn->bn", sums[-1], total, out=out)
    return Symmetric(size, {at: product.reshape(-1)[:people] for at, product in products.items()})


def correlated_block(weighted: Array, correlation: Array, members: Array) -> Array:
    """Covariance of the families from equation errors with a common correlation.

    Parameters
    ----------
    weighted : array of shape (E, N)
        Weight times standard deviation of each equation, 0 where it is not used.
    correlation : array of shape (E, E)
        Of the equations' errors.
    members : array of shape (4, E)
        Which equation belongs to which family.

    Returns
    -------
    array of shape (N, 4, 4)
    """
    given = Weighted(np.argmax(members, axis=0).tolist(), 1, weighted.shape[1])
    for row, loads in enumerate(weighted):
        given.add(row, loads, [1.0])
    return correlated(given, correlation, len(members))[0].as_array()


def require_positive_definite(covariance: Array) -> None:
    """Raise if any covariance (N, k, k) is not positive definite: a range from it would be a lie."""
    require_sound(Symmetric.of(covariance))


def require_sound(covariance: Symmetric) -> None:
    """``require_positive_definite`` for covariances by their elements."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        pivots = eliminate(covariance).pivots
        is_sound = all(bool(((pivot > 0.0) & (pivot < np.inf)).all()) for pivot in pivots)
    if not is_sound:
        raise FoldspanError(
            [
                Problem(
                    "E502",
                    "error model",
                    "the covariance of the methods is not positive definite",
                    "Check the standard error of any equation you added: it must be above zero.",
                )
            ]
        )

"""Covariance: covariance of the families from equation errors with one common correlation.

The sums over all pairs of equations are matrix products, and a matrix product may add up in another
order when its shape changes. So equations stand in groups that depend on the catalogue alone, and
people are taken in blocks of one width, the last one filled up with zeros: the library always sees the
same shapes, and a person's numbers are the same to the last bit whoever else is in the batch. A group
that nobody in a batch uses adds nothing and is left out.

From one group the common groups that follow are reached by one product: their rows stay in it even
where nobody uses them, and are not read. ``numerics.ordered_sums`` keeps each of them in one
thread, or bits would depend on how many there are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.families.batched_matrices import Symmetric, eliminate, places
from foldspan.numerics.forward_diff import Slope
from foldspan.numerics.ordered_sums import blocks_product
from foldspan.problems import FoldspanError, Problem

# people a block: wide enough for fast products, narrow enough that one visit does not pay for many
WIDTH = 256
# blocks worked at once: as much as fits where a processor reaches it fast
AT_ONCE = 8


@dataclass(frozen=True, slots=True)
class Group:
    """Equations of one family that are mostly used together, by their rows in the catalogue.

    ``is_rare`` says that few people use any of them, so that whole blocks of people may not. Every
    family has one common group at most.
    """

    family: int
    rows: tuple[int, ...]
    is_rare: bool = False


class Weighted:
    """Weight times standard deviation of the equations in use, for several kinds of error.

    ``loadings`` has (blocks, kinds, rows, WIDTH) for every group in use: all that a product reads of a
    block of people lies together.
    """

    def __init__(self, groups: Sequence[Group], kinds: int, people: int) -> None:
        self.groups, self.kinds, self.people = groups, kinds, people
        self.loadings: dict[Group, Array] = {}
        self._positions = {
            row: (group, at) for group in groups for at, row in enumerate(group.rows)
        }
        self.blocks = -(-people // WIDTH)
        self._used: set[int] = set()
        # whole blocks of people, and those who are left for the last one
        whole = people // WIDTH
        cuts = [
            (slice(0, whole * WIDTH), slice(0, whole)),
            (slice(whole * WIDTH, people), slice(whole, whole + 1)),
        ]
        self._pieces = [(piece, blocks) for piece, blocks in cuts if piece.start < piece.stop]

    def add(self, row: int, weights: Array, spreads: Sequence[Slope]) -> None:
        """Add one equation: weights (N,) and a standard deviation a kind, (N,) or one number."""
        group, at = self._positions[row]
        self._used.add(row)
        if group not in self.loadings:
            self.loadings[group] = np.empty((self.blocks, self.kinds, len(group.rows), WIDTH))
        for piece, blocks in self._pieces:
            loading = self.loadings[group][blocks, :, at]
            weight = weights[piece].reshape(len(loading), -1)
            for kind, spread in enumerate(spreads):
                if isinstance(spread, np.ndarray):
                    spread = spread[piece].reshape(weight.shape)
                np.multiply(weight, spread, out=loading[:, kind, : weight.shape[1]])

    def filled(self) -> dict[Group, Array]:
        """Return the loadings, with zeros where an equation or a person is missing."""
        for group, loading in self.loadings.items():
            for at, row in enumerate(group.rows):
                if row not in self._used:
                    loading[:, :, at] = 0.0
            if self.people % WIDTH:
                loading[-1, :, :, self.people % WIDTH :] = 0.0
        return self.loadings


@dataclass(frozen=True, slots=True)
class Reach:
    """The groups that are reached from one group by a product, with their places among its rows."""

    start: Group
    ends: tuple[tuple[Group, slice], ...]
    correlation: Array


def _reaches(
    used: Mapping[Group, Array], groups: Sequence[Group], correlation: Array
) -> list[Reach]:
    """Every pair of the groups in use once; the common ones that follow a common one together."""
    reaches = []
    in_order = [group for group in groups if group in used]
    for place, start in enumerate(in_order):
        if not start.is_rare:
            together = [
                group for group in groups if not group.is_rare and group.family >= start.family
            ]
            reaches.append(_reach(start, together, used, correlation))
        alone = [group for group in in_order[place:] if start.is_rare or group.is_rare]
        reaches += [_reach(start, [group], used, correlation) for group in alone]
    return reaches


def _reach(
    start: Group, together: Sequence[Group], used: Mapping[Group, Array], correlation: Array
) -> Reach:
    rows: list[int] = []
    ends = []
    for group in together:
        place = slice(len(rows), len(rows) + len(group.rows))
        rows += group.rows
        if group in used:
            ends.append((group, place))
    return Reach(start, tuple(ends), correlation[rows][:, start.rows])


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
    kinds, blocks = weighted.kinds, weighted.blocks
    loadings = weighted.filled()
    reaches = _reaches(loadings, weighted.groups, correlation)
    sums = {at: np.zeros((kinds, blocks, WIDTH)) for at in places(size)}
    longest = max((len(reach.correlation) for reach in reaches), default=0)
    spare = np.empty(min(AT_ONCE, blocks) * longest * kinds * WIDTH)
    for start in range(0, blocks, AT_ONCE):
        piece = slice(start, start + AT_ONCE)
        filled = {group: loading[piece] for group, loading in loadings.items()}
        busy = {group: _busy(group, loading) for group, loading in filled.items()}
        for reach in reaches:
            for at, chosen, product in _products(reach, filled, busy, spare):
                together = sums[at][:, piece]
                if isinstance(chosen, slice):
                    together += product  # in place: nothing is written twice
                else:
                    together[:, chosen] += product
    people = weighted.people
    return [
        Symmetric(size, {at: total[kind].reshape(-1)[:people] for at, total in sums.items()})
        for kind in range(kinds)
    ]


def weighted_outer(
    given: Sequence[tuple[Weighted, Array]], shares: Array, size: int = len(FAMILIES)
) -> Symmetric:
    """Sum several terms of every equation by family, and multiply the sums of every two families.

    Parameters
    ----------
    given : sequence of (Weighted, array of shape (S, T, E))
        The equations in use, of E, with one kind, and what to sum, each times the equation's loading: S
        sets of T terms. All of them together make the sums.
    shares : array of shape (S, N)
        How much the products of each set count for each of N people.
    size : int
        How many families.

    Returns
    -------
    Symmetric
        The products of the families' sums, added up over the terms.
    """
    blocks, people = given[0][0].blocks, shares.shape[1]
    sets, several = given[0][1].shape[:2]
    counted = np.zeros((sets, blocks * WIDTH))
    counted[:, :people] = shares
    by_block = counted.reshape(sets, blocks, WIDTH)
    parts = [
        (group.family, loading, [np.ascontiguousarray(own[:, group.rows]) for own in terms])
        for weighted, terms in given
        for group, loading in weighted.filled().items()
    ]
    products = {at: np.zeros((blocks, WIDTH)) for at in places(size)}
    spare = np.empty((size + 1, min(AT_ONCE, blocks), several, WIDTH))
    for first in range(0, blocks, AT_ONCE):
        piece = slice(first, first + AT_ONCE)
        sums = spare[:, : by_block[:, piece].shape[1]]
        for chosen in range(sets):
            there: set[int] = set()
            for family, loading, terms_of_group in parts:
                out = sums[-1 if family in there else family]
                blocks_product(terms_of_group[chosen], loading[piece, 0], out)
                if family in there:
                    sums[family] += out
                there.add(family)
            for j, k in places(size):
                if j in there and k in there:
                    together = np.einsum("btn,btn->bn", sums[j], sums[k])
                    together *= by_block[chosen, piece]
                    products[j, k][piece] += together
    return Symmetric(size, {at: one.reshape(-1)[:people] for at, one in products.items()})


def _busy(group: Group, loading: Array) -> Array:
    """Which blocks of people use any equation of a group; all of them unless it is a rare one."""
    if not group.is_rare:
        return np.ones(len(loading), dtype=bool)
    return np.asarray(loading.max(axis=(1, 2, 3)) > 0.0)


def _products(
    reach: Reach, filled: Mapping[Group, Array], busy: Mapping[Group, Array], spare: Array
) -> Iterator[tuple[tuple[int, int], Array | slice, Array]]:
    """``end correlation start`` by families: for which blocks, and (kinds, blocks, WIDTH)."""
    start = reach.start
    used = busy[start] & busy[reach.ends[0][0]]
    if not used.any():
        return
    chosen = slice(None) if used.all() else np.flatnonzero(used)
    from_start = filled[start][chosen]
    count, kinds, _, width = from_start.shape
    shape = (count, kinds, len(reach.correlation), width)
    reached = spare[: math.prod(shape)].reshape(shape)  # memory that was just used is fast
    blocks_product(reach.correlation, from_start, reached)
    for end, place in reach.ends:
        total = np.einsum("bkrn,bkrn->kbn", reached[:, :, place], filled[end][chosen])
        if end is not start and end.family == start.family:
            total *= 2.0  # both orders of the two groups
        yield (start.family, end.family), chosen, total


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
    own = [tuple(np.flatnonzero(family).tolist()) for family in members]
    groups = [Group(family, rows) for family, rows in enumerate(own) if rows]
    given = Weighted(groups, 1, weighted.shape[1])
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

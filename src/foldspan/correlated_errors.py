"""Correlated errors: covariance of the families from equation errors with one common correlation.

The sums over all pairs of equations are matrix products, and a matrix product may add up in another
order when its shape changes. So equations stand in groups that depend on the catalogue alone, and
people are taken in blocks of one width, the last one filled up with zeros: the library always sees the
same shapes, and a person's numbers are the same to the last bit whoever else is in the batch. A group
that nobody in a batch uses adds nothing and is left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Equation
from foldspan.dual import Slope
from foldspan.small_matrices import Symmetric, places

# people a block: wide enough for fast products, narrow enough that one visit does not pay for many
WIDTH = 256
# blocks worked at once: as much as fits where a processor reaches it fast
AT_ONCE = 8


@dataclass(frozen=True, slots=True)
class Group:
    """Equations of one family that are mostly used together, by their rows in the catalogue.

    ``is_rare`` says that few people use any of them, so that whole blocks of people may not.
    """

    family: int
    rows: tuple[int, ...]
    is_rare: bool = False


def grouped(cards: Sequence[Equation]) -> tuple[Group, ...]:
    """Return the groups: what speaks where everything was measured, what stands in, what is for some.

    Within a lineage the first card for everybody speaks, the others only where it cannot.
    """
    rows: dict[tuple[int, int], list[int]] = {}
    spoken: set[tuple[str, str]] = set()
    for row, card in enumerate(cards):
        witness = (card.family, card.lineage)
        for_some = card.audience != "general" or card.status == "disputed" or bool(card.ancestry)
        turn = 2 if for_some else int(witness in spoken)
        if not for_some:
            spoken.add(witness)
        rows.setdefault((FAMILIES.index(card.family), turn), []).append(row)
    return tuple(
        Group(family, tuple(rows[family, turn]), turn > 0) for family, turn in sorted(rows)
    )


Spread = Mapping[int, Slope]
"""Row of an equation → its standard deviation, (N,) or one number for all."""


def correlated(
    groups: Sequence[Group],
    correlation: Array,
    weights: Array,
    spreads: Sequence[Spread],
    size: int = len(FAMILIES),
) -> list[Symmetric]:
    """Covariance of the families for several kinds of error.

    Parameters
    ----------
    groups : sequence of Group
        Of all E equations.
    correlation : array of shape (E, E)
        Of the equations' errors.
    weights : array of shape (E, N)
        Of the equations within their families; read where an equation has a spread.
    spreads : sequence of mapping
        For every kind of error the standard deviations of the same equations, those in use.
    size : int
        How many families.

    Returns
    -------
    list of Symmetric, one a kind
    """
    people = weights.shape[1]
    taken = [group for group in groups if any(row in spreads[0] for row in group.rows)]
    found = {at: np.zeros((len(spreads), people)) for at in places(size)}
    between = {
        (a, b): correlation[np.ix_(taken[b].rows, taken[a].rows)] for a, b in places(len(taken))
    }
    room = np.empty(
        len(spreads) * AT_ONCE * WIDTH * max((len(one.rows) for one in taken), default=0)
    )
    for start in range(0, people, WIDTH * AT_ONCE):
        stop = min(start + WIDTH * AT_ONCE, people)
        here = slice(start, stop)
        filled = [_in_blocks(group, weights, spreads, here) for group in taken]
        busy = [_is_busy(group, one) for group, one in zip(taken, filled, strict=True)]
        for (a, b), part in between.items():
            blocks = np.flatnonzero(busy[a] & busy[b])
            together = found[taken[a].family, taken[b].family][:, here]
            if blocks.size:
                product = _products(part, filled[a], filled[b], blocks, room)[:, : stop - start]
                if a != b and taken[a].family == taken[b].family:
                    product *= 2.0  # both orders of the two groups
                together += product
    return [
        Symmetric(size, {at: whole[kind] for at, whole in found.items()})
        for kind in range(len(spreads))
    ]


def _is_busy(group: Group, filled: Array) -> Array:
    """Which blocks of people use any equation of a group; all of them unless it is a rare one."""
    if not group.is_rare:
        return np.ones(filled.shape[1], dtype=bool)
    return np.asarray(filled.max(axis=(0, 2, 3)) > 0.0)


def _products(between: Array, one: Array, other: Array, blocks: Array, room: Array) -> Array:
    """``other between one`` for every kind and person, (kinds, people); 0 outside the blocks."""
    kinds, count, _, width = one.shape
    if blocks.size < count:
        one, other = one[:, blocks], other[:, blocks]
    reached = room[: other.size].reshape(other.shape)  # memory that was just used is fast
    np.matmul(between, one, out=reached)
    reached *= other
    total = reached.sum(axis=2)
    if blocks.size < count:
        few, total = total, np.zeros((kinds, count, width))
        total[:, blocks] = few
    return np.asarray(total.reshape(kinds, -1))


def _in_blocks(group: Group, weights: Array, spreads: Sequence[Spread], here: slice) -> Array:
    """Weight times spread, (kinds, blocks, rows, WIDTH); zeros where an equation is not used."""
    count = -(-(here.stop - here.start) // WIDTH)
    filled = np.zeros((len(spreads), count, len(group.rows), WIDTH))
    for at, row in enumerate(group.rows):
        if row not in spreads[0]:
            continue
        weight = _cut(weights[row], here, count)
        for kind, spread in enumerate(spreads):
            np.multiply(weight, _cut(spread[row], here, count), out=filled[kind, :, at])
    return filled


def _cut(values: Slope, here: slice, count: int) -> Slope:
    """Values of some people in whole blocks, the last one filled up with zeros."""
    if not isinstance(values, np.ndarray):
        return values
    some = values[here]
    if some.size < count * WIDTH:
        some = np.concatenate([some, np.zeros(count * WIDTH - some.size)])
    return some.reshape(count, WIDTH)

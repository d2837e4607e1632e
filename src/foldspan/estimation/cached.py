"""Cached: what rests on a list of cards alone, worked out once for each list."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from foldspan.catalogue.card import Equation


class _Cards:
    """What tells one list of cards from another: keys and formulas, with their hash worked out once."""

    __slots__ = ("_hash", "names")

    def __init__(self, cards: Sequence[Equation]) -> None:
        self.names = tuple((card.key, card.formula) for card in cards)
        self._hash = hash(self.names)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, _Cards) and self.names == other.names)


_memory: dict[tuple[object, ...], Any] = {}
# a tuple never changes, so it is named once; it is held here, and its place in memory with it
_named: dict[int, tuple[Sequence[Equation], _Cards]] = {}
_MOST_CACHED = 24
_Answer = TypeVar("_Answer")


def cached(rule: Callable[..., _Answer], cards: Sequence[Equation], *more: str) -> _Answer:
    """Return the answer of a rule for the cards, cached by their keys and formulas."""
    name = (rule.__name__, *more, _name_of(cards))
    if name not in _memory:
        if len(_memory) >= _MOST_CACHED:
            _memory.clear()
        _memory[name] = rule(cards, *more)
    answer: _Answer = _memory[name]
    return answer


def _name_of(cards: Sequence[Equation]) -> _Cards:
    if not isinstance(cards, tuple):
        return _Cards(cards)
    if id(cards) not in _named:
        if len(_named) >= _MOST_CACHED:
            _named.clear()
        _named[id(cards)] = (cards, _Cards(cards))
    return _named[id(cards)][1]

"""Cached: what rests on a list of cards alone, worked out once for each list."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, TypeVar

from foldspan.catalogue.card import Equation

# What is kept: 18 answers for both sexes' cards, on both scales and in both ways, and as many for each
# list of cards that is compared with them. Whatever was not used for longest goes first: to lose all at
# once would work everything out anew again and again.
_MOST_CACHED = 128


class _Cards:
    """What tells one list of cards from another: keys and formulas, with their hash worked out once."""

    __slots__ = ("_hash", "cards", "names")

    def __init__(self, cards: Sequence[Equation]) -> None:
        self.cards = cards
        self.names = tuple((card.key, card.formula) for card in cards)
        self._hash = hash(self.names)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, _Cards) and self.names == other.names)


# a tuple never changes, so it is named once; it is held here, and its place in memory with it
_named: dict[int, _Cards] = {}
_Answer = TypeVar("_Answer")


def cached(rule: Callable[..., _Answer], cards: Sequence[Equation], *more: str) -> _Answer:
    """Return the answer of a rule for the cards, cached by their keys and formulas."""
    answer: _Answer = _answer_of(rule, _name_of(cards), *more)
    return answer


@lru_cache(maxsize=_MOST_CACHED)
def _answer_of(rule: Callable[..., Any], name: _Cards, *more: str) -> Any:
    return rule(name.cards, *more)


def _name_of(cards: Sequence[Equation]) -> _Cards:
    if not isinstance(cards, tuple):
        return _Cards(list(cards))
    if id(cards) not in _named:
        if len(_named) >= _MOST_CACHED:
            _named.clear()
        _named[id(cards)] = _Cards(cards)
    return _named[id(cards)]

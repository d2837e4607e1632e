"""Search: cards by words, by a site, by sex, by reference method, and by how their digits are known."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import (
    FAMILIES,
    REFERENCE_METHODS,
    STATUSES,
    Conversion,
    Equation,
)
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.catalogue.sources import BY_KEY
from foldspan.estimation.evaluate import needed
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME, SEXES
from foldspan.text.cards.words import quantities, title

LONGEST_WORDS = 200


@cache
def sites() -> tuple[str, ...]:
    """Return every quantity that some equation needs, in the order in which they are measured."""
    used = {name for card in EQUATIONS for name in needed(card)}
    return tuple(name for name in BY_NAME if name in used)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is searched for; "" leaves a question open.

    ``words`` must all stand in a card's names, source, people or criterion; ``site`` is a quantity,
    ``status`` one of ``STATUSES``.
    """

    words: str = ""
    site: str = ""
    sex: str = ""
    method: str = ""
    reference_method: str = ""
    status: str = ""


def choices() -> dict[str, tuple[str, ...]]:
    """Return the words that each question of ``Wanted`` may be answered with, but ``words``."""
    return {
        "site": sites(), "sex": SEXES, "method": FAMILIES,
        "reference_method": REFERENCE_METHODS, "status": STATUSES,
    }  # fmt: skip


def search(wanted: Wanted) -> tuple[Equation, ...]:
    """Return the equations that fit, in catalogue order.

    Raises
    ------
    FoldspanError
        E501 for each answer that is none of its ``choices``, and for too many words.
    """
    problems = [
        Problem(
            "E501", name, "not one of the choices", f"Choose {', '.join(known)}, or leave it open."
        )
        for name, known in choices().items()
        if (given := getattr(wanted, name)) and given not in known
    ]
    if len(wanted.words) > LONGEST_WORDS:
        remedy = "Search for an author, a year or a word or two."
        problems.append(Problem("E501", "words", "too long", remedy))
    if problems:
        raise FoldspanError(problems)
    words = _plain(wanted.words).split()
    return tuple(
        card
        for card in EQUATIONS
        if (not wanted.sex or card.sex in (wanted.sex, "both"))
        and (not wanted.method or card.method == wanted.method)
        and (not wanted.reference_method or card.reference_method == wanted.reference_method)
        and (not wanted.status or card.status == wanted.status)
        and (not wanted.site or wanted.site in needed(card))
        and all(word in _text_of(card.key) for word in words)
    )


def card_of(key: str, otherwise: str = "Look it up in the list.") -> Equation | Conversion:
    """Return a card by its key; ``otherwise`` is said where no other key is like it.

    Raises
    ------
    FoldspanError
        E501 where there is none, with the keys that are like it.
    """
    cards = _cards()
    if key not in cards:
        near = near_keys(key)
        remedy = f"Did you mean {' or '.join(near)}?" if near else otherwise
        raise FoldspanError([Problem("E501", "equation", "unknown key", remedy)])
    return cards[key]


def equation_of(key: str) -> Equation:
    """Return an equation by its key; E501 as in ``card_of``, also for a conversion."""
    card = card_of(key)
    if isinstance(card, Conversion):
        remedy = "Ask for the value of an equation."
        raise FoldspanError([Problem("E501", "equation", "a conversion, not an equation", remedy)])
    return card


def near_keys(key: str) -> Sequence[str]:
    """Return up to three keys that are like one that is not known."""
    return difflib.get_close_matches(key[:LONGEST_WORDS], _cards(), n=3, cutoff=0.4)


@cache
def _cards() -> dict[str, Equation | Conversion]:
    everything: list[Equation | Conversion] = [*EQUATIONS, *CONVERSIONS]
    return {card.key: card for card in everything}


@cache
def _text_of(key: str) -> str:
    """Everything of a card that words are searched in."""
    card = _cards()[key]
    assert isinstance(card, Equation)
    source = BY_KEY[card.source]
    said = [card.key, title(card, source), source.citation, card.population, card.criterion]
    return _plain(" ".join([*said, quantities(needed(card))]))


def _plain(text: str) -> str:
    """Small letters without their marks: Aristizábal is found as Aristizabal."""
    parts = unicodedata.normalize("NFKD", text)
    return "".join(letter for letter in parts if not unicodedata.combining(letter)).casefold()

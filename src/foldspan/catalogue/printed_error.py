"""Printed errors in points of fat, and what stands in where a paper prints none."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.catalogue.card import Equation, Family

# A printed error in g/cm³ or kg is worth this many points of fat in a middling adult: slope of the
# common conversion at 1.050 g/cm³, and a body weight of 75 kg. For one person the true slope is used.
POINTS_PER_DENSITY = 495.0 / 1.050**2
POINTS_PER_KG = 100.0 / 75.0


def printed_points(card: Equation) -> float | None:
    """Return a card's printed error in points of fat of a middling adult; None if none is printed."""
    if card.see is None:
        return None
    factor = {"density": POINTS_PER_DENSITY, "mass": POINTS_PER_KG, "fat_percent": 1.0}
    return card.see * factor[card.see_unit]


def largest_of_its_kind(cards: Sequence[Equation], family: Family) -> float:
    """Return the largest printed error among the adult cards of a family [points of fat].

    It stands in for a card without a printed error: not knowing must not look like being good.

    Raises
    ------
    ValueError
        If no card of the family prints an error.
    """
    return max(
        points
        for card in cards
        if card.method == family
        and card.audience not in ("youth", "clinical")
        and card.status != "disputed"
        and (points := printed_points(card)) is not None
    )


def points(card: Equation, cards: Sequence[Equation]) -> float:
    """Return the printed error of a card in points, or the largest of its kind."""
    own = printed_points(card)
    return largest_of_its_kind(cards, card.method) if own is None else own

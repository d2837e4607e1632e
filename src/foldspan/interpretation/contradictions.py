"""Contradictions: which standards contradict each other for one client, and why they can.

Two standards contradict each other if their likeliest bands leave nothing open in common, such as
*usual* and *above the usual*. Coin tosses contradict nobody.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from foldspan.interpretation.classification import Band

REASONS = ("measures", "reference_method", "age", "population")


@dataclass(frozen=True, slots=True, repr=False)
class Contradiction:
    """Standards that say ``above`` (or ``below``) the usual, and those that rule it out.

    ``reasons`` are codes of ``REASONS``.
    """

    way: Literal["above", "below"]
    saying: tuple[Band, ...]
    denying: tuple[Band, ...]
    reasons: tuple[str, ...]


def contradictions(bands: Sequence[Band]) -> tuple[Contradiction, ...]:
    """Return the contradictions among the bands of one client; empty where there are none."""
    clear = [band for band in bands if not band.is_about_even]
    found: list[Contradiction] = []
    for way, sign in (("above", "a"), ("below", "b")):
        saying = tuple(band for band in clear if band.reach == sign)
        denying = tuple(band for band in clear if sign not in band.reach)
        if saying and denying:
            reasons = tuple(code for code in REASONS if _holds(code, saying, denying))
            found.append(
                Contradiction("above" if way == "above" else "below", saying, denying, reasons)
            )
    return tuple(found)


def _holds(code: str, saying: tuple[Band, ...], denying: tuple[Band, ...]) -> bool:
    """Whether a reason sets any two of the contradicting standards apart."""
    pairs = [(first.standard, second.standard) for first in saying for second in denying]
    if code == "measures":
        return any(first.measure != second.measure for first, second in pairs)
    same = [(first, second) for first, second in pairs if first.measure == second.measure]
    if code == "reference_method":
        return any(first.reference_method != second.reference_method for first, second in same)
    if code == "age":
        return any((first.ages[1] is None) != (second.ages[1] is None) for first, second in same)
    return any(first.population != second.population for first, second in same)

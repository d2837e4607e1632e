"""Bands to tell: what the standards say of one client, as far as it is to be told beside the flags."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldspan.interpretation.classification import Band, bands_of, without_too_much
from foldspan.interpretation.contradictions import Contradiction, contradictions
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.referral import LOW_WEIGHT
from foldspan.standards.referral_rules import RULE_BY_CODE


@dataclass(frozen=True, slots=True, repr=False)
class BandsToTell:
    """Bands of one client, those that contradict each other, and whether a low weight took some away."""

    bands: tuple[Band, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    has_fewer: bool = False


def bands_to_tell(indices: Indices, flags: Sequence[str]) -> BandsToTell:
    """Return the bands of one person that are told beside some flags, given by their codes.

    Beside a low weight none of too much, and none that reassures.
    """
    bands = shown = bands_of(indices)
    if any(RULE_BY_CODE[code].ladder == LOW_WEIGHT for code in flags):
        shown = without_too_much(bands)
    return BandsToTell(shown, contradictions(shown), len(shown) < len(bands))

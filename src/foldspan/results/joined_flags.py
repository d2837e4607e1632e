"""Flags from several places made one list: of a ladder the highest, the most urgent first."""

from __future__ import annotations

from foldspan.results.spoken import SpokenFlag
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE, TURN


def joined_flags(*groups: tuple[SpokenFlag, ...]) -> tuple[SpokenFlag, ...]:
    """Return the flags of several groups as one list, in the order ``raised_flags`` gives.

    What one visit raises and what was seen between visits may be rungs of one ladder (a loss that was
    told, and the same loss on the scale): the reader gets the highest, and of equal rungs the sure one.
    A flag that stands in several groups is taken from the first.
    """
    found: dict[str, SpokenFlag] = {}
    for flag in (flag for group in groups for flag in group):
        found.setdefault(flag.code, flag)
    highest: dict[str, SpokenFlag] = {}
    for flag in sorted(found.values(), key=_rung):
        highest.setdefault(RULE_BY_CODE[flag.code].ladder or flag.code, flag)
    return tuple(sorted(highest.values(), key=lambda flag: TURN[flag.code]))


def _rung(flag: SpokenFlag) -> tuple[int, bool, int]:
    """How rungs of one ladder compare: the more urgent, of those the sure one, then as in ``TURN``."""
    return -LEVELS.index(flag.level), flag.is_borderline, TURN[flag.code]

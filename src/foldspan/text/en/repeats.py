"""Wording repeats: the rule by which two readings are close enough, for whoever has to go by it."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.protocol.repeat_rules import GIRTH_RULE_BY_KEY, RULE_BY_KEY, TRUNK
from foldspan.quantities import BY_NAME


def allowed_words(repeat_rule: str, girth_rule: str, sites: Sequence[str]) -> str:
    """Return how far two readings of these sites may lie apart, "" where no rule speaks of them."""
    girths, kinds = GIRTH_RULE_BY_KEY[girth_rule], {name: BY_NAME[name].kind for name in sites}
    parts = []
    if "skinfold" in kinds.values():
        parts.append(f"skinfolds {RULE_BY_KEY[repeat_rule].what} (rule: {repeat_rule})")
    if set(TRUNK) & set(sites):
        parts.append(f"waist, hip and chest {girths.trunk:g} cm")
    if any(kind == "girth" and name not in TRUNK for name, kind in kinds.items()):
        more = f" or {100.0 * girths.share:.0f}%, whichever is larger" if girths.share else ""
        parts.append(f"neck, arm and leg {girths.limb:g} cm{more}")
    return "; ".join(parts)


def with_allowed(sentence: str, rules: tuple[str, str], sites: Sequence[str]) -> str:
    """Return a sentence with how far two readings may lie apart by the rules for folds and girths."""
    allowed = allowed_words(*rules, sites) if any(rules) else ""
    return f"{sentence} Two readings may differ by: {allowed}." if allowed else sentence

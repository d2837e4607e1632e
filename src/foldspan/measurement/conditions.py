"""Conditions: the manner of one visit, as far as it changes the error of its readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldspan.measurement.accepted_values import Accepted, OwnError, accept
from foldspan.protocol.clothing import over_clothing
from foldspan.protocol.repeat_rules import GIRTH_RULE_BY_KEY, RULE_BY_KEY, USUAL, tolerance


@dataclass(frozen=True, slots=True)
class HowTaken:
    """How the readings of one visit were taken."""

    repeat_rule: str = USUAL["repeat_rule"]
    """Key of the repeat rule of folds."""
    girth_rule: str = USUAL["girth_rule"]
    """Key of the repeat rule of girths."""
    scale_step_mm: float = 0.0
    """One mark on the scale of the calliper [mm], 0 where it is not noted."""
    over_clothing: tuple[str, ...] = ()
    """Names of girths taken over a layer."""
    left_side: tuple[str, ...] = ()
    """Names of sites taken on the left."""

    def tolerance(self, name: str, mean: float) -> float:
        """Return how far two readings of a quantity may differ, in its unit."""
        rule, girths = RULE_BY_KEY[self.repeat_rule], GIRTH_RULE_BY_KEY[self.girth_rule]
        return float(tolerance(name, mean, rule, self.scale_step_mm, girths))

    def accept(
        self,
        name: str,
        readings: tuple[float, ...],
        *,
        is_at_least: bool = False,
        own: Mapping[str, OwnError] | None = None,
    ) -> Accepted:
        """Return the accepted value of one site taken in this manner; see ``accepted_values.accept``.

        A girth over a layer of clothing is brought to bare skin by the published mean, and its error
        takes in the published spread.
        """
        layer = over_clothing(name) if name in self.over_clothing else None
        mean = sum(readings) / len(readings)
        return accept(
            name,
            readings,
            is_at_least=is_at_least,
            allowed=self.tolerance(name, mean),
            own=(own or {}).get(name),
            layer=layer,
        )

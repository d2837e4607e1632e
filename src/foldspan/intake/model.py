"""Intake: what a client may tell before measuring; every item is optional."""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.intake.rules import is_after_birth

# Questions that may be answered with none or no, by the keys of a visit file.
QUESTIONS: tuple[str, ...] = (
    "pregnant", "birth_months_ago", "periods_stopped", "eating_concern", "symptoms", "conditions",
    "medicines", "surgery_months_ago", "blood_pressure_mmhg", "athlete", "anabolic_drugs",
    "family_background", "earlier_weight_kg",
)  # fmt: skip
# How a number that was asked for and does not apply is told: asked, answered none.
NONE = "none"


@dataclass(frozen=True, slots=True, repr=False)
class Intake:
    """What one client told."""

    words: tuple[str, ...] = ()
    """Keys of ``standards.intake_vocabulary`` and marks such as ``eating_concern`` that were
    reported."""
    earlier_weight_kg: float | None = None
    """An earlier weight [kg]."""
    months_ago: float | None = None
    """How long before the visit that was [months]; None if not recorded."""
    loss_wanted: bool | None = None
    """Whether the loss was intended; None if not recorded."""
    surgery_months_ago: float | None = None
    """Time since surgery [months]."""
    birth_months_ago: float | None = None
    """Time since giving birth [months]."""
    grip_kg: float | None = None
    """Grip strength [kg]."""
    pressure_mmhg: tuple[float, float] | None = None
    """Upper and lower blood pressure [mmHg]."""
    is_given: bool = False
    """Whether any health question was answered."""
    answered_none: tuple[str, ...] = ()
    """Those of ``QUESTIONS`` answered none or no; the rest were not asked or not answered."""

    @property
    def is_after_birth(self) -> bool:
        """Whether a birth was so recent that no method holds, and that weight falls anyway."""
        return self.birth_months_ago is not None and bool(is_after_birth(self.birth_months_ago))

    @property
    def has_eating_concern(self) -> bool:
        """Whether careful words are called for: no numbers and no goals on the client's page."""
        return "eating_concern" in self.words

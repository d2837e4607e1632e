"""Intake: what a client may tell before measuring; every item is optional."""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.standards.referral_rules import MONTHS_AFTER_BIRTH

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
    """What one client told.

    ``words`` are keys of ``standards.intake_words`` and the marks ``eating_concern``,
    ``periods_stopped`` and ``anabolic_drugs``; ``answered_none`` are those of ``QUESTIONS`` that were
    asked and answered with none or no: what stands neither there nor among the answers was not asked,
    or not answered. ``earlier_weight_kg`` was measured ``months_ago`` months before the visit, None
    where nobody noted when; ``loss_wanted`` is None where nobody noted it. ``pressure_mmhg`` is the
    upper and the lower blood pressure.
    """

    words: tuple[str, ...] = ()
    earlier_weight_kg: float | None = None
    months_ago: float | None = None
    loss_wanted: bool | None = None
    surgery_months_ago: float | None = None
    birth_months_ago: float | None = None
    grip_kg: float | None = None
    pressure_mmhg: tuple[float, float] | None = None
    is_given: bool = False
    answered_none: tuple[str, ...] = ()

    @property
    def is_after_birth(self) -> bool:
        """Whether a birth was so recent that no method holds, and that weight falls anyway."""
        return self.birth_months_ago is not None and self.birth_months_ago < MONTHS_AFTER_BIRTH

    @property
    def has_eating_concern(self) -> bool:
        """Whether careful words are called for: no numbers and no goals on the client's page."""
        return "eating_concern" in self.words

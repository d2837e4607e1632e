"""Inputs: everything that a page is made from, reckoned before the first word is chosen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from foldspan.display_units import METRIC, ShownUnits
from foldspan.practice.model import Practice
from foldspan.problems import Problem
from foldspan.results.change import ChangeResult
from foldspan.results.explanation import Explanation
from foldspan.results.joined_flags import joined_flags
from foldspan.results.result import Result
from foldspan.results.spoken import SpokenFlag
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.visit.model import Visit

# as the typesetter names them
SHEETS = {"a4": "a4", "letter": "us-letter"}


def paper_of(wanted: str, practice: Practice | None, units: str) -> str:
    """Return the paper of a page: what is asked for, what the practice uses, what the units go with."""
    usual = "letter" if units == "us" else "a4"
    return SHEETS[wanted or (practice.paper if practice else "") or usual]


@dataclass(frozen=True, slots=True, repr=False)
class Material:
    """One visit and what led to it."""

    visit: Visit
    """The visit."""
    explanation: Explanation
    """Its answer and what the page tells of it."""
    earlier: tuple[tuple[Visit, Result], ...] = ()
    """Visits before it, each with its own result, the first first."""
    steps: tuple[ChangeResult | None, ...] = ()
    """Change from each visit to the next, None where two cannot be compared."""
    whole: ChangeResult | None = None
    """Change over all visits; None where it cannot be told."""
    is_careful: bool = False
    """Whether numbers may harm: a worry about eating was told at this visit or another."""
    was_asked: bool = False
    """Whether the questions before measuring were asked."""
    agreed: bool | None = None
    """Whether the client agreed to share the page with a clinician; None where it is not noted."""
    agreed_anew: bool = False
    """Whether that is a yes after a no."""
    notes: tuple[str, ...] = ()
    """What was written down in the session."""
    not_taken: tuple[str, ...] = ()
    """Sites that were not taken, with the reason."""
    prepared: Mapping[str, bool] = field(default_factory=dict)
    """Whether the skin was dry (``skin``) and the client rested (``rested``), where that was asked."""
    plan: str = ""
    """What the session set out to measure, "" where that is not known."""
    is_full: bool = False
    """Whether the trainer's page tells every equation and where the uncertainty comes from."""
    left_out: tuple[tuple[date | None, Problem], ...] = ()
    """Days of earlier visits that could be no part of the trend, None where not noted, and why."""
    units: ShownUnits = METRIC
    """The units that the page is written in."""
    language: Language = ENGLISH
    """The language that the page is written in."""
    practice: Practice | None = None
    """Who hands the page over; None where that is not known."""
    paper: str = "a4"
    """The paper it is printed on: ``a4`` or ``us-letter``."""
    settings: str = ""
    """How the answer was asked for, in words."""
    before: tuple[tuple[Visit, Callable[[], Explanation]], ...] = field(default=(), compare=False)
    """Every earlier visit, the first first, also one without a range; what returns its answer."""
    in_full: Callable[[], Explanation] | None = field(default=None, compare=False)
    """Returns the whole explanation where the page holds a part; None where it is whole."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"Material(visits={len(self.earlier) + 1})"

    @property
    def result(self) -> Result:
        """The result of the visit."""
        return self.explanation.result

    @property
    def full_explanation(self) -> Explanation:
        """The whole explanation, also of what the page does not tell."""
        return self.explanation if self.in_full is None else self.in_full()

    @property
    def flags(self) -> tuple[SpokenFlag, ...]:
        """Flags of the visit, and those of a loss since an earlier one, the most urgent first."""
        return joined_flags(self.result.flags, () if self.whole is None else self.whole.flags)

    @property
    def is_urgent(self) -> bool:
        """Whether a doctor is needed today."""
        return any(flag.level == "refer_urgently" for flag in self.flags)

    @property
    def bmi(self) -> float | None:
        """Body mass index [kg/m²]; None without weight and height."""
        taken = self.visit.accepted
        if not {"weight_kg", "height_cm"} <= set(taken):
            return None
        return taken["weight_kg"].value / (taken["height_cm"].value / 100.0) ** 2

    def mass(self, kilograms: float, digits: int = 1) -> str:
        """Return a mass with its unit."""
        shown = self.language.number(kilograms / self.units.per_mass, digits)
        return f"{shown} {self.units.mass}"

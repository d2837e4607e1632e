"""Result: the frozen answer for one visit, and its JSON form (schema version 1)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from foldspan.explanation.correction_used import LocalUsed, local_tree
from foldspan.problems import Problem
from foldspan.results.spoken import (
    SpokenBand,
    SpokenContradiction,
    SpokenFinding,
    SpokenFlag,
    rounded,
)
from foldspan.text.en.health import HEALTH_REMARKS
from foldspan.text.en.reconcile import CAUTIONS

SCHEMA_VERSION = 1


@dataclass(frozen=True, slots=True, repr=False)
class Spread:
    """An estimate with its standard error, its 80 % and its 95 % interval; None where there is none."""

    estimate: float | None = None
    """Best estimate [% of weight, or kg for a mass]; None where there is none."""
    se: float | None = None
    """Its standard error [points of fat, or kg]."""
    likely: tuple[float, float] | None = None
    """Ends of the 80 % range [% of weight, or kg]."""
    wide: tuple[float, float] | None = None
    """Ends of the 95 % range [% of weight, or kg]."""

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree; percentages and kilograms to two decimals."""
        return {
            "estimate": rounded(self.estimate, 2),
            "se": rounded(self.se, 4),
            "likely": None if self.likely is None else [rounded(v, 2) for v in self.likely],
            "wide": None if self.wide is None else [rounded(v, 2) for v in self.wide],
        }


@dataclass(frozen=True, slots=True)
class Misfit:
    """How far the families lie apart for their errors: chi-square, its chance, and the widening."""

    q: float | None = None
    """Chi-square of the families against their errors [no unit]; None with one family."""
    dof: int | None = None
    """Its degrees of freedom [families less one]."""
    p: float | None = None
    """Chance of a larger one if the errors are right [0 to 1]."""
    inflation: float | None = None
    """Factor by which the standard error was widened [no unit], 1 for none."""


@dataclass(frozen=True, slots=True)
class FamilyResult:
    """What one family says on the stated scale, and its weight in the answer (0 to 1)."""

    family: str
    """``skinfold``, ``girth``, ``mass_height`` or ``waist_height``."""
    estimate: float
    """What it says on the stated scale [% of weight]."""
    se: float
    """Its standard error [points of fat]."""
    weight: float
    """Its share in the answer [0 to 1]; what is left belongs to results from elsewhere that joined."""
    equations: tuple[str, ...]
    """Keys of its equations that were used."""


@dataclass(frozen=True, slots=True)
class EquationResult:
    """One equation: its estimate on the stated scale, or why it was left out."""

    key: str
    """Its key in ``equations()``."""
    family: str
    """The family it belongs to."""
    estimate: float | None
    """Its estimate on the stated scale [% of weight]; None where it cannot be told."""
    se: float | None
    """The standard error of that [points of fat]."""
    scale: str
    """The scale it was built on: ``density`` or ``dxa``."""
    used: bool
    """Whether it took part in the answer."""
    left_out_because: tuple[str, ...]
    """Codes of why it did not."""
    source: str
    """Where it was published."""
    remarks: tuple[str, ...] = ()
    """Codes of what widened its error."""
    as_printed: float | None = None
    """What its source prints [% of weight on its own ``scale``]."""
    moved: float = 0.0
    """Step from there to the stated scale [points of fat]."""
    levelled: float = 0.0
    """Step for what it is known to read off [points of fat]."""
    for_background: float = 0.0
    """Step for what it reads off beyond that in adults of the stated background [points]."""


@dataclass(frozen=True, slots=True, repr=False)
class Health:
    """What the numbers of one visit mean for health: bands, flags, and standards that contradict."""

    bands: tuple[SpokenBand, ...] = ()
    """What each health standard says."""
    flags: tuple[SpokenFlag, ...] = ()
    """Reasons to inform, advise or refer, the most urgent first."""
    contradictions: tuple[SpokenContradiction, ...] = ()
    """Standards that contradict each other."""
    remark_codes: tuple[str, ...] = ()
    """Keys of ``HEALTH_REMARKS``: what is to be told with all of it."""
    careful: bool = False
    """Whether the client's page leaves numbers out."""
    was_asked: bool = False
    """Whether anything was told at intake."""
    answered_none: tuple[str, ...] = ()
    """Questions that were asked and answered with none or no."""
    not_asked: tuple[str, ...] = ()
    """Questions that were not asked or not answered."""

    @property
    def apart(self) -> tuple[str, ...]:
        """Sentences on standards that contradict each other, in English."""
        return tuple(found.text for found in self.contradictions)

    @property
    def remarks(self) -> tuple[str, ...]:
        """Sentences to be told with all of it, in English."""
        return tuple(HEALTH_REMARKS[code] for code in self.remark_codes)

    def to_dict(self) -> dict[str, Any]:
        """Return the part of the JSON tree of a result that is about health."""
        return {
            "bands": [band.to_dict() for band in self.bands],
            "standards_apart": list(self.apart),
            "flags": [flag.to_dict() for flag in self.flags],
            "health_remarks": list(self.remarks),
            "careful_words": self.careful,
            "answered_none": list(self.answered_none),
            "not_asked": list(self.not_asked),
        }


@dataclass(frozen=True, slots=True, repr=False)
class Result:
    """The agreement range of one visit and everything that led to it."""

    scale: str
    """The stated scale: ``density`` or ``dxa``."""
    fat_percent: Spread = Spread()
    """The range of body fat [% of weight]; empty fields where there is none."""
    fat_mass_kg: Spread = Spread()
    """The range of the fat mass [kg]."""
    lean_mass_kg: Spread = Spread()
    """The range of all the rest [kg]."""
    verdict: str | None = None
    """``agree``, ``strained``, ``disagree`` or, with one family, ``single``; None without a range."""
    misfit: Misfit = Misfit()
    """How far the families lie apart for their errors."""
    families: tuple[FamilyResult, ...] = ()
    """What each family says."""
    equations: tuple[EquationResult, ...] = ()
    """What each equation says, or why it was left out."""
    correlation_order: tuple[str, ...] = ()
    """Families in the order of ``correlation_matrix``."""
    correlation_matrix: tuple[tuple[float, ...], ...] = ()
    """Correlations of the errors of the families [-1 to 1]."""
    budget: Mapping[str, float] = field(default_factory=dict)
    """Block of the error model → variance [points²]; they sum to the square of ``fat_percent.se``."""
    findings: tuple[SpokenFinding, ...] = ()
    """Why methods differ, with sizes."""
    health: Health = Health()
    """What the numbers mean for health."""
    caution_codes: tuple[str, ...] = ()
    """Keys of ``CAUTIONS``: what to know before going by the range."""
    problems: tuple[Problem, ...] = ()
    """Why there is no range, and what was odd; flags may be raised all the same."""
    local: LocalUsed | None = None
    """The site's own correction that the range was asked for with, None without one."""
    as_printed: bool = False
    """Whether every equation was taken as its source prints it."""
    by_sex: tuple[tuple[str, Result], ...] = ()
    """Answers by the equations for each sex where it is left open which of them fit."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"Result(scale={self.scale!r}, verdict={self.verdict!r})"

    @property
    def bands(self) -> tuple[SpokenBand, ...]:
        """What each health standard says."""
        return self.health.bands

    @property
    def flags(self) -> tuple[SpokenFlag, ...]:
        """Reasons to inform, advise or refer, the most urgent first."""
        return self.health.flags

    @property
    def cautions(self) -> tuple[str, ...]:
        """Sentences to know before going by the range, in English."""
        return tuple(CAUTIONS[code] for code in self.caution_codes)

    @property
    def has_range(self) -> bool:
        """Whether there is an answer."""
        return self.fat_percent.estimate is not None

    def why_silent(self, family: str) -> str:
        """Return ``none_taken`` where a family was not measured, ``none_fits`` where nothing fits."""
        reasons = [
            equation.left_out_because for equation in self.equations if equation.family == family
        ]
        taken = any(not {"missing_input", "wrong_sex"} & set(codes) for codes in reasons)
        return "none_fits" if taken else "none_taken"

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree of schema version 1; ``problems`` only where there is no range."""
        tree: dict[str, Any] = {
            "schema_version": SCHEMA_VERSION,
            "scale": self.scale,
            "fat_percent": self.fat_percent.to_dict(),
            "fat_mass_kg": self.fat_mass_kg.to_dict(),
            "lean_mass_kg": self.lean_mass_kg.to_dict(),
            "local_correction": local_tree(self.local),
            "as_printed": self.as_printed,
            "verdict": self.verdict,
            "misfit": {
                "q": rounded(self.misfit.q, 4),
                "dof": self.misfit.dof,
                "p": rounded(self.misfit.p, 4),
                "inflation": rounded(self.misfit.inflation, 4),
            },
            "families": [_family(family) for family in self.families],
            "equations": [_equation(equation) for equation in self.equations],
            "correlation": {
                "order": list(self.correlation_order),
                "matrix": [[rounded(v, 4) for v in row] for row in self.correlation_matrix],
            },
            "budget": {block: rounded(value, 6) for block, value in self.budget.items()},
            "findings": [finding.to_dict() for finding in self.findings],
            **self.health.to_dict(),
            "cautions": list(self.cautions),
        }
        if not self.has_range:
            tree["problems"] = problem_list(self.problems)
        if self.by_sex:
            tree["by_sex"] = {sex: result.to_dict() for sex, result in self.by_sex}
        return tree


def problem_list(problems: tuple[Problem, ...]) -> list[dict[str, str]]:
    """Return problems as plain mappings, without the values that were typed."""
    return [
        {
            "code": problem.code,
            "where": problem.where,
            "what": problem.what,
            "remedy": problem.advice(),
        }
        for problem in problems
    ]


def _family(family: FamilyResult) -> dict[str, Any]:
    return {
        "family": family.family,
        "estimate": rounded(family.estimate, 2),
        "se": rounded(family.se, 4),
        "weight": rounded(family.weight, 4),
        "equations": list(family.equations),
    }


def _equation(equation: EquationResult) -> dict[str, Any]:
    return {
        "key": equation.key,
        "family": equation.family,
        "as_printed": rounded(equation.as_printed, 2),
        "moved": rounded(equation.moved, 2),
        "levelled": rounded(equation.levelled, 2),
        "for_background": rounded(equation.for_background, 2),
        "estimate": rounded(equation.estimate, 2),
        "se": rounded(equation.se, 4),
        "scale": equation.scale,
        "used": equation.used,
        "left_out_because": list(equation.left_out_because),
        "source": equation.source,
    }

"""Result: the frozen answer for one visit, and its JSON form (schema version 2)."""

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

SCHEMA_VERSION = 2


@dataclass(frozen=True, slots=True, repr=False)
class Spread:
    """An estimate with its standard error, its 80 % and its 95 % interval; None where there is none."""

    estimate: float | None = None
    """Best estimate [% of weight, or kg for a mass]; None where there is none."""
    se: float | None = None
    """Its standard error [points of fat, or kg]."""
    range_80: tuple[float, float] | None = None
    """Ends of the 80 % range [% of weight, or kg]."""
    range_95: tuple[float, float] | None = None
    """Ends of the 95 % range [% of weight, or kg]."""

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree; percentages and kilograms to two decimals."""
        return {
            "estimate": rounded(self.estimate, 2),
            "se": rounded(self.se, 4),
            "range_80": None if self.range_80 is None else [rounded(v, 2) for v in self.range_80],
            "range_95": None if self.range_95 is None else [rounded(v, 2) for v in self.range_95],
        }


@dataclass(frozen=True, slots=True)
class Misfit:
    """How far the method groups lie apart for their errors: chi-square, its chance, and the widening."""

    q: float | None = None
    """Chi-square of the method groups against their errors [no unit]; None with one group."""
    dof: int | None = None
    """Its degrees of freedom [method groups less one]."""
    p: float | None = None
    """Chance of a larger one if the errors are right [0 to 1]."""
    inflation: float | None = None
    """Factor by which the standard error was widened [no unit], 1 for none."""


@dataclass(frozen=True, slots=True)
class MethodResult:
    """What one method group says, and its weight in the answer (0 to 1)."""

    method: str
    """``skinfold``, ``girth``, ``mass_height`` or ``waist_height``."""
    estimate: float
    """What it says by the stated reference method [% of weight]."""
    se: float
    """Its standard error [points of fat]."""
    weight: float
    """Its share in the answer [0 to 1]; what is left belongs to results from elsewhere that joined."""
    equations: tuple[str, ...]
    """Keys of its equations that were used."""


@dataclass(frozen=True, slots=True)
class EquationResult:
    """One equation: its estimate by the stated reference method, or why it was left out."""

    key: str
    """Its key in ``equations()``."""
    method: str
    """The method group it belongs to."""
    estimate: float | None
    """Its estimate by the stated reference method [% of weight]; None where it cannot be calculated."""
    se: float | None
    """The standard error of that [points of fat]."""
    reference_method: str
    """The reference method it was built on: ``density`` or ``dxa``."""
    used: bool
    """Whether it took part in the answer."""
    left_out_because: tuple[str, ...]
    """Codes of why it did not."""
    source: str
    """Where it was published."""
    remarks: tuple[str, ...] = ()
    """Codes of what widened its error."""
    as_printed: float | None = None
    """What its source prints [% of weight by its own ``reference_method``]."""
    moved: float = 0.0
    """Step from there to the stated reference method [points of fat]."""
    levelled: float = 0.0
    """Correction of its known average error [points of fat]."""
    for_background: float = 0.0
    """Further correction in adults of the stated background [points]."""


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
    """Keys of ``HEALTH_REMARKS``: what applies to all of it."""
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
        """Sentences that apply to all of it, in English."""
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

    reference_method: str
    """The reference method that fat is stated by: ``density`` or ``dxa``."""
    fat_percent: Spread = Spread()
    """The range of body fat [% of weight]; empty fields where there is none."""
    fat_mass_kg: Spread = Spread()
    """The range of the fat mass [kg]."""
    fat_free_mass_kg: Spread = Spread()
    """The range of the fat-free mass: weight less fat, bone included [kg]."""
    verdict: str | None = None
    """``agree``, ``strained``, ``disagree`` or, with one group, ``single``; None without a range."""
    misfit: Misfit = Misfit()
    """How far the method groups lie apart for their errors."""
    methods: tuple[MethodResult, ...] = ()
    """What each method group says."""
    equations: tuple[EquationResult, ...] = ()
    """What each equation says, or why it was left out."""
    correlation_order: tuple[str, ...] = ()
    """Method groups in the order of ``correlation_matrix``."""
    correlation_matrix: tuple[tuple[float, ...], ...] = ()
    """Correlations of the errors of the method groups [-1 to 1]."""
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
        return f"Result(reference_method={self.reference_method!r}, verdict={self.verdict!r})"

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

    def why_silent(self, method: str) -> str:
        """Return ``none_taken`` where a method was not measured, ``none_fits`` where nothing fits."""
        reasons = [
            equation.left_out_because for equation in self.equations if equation.method == method
        ]
        taken = any(not {"missing_input", "wrong_sex"} & set(codes) for codes in reasons)
        return "none_fits" if taken else "none_taken"

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree of schema version 2; ``problems`` only where there is no range."""
        tree: dict[str, Any] = {
            "schema_version": SCHEMA_VERSION,
            "reference_method": self.reference_method,
            "fat_percent": self.fat_percent.to_dict(),
            "fat_mass_kg": self.fat_mass_kg.to_dict(),
            "fat_free_mass_kg": self.fat_free_mass_kg.to_dict(),
            "local_correction": local_tree(self.local),
            "as_printed": self.as_printed,
            "verdict": self.verdict,
            "misfit": {
                "q": rounded(self.misfit.q, 4),
                "dof": self.misfit.dof,
                "p": rounded(self.misfit.p, 4),
                "inflation": rounded(self.misfit.inflation, 4),
            },
            "methods": [_method(method) for method in self.methods],
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


def _method(method: MethodResult) -> dict[str, Any]:
    return {
        "method": method.method,
        "estimate": rounded(method.estimate, 2),
        "se": rounded(method.se, 4),
        "weight": rounded(method.weight, 4),
        "equations": list(method.equations),
    }


def _equation(equation: EquationResult) -> dict[str, Any]:
    return {
        "key": equation.key,
        "method": equation.method,
        "as_printed": rounded(equation.as_printed, 2),
        "moved": rounded(equation.moved, 2),
        "levelled": rounded(equation.levelled, 2),
        "for_background": rounded(equation.for_background, 2),
        "estimate": rounded(equation.estimate, 2),
        "se": rounded(equation.se, 4),
        "reference_method": equation.reference_method,
        "used": equation.used,
        "left_out_because": list(equation.left_out_because),
        "source": equation.source,
    }

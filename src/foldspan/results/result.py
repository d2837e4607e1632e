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
    """An estimate with its standard error, 80% and 95% interval; None if there is none."""

    estimate: float | None = None
    """Best estimate [% of weight, or kg for a mass]; None if there is none."""
    se: float | None = None
    """Its standard error [percentage points, or kg]."""
    range_80: tuple[float, float] | None = None
    """Lower and upper end of the 80% range [% of weight, or kg]."""
    range_95: tuple[float, float] | None = None
    """Lower and upper end of the 95% range [% of weight, or kg]."""

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
    """How far the method groups disagree, given their errors, and the widening for it."""

    q: float | None = None
    """Misfit of the method groups beyond their usual gaps, scaled like a chi-square [no unit]:
    one in ten of the reference population exceeds its 90% point. None with one group."""
    dof: int | None = None
    """Its degrees of freedom [number of method groups minus one]."""
    p: float | None = None
    """Probability of a larger misfit [0 to 1]. The scaling of ``q`` makes it exact at 0.10; further
    out it is an approximation, and too small: 1% to 2% of the reference population, not 1%, have a
    ``p`` below 0.01."""
    inflation: float | None = None
    """Factor by which disagreement widened the standard error [no unit]; 1 for no widening."""


@dataclass(frozen=True, slots=True)
class MethodResult:
    """The estimate of one method group, and its weight in the result (0 to 1)."""

    method: str
    """``skinfold``, ``girth``, ``mass_height`` or ``waist_height``."""
    estimate: float
    """Its estimate, for the stated reference method [% of weight]."""
    se: float
    """Its standard error [percentage points]."""
    weight: float
    """Its weight in the result [0 to 1]; the rest is the weight of any results from elsewhere."""
    equations: tuple[str, ...]
    """Keys of its equations that were used."""


@dataclass(frozen=True, slots=True)
class EquationResult:
    """One equation: its estimate for the stated reference method, or why it was left out."""

    key: str
    """Its key in ``equations()``."""
    method: str
    """The method group it belongs to."""
    estimate: float | None
    """Its estimate for the stated reference method [% of weight]; None if it cannot be
    calculated."""
    se: float | None
    """Standard error of that estimate [percentage points]."""
    reference_method: str
    """The reference method it was developed against: ``density`` or ``dxa``."""
    used: bool
    """Whether it was used in the result."""
    left_out_because: tuple[str, ...]
    """Codes of the reasons why it was not used."""
    source: str
    """Where it was published."""
    remarks: tuple[str, ...] = ()
    """Codes of what made its error larger."""
    as_printed: float | None = None
    """Its result as published [% of weight, for its own ``reference_method``]."""
    moved: float = 0.0
    """Step from there to the stated reference method [percentage points]."""
    levelled: float = 0.0
    """Correction of its known average error [percentage points]."""
    for_background: float = 0.0
    """Further correction for the stated background [percentage points]."""


@dataclass(frozen=True, slots=True, repr=False)
class Health:
    """What the numbers of one visit mean for health: bands, flags, and standards that disagree."""

    bands: tuple[SpokenBand, ...] = ()
    """What each health standard says."""
    flags: tuple[SpokenFlag, ...] = ()
    """Reasons to inform, advise or refer, the most urgent first."""
    contradictions: tuple[SpokenContradiction, ...] = ()
    """Standards that contradict each other."""
    remark_codes: tuple[str, ...] = ()
    """Keys of ``HEALTH_REMARKS``: remarks that apply to all bands and flags."""
    careful: bool = False
    """Whether the client's page leaves numbers out."""
    was_asked: bool = False
    """Whether any health question was answered."""
    answered_none: tuple[str, ...] = ()
    """Questions that were asked and answered none or no."""
    not_asked: tuple[str, ...] = ()
    """Questions that were not asked or not answered."""

    @property
    def apart(self) -> tuple[str, ...]:
        """Sentences on standards that contradict each other, in English."""
        return tuple(found.text for found in self.contradictions)

    @property
    def remarks(self) -> tuple[str, ...]:
        """Sentences that apply to all bands and flags, in English."""
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
    """The combined range of one visit and everything that led to it."""

    reference_method: str
    """The reference method of the result: ``density`` or ``dxa``."""
    fat_percent: Spread = Spread()
    """The range of body fat [% of weight]; its fields are None if there is none."""
    fat_mass_kg: Spread = Spread()
    """The range of fat mass [kg]."""
    fat_free_mass_kg: Spread = Spread()
    """The range of fat-free mass: weight minus fat, bone included [kg]."""
    verdict: str | None = None
    """``agree``, ``strained``, ``disagree`` or, with one group, ``single``; None without a range."""
    misfit: Misfit = Misfit()
    """How far the method groups disagree, given their errors."""
    methods: tuple[MethodResult, ...] = ()
    """The estimate of each method group."""
    equations: tuple[EquationResult, ...] = ()
    """The estimate of each equation, or why it was left out."""
    correlation_order: tuple[str, ...] = ()
    """Method groups in the order of ``correlation_matrix``."""
    correlation_matrix: tuple[tuple[float, ...], ...] = ()
    """Correlations of the errors of the method groups [-1 to 1]."""
    budget: Mapping[str, float] = field(default_factory=dict)
    """Source of uncertainty → variance [points²]; they add up to the square of
    ``fat_percent.se``."""
    findings: tuple[SpokenFinding, ...] = ()
    """Why the methods differ, with the size of each reason."""
    health: Health = Health()
    """What the numbers mean for health."""
    caution_codes: tuple[str, ...] = ()
    """Keys of ``CAUTIONS``: what to know before relying on the range."""
    problems: tuple[Problem, ...] = ()
    """Why there is no range, and anything unusual; flags may be raised all the same."""
    local: LocalUsed | None = None
    """The local correction that was asked for, None without one."""
    as_printed: bool = False
    """Whether every equation was used as published."""
    by_sex: tuple[tuple[str, Result], ...] = ()
    """With sex ``both``: the result with the equations for each sex."""

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
        """Cautions to read before relying on the range, in English."""
        return tuple(CAUTIONS[code] for code in self.caution_codes)

    @property
    def has_range(self) -> bool:
        """Whether there is a range."""
        return self.fat_percent.estimate is not None

    def why_silent(self, method: str) -> str:
        """Return ``none_taken`` if a method was not measured, ``none_fits`` if no equation fits."""
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

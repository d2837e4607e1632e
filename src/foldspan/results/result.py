"""Result: the frozen answer for one visit, and its JSON form (schema version 1)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from foldspan.explanation.correction_used import LocalUsed, local_tree
from foldspan.problems import Problem
from foldspan.standards.referral_rules import Level

SCHEMA_VERSION = 1


@dataclass(frozen=True, slots=True, repr=False)
class Spread:
    """An estimate with its standard error, its 80 % and its 95 % interval; None where there is none."""

    estimate: float | None = None
    se: float | None = None
    likely: tuple[float, float] | None = None
    wide: tuple[float, float] | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return the mapping of the contract; percentages and kilograms to two decimals."""
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
    dof: int | None = None
    p: float | None = None
    inflation: float | None = None


@dataclass(frozen=True, slots=True)
class FamilyResult:
    """What one family says on the stated scale, and its weight in the answer (0 to 1)."""

    family: str
    estimate: float
    se: float
    weight: float
    equations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EquationResult:
    """One equation: its estimate on the stated scale, or why it was left out.

    ``scale`` is the scale it was built on and ``as_printed`` what its source prints there. Steps
    lead to ``estimate`` [points]: ``moved`` puts it on the stated scale, ``levelled`` takes off what it
    is known to read off, ``for_background`` what it reads off beyond that in adults of the stated
    background. ``remarks`` are the flags that widened its error.
    """

    key: str
    family: str
    estimate: float | None
    se: float | None
    scale: str
    used: bool
    left_out_because: tuple[str, ...]
    source: str
    remarks: tuple[str, ...] = ()
    as_printed: float | None = None
    moved: float = 0.0
    levelled: float = 0.0
    for_background: float = 0.0


@dataclass(frozen=True, slots=True)
class SpokenFinding:
    """One finding with its size in points of fat and its sentence."""

    code: str
    points: float | None
    text: str

    def to_dict(self) -> dict[str, Any]:
        """Return the mapping of the contract."""
        return {"code": self.code, "points": rounded(self.points, 2), "text": self.text}


@dataclass(frozen=True, slots=True, repr=False)
class SpokenBand:
    """What one health standard says of the client.

    ``standard`` is its key without the columns that were averaged, ``name`` how people cite it;
    ``value`` and ``se`` are in the unit of the ``measure``; ``probabilities`` go from the lowest band
    to the highest and sum to one. ``remarks`` are what to know before going by it. ``limits`` has the
    lowest and the highest limit between two bands where the columns of a standard were averaged, twice
    the same number else.
    """

    standard: str
    name: str
    measure: str
    scale: str
    value: float
    se: float
    probabilities: Mapping[str, float]
    is_coin_toss: bool
    shown: str
    text: str
    remarks: tuple[str, ...]
    source: str
    status: str
    limits: tuple[tuple[float, float], ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the mapping of the contract."""
        return {
            "standard": self.standard,
            "name": self.name,
            "measure": self.measure,
            "scale": self.scale or None,
            "value": rounded(self.value, 4),
            "se": rounded(self.se, 4),
            "probabilities": {label: rounded(p, 4) for label, p in self.probabilities.items()},
            "is_coin_toss": self.is_coin_toss,
            "text": f"{self.shown}: {self.text}.",
            "remarks": list(self.remarks),
            "source": self.source,
            "status": self.status,
        }


@dataclass(frozen=True, slots=True, repr=False)
class SpokenFlag:
    """One flag with its level, the chance that it holds, and its sentence for each reader."""

    code: str
    level: Level
    text: str
    for_client: str
    for_clinician: str
    chance: float
    is_borderline: bool
    source: str
    status: str

    def to_dict(self) -> dict[str, Any]:
        """Return the mapping of the contract."""
        return {
            "code": self.code,
            "level": self.level,
            "text": self.text,
            "for_client": self.for_client,
            "for_clinician": self.for_clinician,
            "chance": rounded(self.chance, 2),
            "is_borderline": self.is_borderline,
            "source": self.source,
            "status": self.status,
        }


@dataclass(frozen=True, slots=True, repr=False)
class Health:
    """What the numbers of one visit mean for health: bands, flags, and standards that contradict.

    ``flags`` come the most urgent first. ``careful`` is whether the client's page leaves numbers out;
    ``was_asked`` whether anything was told at intake; ``answered_none`` are questions that were asked
    and answered with none or no, ``not_asked`` those that were not asked or not answered.
    """

    bands: tuple[SpokenBand, ...] = ()
    flags: tuple[SpokenFlag, ...] = ()
    apart: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    careful: bool = False
    was_asked: bool = False
    answered_none: tuple[str, ...] = ()
    not_asked: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the part of the JSON tree of a result that is about health."""
        return {
            "bands": [one.to_dict() for one in self.bands],
            "standards_apart": list(self.apart),
            "flags": [one.to_dict() for one in self.flags],
            "health_remarks": list(self.remarks),
            "careful_words": self.careful,
            "answered_none": list(self.answered_none),
            "not_asked": list(self.not_asked),
        }


@dataclass(frozen=True, slots=True, repr=False)
class Result:
    """The agreement range of one visit and everything that led to it.

    ``fat_percent`` is in percent of weight, masses in kilograms; ``budget`` maps each block of the
    error model to its variance [points²] and sums to the square of ``fat_percent.se``. A visit that
    gets no range has empty fields and ``problems`` that say why; flags may be raised all the same.
    ``local`` is the site's own correction that the range was asked for with, None without one;
    ``as_printed`` is whether every equation was taken as its source prints it.
    ``by_sex`` holds the answers by the equations for each sex where it is left open which of them fit.
    """

    scale: str
    fat_percent: Spread = Spread()
    fat_mass_kg: Spread = Spread()
    lean_mass_kg: Spread = Spread()
    verdict: str | None = None
    misfit: Misfit = Misfit()
    families: tuple[FamilyResult, ...] = ()
    equations: tuple[EquationResult, ...] = ()
    correlation_order: tuple[str, ...] = ()
    correlation_matrix: tuple[tuple[float, ...], ...] = ()
    budget: Mapping[str, float] = field(default_factory=dict)
    findings: tuple[SpokenFinding, ...] = ()
    health: Health = Health()
    cautions: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    local: LocalUsed | None = None
    as_printed: bool = False
    by_sex: tuple[tuple[str, Result], ...] = ()

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
    def has_range(self) -> bool:
        """Whether there is an answer."""
        return self.fat_percent.estimate is not None

    def why_silent(self, family: str) -> str:
        """Return ``none_taken`` where a family was not measured, ``none_fits`` where nothing fits."""
        reasons = [one.left_out_because for one in self.equations if one.family == family]
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
            "families": [_family(one) for one in self.families],
            "equations": [_equation(one) for one in self.equations],
            "correlation": {
                "order": list(self.correlation_order),
                "matrix": [[rounded(v, 4) for v in row] for row in self.correlation_matrix],
            },
            "budget": {block: rounded(value, 6) for block, value in self.budget.items()},
            "findings": [one.to_dict() for one in self.findings],
            **self.health.to_dict(),
            "cautions": list(self.cautions),
        }
        if not self.has_range:
            tree["problems"] = problem_list(self.problems)
        if self.by_sex:
            tree["by_sex"] = {sex: one.to_dict() for sex, one in self.by_sex}
        return tree


def problem_list(problems: tuple[Problem, ...]) -> list[dict[str, str]]:
    """Return problems as plain mappings, without the values that were typed."""
    return [
        {
            "code": one.code,
            "where": one.where,
            "what": one.what,
            "remedy": one.advice(),
        }
        for one in problems
    ]


def _family(one: FamilyResult) -> dict[str, Any]:
    return {
        "family": one.family,
        "estimate": rounded(one.estimate, 2),
        "se": rounded(one.se, 4),
        "weight": rounded(one.weight, 4),
        "equations": list(one.equations),
    }


def _equation(one: EquationResult) -> dict[str, Any]:
    return {
        "key": one.key,
        "family": one.family,
        "as_printed": rounded(one.as_printed, 2),
        "moved": rounded(one.moved, 2),
        "levelled": rounded(one.levelled, 2),
        "for_background": rounded(one.for_background, 2),
        "estimate": rounded(one.estimate, 2),
        "se": rounded(one.se, 4),
        "scale": one.scale,
        "used": one.used,
        "left_out_because": list(one.left_out_because),
        "source": one.source,
    }


def rounded(value: float | None, digits: int) -> float | None:
    """Return a number for JSON, None where there is none."""
    return None if value is None else round(float(value), digits)

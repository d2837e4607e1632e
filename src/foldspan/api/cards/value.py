"""Value: what one equation gives for one client, as published, and what stands against using it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from foldspan.api.reconcile import result_for
from foldspan.catalogue.card import Equation
from foldspan.estimation.applicability import beyond_limits
from foldspan.estimation.evaluate import Inputs, fat_percents, needed, printed
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import Settings, settings_for
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME
from foldspan.results.case_of_visit import people_of
from foldspan.results.result import SCHEMA_VERSION, EquationResult, Result, problem_list
from foldspan.results.spoken import SpokenFlag, rounded
from foldspan.results.who_gets_a_range import SEX_LEFT_OPEN
from foldspan.visit.keys import HOME_OF
from foldspan.visit.model import Visit

# codes of a client who is not like the people an equation was developed on
NOT_LIKE_ITS_SAMPLE = (
    "wrong_sex", "outside_age", "outside_span", "youth_only", "athletes_only", "obesity_only",
    "clinical_only", "other_ancestry",
)  # fmt: skip
NO_EQUATION = "E203"


@dataclass(frozen=True, slots=True, repr=False)
class EquationValue:
    """What one equation gives for one client; ``problems`` says why where it gives nothing."""

    key: str
    """Key of the equation."""
    predicts: str
    """What its formula returns: ``density``, ``fat_percent``, ``fat_mass``, …"""
    reference_method: str
    """The reference method it was developed against: ``density`` or ``dxa``."""
    output: float | None = None
    """What its formula returns [g/cm³, % or kg, see ``predicts``]."""
    conversion: str | None = None
    """Key of the density-to-fat conversion that was used; None for none."""
    as_printed: float | None = None
    """Its result as published [% of weight, for its own ``reference_method``]."""
    see: float | None = None
    """Published standard error of estimate at this result [percentage points]; None if none is
    published."""
    range_printed: tuple[float, float] | None = None
    """Its result minus and plus that standard error [% of weight]; never below 0."""
    estimate: float | None = None
    """Its result in the answer for all methods: levelled, and for ``estimate_reference_method`` [% of
    weight]."""
    estimate_reference_method: str = ""
    """The reference method of that answer: ``density`` or ``dxa``."""
    moved: float = 0.0
    """Step to that reference method [percentage points]."""
    levelled: float = 0.0
    """Correction of its known average error, of a stated background too [percentage points]."""
    used: bool = False
    """Whether it was used in that answer."""
    left_out_because: tuple[str, ...] = ()
    """Codes of the reasons why it was not used."""
    remarks: tuple[str, ...] = ()
    """Codes of what makes its error larger."""
    in_sample: bool | None = None
    """Whether the client is like the people it was developed on, as far as is known; None where its
    limits are not known."""
    beyond: tuple[tuple[str, float], ...] = ()
    """Limits of its sample that the client is outside, and by how much [unit of the quantity]."""
    careful: bool = False
    """Whether eating is a worry, so that the client is shown no numbers."""
    flags: tuple[SpokenFlag, ...] = ()
    """Reasons to inform, advise or refer, the most urgent first."""
    problems: tuple[Problem, ...] = ()
    """Why there is no result."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"EquationValue(key={self.key!r})"

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree; ``problems`` only where there is no result."""
        span = self.range_printed
        tree: dict[str, Any] = {
            "schema_version": SCHEMA_VERSION,
            "key": self.key,
            "predicts": self.predicts,
            "reference_method": self.reference_method,
            "output": rounded(self.output, 5),
            "conversion": self.conversion,
            "as_printed": rounded(self.as_printed, 2),
            "see": rounded(self.see, 4),
            "range_printed": None if span is None else [rounded(end, 2) for end in span],
            "estimate": rounded(self.estimate, 2),
            "estimate_reference_method": self.estimate_reference_method,
            "moved": rounded(self.moved, 2),
            "levelled": rounded(self.levelled, 2),
            "used": self.used,
            "left_out_because": list(self.left_out_because),
            "remarks": list(self.remarks),
            "in_sample": self.in_sample,
            "beyond": {name: rounded(distance, 2) for name, distance in self.beyond},
            "careful_words": self.careful,
            "flags": [flag.to_dict() for flag in self.flags],
        }
        if self.as_printed is None:
            tree["problems"] = problem_list(self.problems)
        return tree


def equation_value(
    card: Equation,
    visit: Visit,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    as_printed: bool = False,
    local: LocalCorrection | None = None,
) -> EquationValue:
    """Return what one equation gives for one visit, as published and in the answer for all methods.

    Whoever gets no adult range gets no value either; see ``reconcile``.

    Raises
    ------
    FoldspanError
        E110 where a measurement is missing that the equation needs; else as ``reconcile``.
    """
    settings = settings_for(reference_method, conversion, local=local, as_printed=as_printed)
    result = result_for(visit, settings)
    blank = EquationValue(
        card.key, card.predicts, card.reference_method,
        estimate_reference_method=result.reference_method,
        careful=result.health.careful, flags=result.flags,
    )  # fmt: skip
    barred = [problem for problem in result.problems if problem.code != NO_EQUATION]
    if barred:
        return replace(blank, problems=tuple(map(_about_one_equation, barred)))
    (answered,) = [equation for equation in result.equations if equation.key == card.key]
    if "wrong_sex" in answered.left_out_because:
        what = "this equation was developed for the other sex"
        problem = Problem(NO_EQUATION, "[client] sex", what, "Use an equation for this sex.")
        return replace(
            blank, left_out_because=answered.left_out_because, in_sample=False, problems=(problem,)
        )
    if "missing_input" in answered.left_out_because:
        raise FoldspanError(
            missing_problem(name)
            for name in needed(card)
            if name != "age_years" and name not in visit.sites
        )
    return _worked_out(card, visit, settings, result, answered, blank)


def _worked_out(
    card: Equation,
    visit: Visit,
    settings: Settings,
    result: Result,
    answered: EquationResult,
    blank: EquationValue,
) -> EquationValue:
    as_published = replace(card, formula=card.printed_formula, table=None)
    assert visit.client.known_sex is not None, "it got a range"
    people = people_of(visit, visit.client.known_sex)
    columns = bridge_waists(people.columns, people.sex).columns
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        percent, error = fat_percents([as_published], columns, settings.conversion)
        _, output = printed(as_published, Inputs(columns), settings.conversion)
    value, see = float(percent[0, 0]), float(error[0, 0])
    codes = {*answered.left_out_because, *answered.remarks}
    unlike = codes & set(NOT_LIKE_ITS_SAMPLE)
    if not card.ancestry:  # a term for ancestry that nothing was stated for is no other sample
        unlike.discard("other_ancestry")
    in_sample: bool | None = not unlike
    described = replace(
        blank,
        left_out_because=answered.left_out_because,
        remarks=answered.remarks,
        in_sample=None if in_sample and not card.limits else in_sample,
        beyond=tuple(beyond_limits(card, columns).items()),
    )
    if answered.as_printed is None or not np.isfinite(value):
        what, remedy = "this equation gives no valid result for these numbers", "Check the numbers."
        return replace(described, problems=(Problem(NO_EQUATION, "visit", what, remedy),))
    has_error = bool(np.isfinite(see))
    return replace(
        described,
        output=float(np.ravel(output)[0]),
        conversion=settings.conversion.key if card.predicts == "density" else None,
        as_printed=value,
        see=see if has_error else None,
        range_printed=(max(value - see, 0.0), value + see) if has_error else None,
        estimate=answered.estimate,
        estimate_reference_method=result.reference_method,
        moved=answered.moved,
        levelled=answered.levelled + answered.for_background,
        used=answered.used,
    )


def _about_one_equation(problem: Problem) -> Problem:
    """Why there is no value; of two sets of equations, one is worked out at a time."""
    if problem.code != SEX_LEFT_OPEN:
        return problem
    what = "you chose both sets of equations, so there is no single result"
    return replace(problem, what=what, remedy="Set sex to female or male.")


def missing_problem(name: str) -> Problem:
    """Return that a quantity is missing which an equation needs."""
    section, short = HOME_OF.get(name, ("client", name))
    quantity = BY_NAME[name]
    remedy = f"Add the {quantity.label} in {quantity.unit}."
    return Problem("E110", f"[{section}] {short}", "missing: the equation needs it", remedy)


OPTIONS: Mapping[str, Any] = {
    "reference_method": "", "conversion": "siri1961", "as_printed": False,
}  # fmt: skip
"""Settings of ``equation_value`` that a client of the API may choose, with what holds without."""

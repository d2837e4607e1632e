"""Build: the frozen result of one visit from its case, block by block."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.error_model import REFERENCE_OFFSET
from foldspan.estimation.families import combine
from foldspan.estimation.families.chi_square import chance_of_misfit
from foldspan.estimation.on_request import beside_the_range
from foldspan.estimation.pipeline import Reconciled
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.correction_used import local_used
from foldspan.explanation.what_if import Case
from foldspan.external.combine import Joined
from foldspan.numerics.ordered_sums import quadratic
from foldspan.problems import Problem
from foldspan.results.cautions import caution_codes
from foldspan.results.findings import spoken_findings
from foldspan.results.health import health_of
from foldspan.results.listed_equations import listed_equations
from foldspan.results.result import MethodResult, Misfit, Result, Spread
from foldspan.visit.model import Visit

NO_EQUATION = Problem(
    "E203",
    "visit",
    "no equation can be used with these measurements",
    "Add weight and height, a waist, or the skinfolds of one equation (foldspan equations).",
)


def result_of(visit: Visit, analysis: CaseAnalysis, joined: Joined | None) -> Result:
    """Return the result of a visit that is opened up already; see ``reconcile``.

    ``joined`` is its range, with the outside results that joined it; None where there is none.
    """
    settings = analysis.case.settings
    beside = beside_the_range(analysis.case.people, settings, analysis.bridged)
    result = Result(
        settings.reference_method,
        equations=listed_equations(analysis, beside),
        health=health_of(visit, analysis, joined),
        caution_codes=caution_codes(
            visit, None if joined is None else _unwidened_low(analysis.case, joined)
        ),
        as_printed=settings.as_printed,
    )
    if joined is None:
        return replace(result, problems=(NO_EQUATION,))
    return _with_range(result, visit, analysis, joined)


def _with_range(result: Result, visit: Visit, analysis: CaseAnalysis, joined: Joined) -> Result:
    """The result with the range of the visit, and what leads to it."""
    answer, combined = analysis.case.answer, analysis.case.answer.combined
    present = [k for k in range(len(FAMILIES)) if np.isfinite(answer.families[k, 0])]
    block = answer.covariance[:, present][:, :, present]
    deviation = np.sqrt(np.diagonal(block[0]))
    fat = _spread(joined.estimate, joined.se)
    dof, q = int(combined.dof[0]), float(combined.q[0])
    assert fat.range_95 is not None
    return replace(
        result,
        fat_percent=fat,
        fat_mass_kg=_mass(visit, fat, is_lean=False),
        fat_free_mass_kg=_mass(visit, fat, is_lean=True),
        verdict=analysis.case.verdict,
        misfit=Misfit(
            q,
            dof,
            chance_of_misfit(q, dof) if dof else None,
            float(combined.inflation[0]),
        ),
        methods=tuple(
            MethodResult(
                method=FAMILIES[k],
                estimate=float(answer.families[k, 0]),
                se=float(deviation[place]),
                weight=joined.own * float(combined.weights[k, 0]),
                equations=tuple(
                    listed.key
                    for listed in result.equations
                    if listed.used and listed.method == FAMILIES[k]
                ),
            )
            for place, k in enumerate(present)
        ),
        correlation_order=tuple(FAMILIES[k] for k in present),
        correlation_matrix=tuple(map(tuple, block[0] / np.outer(deviation, deviation))),
        budget=budget(answer, joined),
        findings=spoken_findings(visit, analysis),
        local=local_used(analysis.case),
    )


def _unwidened_low(case: Case, joined: Joined) -> float:
    """Lower end of the 95% range with underwater weighing, for which the least fat was stated.

    Before the widening: a quarrel of methods is no sign of low fat.
    """
    deviation = joined.se / (float(case.answer.combined.inflation[0]) * joined.inflation)
    moved = REFERENCE_OFFSET if case.settings.reference_method == "dxa" else 0.0
    return joined.estimate - combine.Z_WIDE * deviation - moved


def budget(answer: Reconciled, joined: Joined | None = None) -> dict[str, float]:
    """Return the variance of person 0's answer by block [points²]; sums to the square of its SE.

    Where outside results joined, the blocks are those of the share left to the visit's own methods,
    and ``outside`` is the rest.
    """
    weights = answer.combined.weights[:, 0]
    parts = {name: quadratic(weights, block[0]) for name, block in answer.blocks.items()}
    within = float(answer.combined.variance_within[0])
    parts["disagreement"] = within * (float(answer.combined.inflation[0]) ** 2 - 1.0)
    if joined is None or joined.own == 1.0:
        return parts
    own = {name: joined.own**2 * part for name, part in parts.items()}
    return own | {"outside": joined.se**2 - sum(own.values())}


def _spread(estimate: float, se: float) -> Spread:
    ends = []
    for z in (combine.Z_LIKELY, combine.Z_WIDE):
        low, high = combine.interval(np.array([estimate]), np.array([se]), z)
        ends.append((float(low[0]), float(high[0])))
    return Spread(estimate, se, ends[0], ends[1])


def _mass(visit: Visit, fat: Spread, *, is_lean: bool) -> Spread:
    """Fat or lean mass [kg]; the two add up to the weight to the printed digit."""
    if "weight_kg" not in visit.accepted or fat.estimate is None or fat.se is None:
        return Spread()
    weight = round(visit.accepted["weight_kg"].value, 2)

    def share(percent: float) -> float:
        mass = round(weight * percent / 100.0, 2)
        return round(weight - mass, 2) if is_lean else mass

    def ends(pair: tuple[float, float] | None) -> tuple[float, float] | None:
        if pair is None:
            return None
        low, high = sorted((share(pair[0]), share(pair[1])))
        return low, high

    return Spread(
        share(fat.estimate), weight * fat.se / 100.0, ends(fat.range_80), ends(fat.range_95)
    )

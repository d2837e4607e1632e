"""Build: the frozen result of one visit from its case, block by block."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue.card import FAMILIES, SCALES, Scale
from foldspan.estimation import combine
from foldspan.estimation.error_model import SCALE_OFFSET
from foldspan.estimation.on_request import beside_the_range
from foldspan.estimation.pipeline import Reconciled
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.correction_used import local_used
from foldspan.external.combine import Joined, Placed, join
from foldspan.interpretation.indices import Measured
from foldspan.interpretation.two_scales import fat_on_scales
from foldspan.numerics.ordered_sums import quadratic
from foldspan.problems import Problem
from foldspan.results.findings import spoken_findings
from foldspan.results.health import health_of
from foldspan.results.listed_equations import listed_equations
from foldspan.results.result import EquationResult, FamilyResult, Health, Misfit, Result, Spread
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.visit.model import Visit

# cautions (ours): from this body mass index on few equations were built on bodies as large [kg/m²]; from
# this age on muscle is often lost unseen, up to this one adult classes and growth charts differ [years]
LARGE_BMI, OLDER_AGE, YOUNG_UNTIL = 35.0, 65.0, 20.0


def result_of(visit: Visit, analysis: CaseAnalysis, taken: Sequence[Placed] = ()) -> Result:
    """Return the result of a visit that is opened up already; see ``reconcile``.

    ``taken`` are the outside results that are to join the range, if they may.
    """
    answer, settings = analysis.case.answer, analysis.case.settings
    listed = listed_equations(analysis, beside_the_range(analysis.case.people, settings))
    if not np.isfinite(answer.combined.estimate[0]):
        problem = Problem(
            "E203",
            "visit",
            "no equation can be used with what was measured",
            "Add weight and height, a waist, or the folds of one equation (foldspan equations).",
        )
        unknown = Measured(np.array([np.nan]), np.array([np.nan]))
        return Result(
            settings.scale,
            equations=listed,
            health=_health(visit, analysis, dict.fromkeys(SCALES, unknown)),
            caution_codes=caution_codes(visit, None),
            problems=(problem,),
            as_printed=settings.as_printed,
        )
    return _result(visit, analysis, listed, join(answer, settings, taken))


def _health(visit: Visit, analysis: CaseAnalysis, fat: Mapping[str, Measured]) -> Health:
    return health_of(
        visit,
        analysis.case.people,
        fat,
        is_strong=visit.client.athlete or analysis.is_muscular,
        is_in_doubt=bool(analysis.doubted),
    )


def _result(
    visit: Visit, analysis: CaseAnalysis, listed: tuple[EquationResult, ...], joined: Joined
) -> Result:
    answer, settings = analysis.case.answer, analysis.case.settings
    combined = answer.combined
    present = [k for k in range(len(FAMILIES)) if np.isfinite(answer.families[k, 0])]
    block = answer.covariance[:, present][:, :, present]
    deviation = np.sqrt(np.diagonal(block[0]))
    fat = _spread(joined.estimate, joined.se)
    dof, q = int(combined.dof[0]), float(combined.q[0])
    assert fat.wide is not None
    return Result(
        scale=settings.scale,
        fat_percent=fat,
        fat_mass_kg=_mass(visit, fat, is_lean=False),
        lean_mass_kg=_mass(visit, fat, is_lean=True),
        verdict=analysis.case.verdict,
        misfit=Misfit(
            q,
            dof,
            combine.chance_of_misfit(q, dof) if dof else None,
            float(combined.inflation[0]),
        ),
        families=tuple(
            FamilyResult(
                family=FAMILIES[k],
                estimate=float(answer.families[k, 0]),
                se=float(deviation[place]),
                weight=joined.own * float(combined.weights[k, 0]),
                equations=tuple(
                    one.key for one in listed if one.used and one.family == FAMILIES[k]
                ),
            )
            for place, k in enumerate(present)
        ),
        equations=listed,
        correlation_order=tuple(FAMILIES[k] for k in present),
        correlation_matrix=tuple(map(tuple, block[0] / np.outer(deviation, deviation))),
        budget=budget(answer, joined),
        findings=spoken_findings(visit, analysis),
        health=_health(visit, analysis, fat_on_scales(analysis.case, joined)),
        caution_codes=caution_codes(visit, _unwidened_low(combined, joined, settings.scale)),
        local=local_used(analysis.case),
        as_printed=settings.as_printed,
    )


def _unwidened_low(combined: combine.Combined, joined: Joined, scale: Scale) -> float:
    """Lower end of the 95 % range on the density scale, where the least fat was stated.

    Before the widening: a quarrel of methods is no sign of low fat.
    """
    deviation = joined.se / (float(combined.inflation[0]) * joined.inflation)
    moved = SCALE_OFFSET if scale == "dxa" else 0.0
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

    return Spread(share(fat.estimate), weight * fat.se / 100.0, ends(fat.likely), ends(fat.wide))


def caution_codes(visit: Visit, low: float | None) -> tuple[str, ...]:
    """Return what to keep in mind of a visit, as keys of ``CAUTIONS``.

    ``low`` is the lower end of the 95 % range before any widening for misfit, on the density scale [% of
    weight]; None where there is no range.
    """
    client, accepted = visit.client, visit.accepted
    if client.age_years < ADULT_AGE or client.pregnant:
        return "screening", "eating"  # adult limits say nothing about a child or a pregnancy
    codes = ["screening", *([] if low is None else ["shared_error"]), "eating"]
    if low is not None and low < LEAST_FAT[client.sex]:
        codes.insert(0, "low_fat_women" if client.sex == "female" else "low_fat")
    if {"weight_kg", "height_cm"} <= set(accepted):
        bmi = accepted["weight_kg"].value / (accepted["height_cm"].value / 100.0) ** 2
        codes = ["large_body", *codes] if bmi >= LARGE_BMI else codes
    if client.age_years >= OLDER_AGE:
        codes.append("older")
    if ADULT_AGE <= client.age_years < YOUNG_UNTIL:
        codes.append("young_adult")
    return tuple(codes)

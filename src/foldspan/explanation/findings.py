"""Findings: coded reasons with their size in points of fat, for one person's result.

The words are in ``text/en/findings.py``. Findings come largest first; those without a size come
last.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.applicability import LEAVES_OUT, Fit
from foldspan.estimation.error_model import REFERENCE_OFFSET
from foldspan.estimation.families.combine import verdicts
from foldspan.estimation.pipeline import Reconciled
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import Pair, pair
from foldspan.numerics.ordered_sums import inner, quadratic

FINDING_CODES: dict[str, str] = {
    "families_apart": "the highest and lowest method groups differ by this much",
    "slip": "one reading, if recorded differently, would make the visit far more consistent",
    "reference_method": "the two methods have different reference methods",
    "age_term": "the equations treat age differently at an age far from the average",
    "usual_gap": "these methods normally differ this much in people of this size",
    "more_muscle": "limb muscle is greater than weight and height predict",
    "less_muscle": "limb muscle is less than weight and height predict",
    "belly_fat": (
        "the waist is large for the skinfolds: skinfolds do not measure fat inside the abdomen"
    ),
    "fat_under_skin": "the waist is small for the skinfolds: more fat lies under the skin",
    "trunk_fat": "trunk skinfolds are thick compared with limb skinfolds",
    "limb_fat": "limb skinfolds are thick compared with trunk skinfolds",
    "conversion": "the conversion from density to fat was made for other people",
    "unsure_readings": "readings that differ, or reached the end of the calliper's scale",
    "bmi_reads_high": (
        "BMI-based equations give more than all other methods; muscle was not measured"
    ),
    "bmi_reads_low": (
        "BMI-based equations give less than all other methods; muscle was not measured"
    ),
    "background": "a correction for the stated background moved the estimate",
    "scale_moved": "converting to one reference method moved the estimate by this much",
    "local_correction": "your local correction moved the estimate by this much",
    "site_correction": "your local correction of the two methods",
    "waist_stood_in": "a waist at another level was used; this adds uncertainty",
    "outside_limits": "equations are used outside their sample; this adds uncertainty",
    "site_variant": "a skinfold was taken at a different version of its site",
    "unsteady_reading": "three readings of a site do not agree",
    "third_reading_missing": "two readings of a site differ by more than allowed",
    "scale_end": "a reading reached the end of the calliper's scale",
    "over_clothing": "a girth was measured over clothing",
    "left_side": "a site was measured on the left",
    "single_family": "only one method group could be used",
    "rarely_together": "two measurements rarely found in the same person",
    "unusual_value": "a very unusual value was used as entered",
}
"""Code → meaning; docs/findings.md lists the same codes."""

# reasons of a pair that are findings of the whole visit too; the others have a finding of their own
OF_THE_VISIT = (
    "slip",
    "more_muscle",
    "less_muscle",
    "belly_fat",
    "fat_under_skin",
    "trunk_fat",
    "limb_fat",
    "age_term",
    "usual_gap",
    "conversion",
)
# weight for height is called out from this many of its own standard errors on, and this many points
BMI_APART_SE, BMI_APART_POINTS = 1.5, 3.0
# contributions below this are not worth a line [points]
SMALLEST = 0.5
# equations that read differently as a matter of course are a finding only from here on [points]
LEAST_USUAL = 1.5


@dataclass(frozen=True, slots=True)
class Finding:
    """One coded reason.

    ``points`` is None where it has no size; ``about`` names what it concerns, ``between`` the higher
    and the lower method where it is a reason of their difference.
    """

    code: str
    points: float | None
    about: tuple[str, ...] = ()
    detail: Mapping[str, float] = field(default_factory=dict)
    verdict: str = ""
    between: tuple[str, ...] = ()


def present_families(result: Reconciled) -> list[int]:
    """Rows of the families that have a value for person 0, the highest first."""
    present = [k for k in range(len(FAMILIES)) if np.isfinite(result.families[k, 0])]
    return sorted(present, key=lambda k: -float(result.families[k, 0]))


def all_pairs(analysis: CaseAnalysis) -> list[Pair]:
    """Every two families that have a value, the higher first, the pair that is furthest apart first."""
    names = [FAMILIES[k] for k in present_families(analysis.case.answer)]
    pairs = [pair(analysis, first, second) for first, second in combinations(names, 2)]
    return sorted(pairs, key=lambda two_methods: -abs(two_methods.on_reference_method))


def findings_for(analysis: CaseAnalysis) -> list[Finding]:
    """Return the findings that the arrays tell for person 0: difference, slip, then largest first."""
    result = analysis.case.answer
    present = present_families(result)
    findings: list[Finding] = []
    if len(present) == 1:
        findings.append(Finding("single_family", None, (FAMILIES[present[0]],)))
        findings += _slip_alone(analysis)
    if len(present) > 1:
        high, low = FAMILIES[present[0]], FAMILIES[present[-1]]
        findings += _families_apart(analysis, pair(analysis, high, low))
    findings += _from_budget(analysis) + _from_background(analysis)
    # the difference, then what to measure again, then the reasons by size
    first = {"families_apart": 0, "slip": 1}
    return sorted(
        findings, key=lambda finding: (first.get(finding.code, 2), -abs(finding.points or 0.0))
    )


def _families_apart(analysis: CaseAnalysis, headline: Pair) -> list[Finding]:
    combined = analysis.case.answer.combined
    high, low = headline.between
    values = {name: analysis.case.answer.families[FAMILIES.index(name), 0] for name in (high, low)}
    findings = [
        Finding(
            "families_apart",
            float(values[high] - values[low]),
            (high, low),
            {"by_chance": headline.by_chance},
            str(verdicts(combined.q, combined.dof)[0]),
        )
    ]
    for reason in headline.reasons:
        least = LEAST_USUAL if reason.code in ("usual_gap", "age_term") else SMALLEST
        if reason.code in OF_THE_VISIT and abs(reason.points) >= least:
            findings.append(
                Finding(
                    reason.code, reason.points, reason.about, reason.detail, between=(high, low)
                )
            )
    if not any(finding.code == "slip" for finding in findings):
        findings += _slip_alone(analysis)
    return findings + _weight_alone(analysis)


def _slip_alone(analysis: CaseAnalysis) -> list[Finding]:
    """The readings to doubt, where no points can be put to one of them."""
    if not analysis.doubted:
        return []
    kinds = {suspect.kind for suspect in analysis.doubted}
    names = dict.fromkeys(name for suspect in analysis.doubted for name in suspect.names)
    kind = analysis.doubted[0].kind if len(kinds) == 1 else ""
    return [Finding("slip", None, (kind, *names), {"gain": analysis.doubted[0].gain})]


def _weight_alone(analysis: CaseAnalysis) -> list[Finding]:
    """Weight for height above or below all others, where no limb girth can tell muscle."""
    result = analysis.case.answer
    values, bmi = result.families[:, 0], FAMILIES.index("mass_height")
    others = [k for k in present_families(result) if k != bmi]
    if any(sign.name == "muscle" for sign in analysis.signs) or not others:
        return []
    if not np.isfinite(values[bmi]):
        return []
    gap = float(values[bmi] - np.mean(values[others]))
    contrast = np.zeros(len(FAMILIES))
    contrast[bmi] = 1.0
    contrast[others] = -1.0 / len(others)
    spread = float(np.sqrt(quadratic(contrast, np.nan_to_num(result.covariance[0]))))
    # only where it stands alone: above all the others, or below all of them
    alone = values[bmi] > values[others].max() or values[bmi] < values[others].min()
    if not alone or abs(gap) < max(BMI_APART_POINTS, BMI_APART_SE * spread):
        return []
    code = "bmi_reads_high" if gap > 0 else "bmi_reads_low"
    return [Finding(code, abs(gap), ("mass_height",), {"by_chance": spread})]


def _from_budget(analysis: CaseAnalysis) -> list[Finding]:
    case = analysis.case
    result, settings = case.answer, case.settings
    weights = result.combined.weights[:, 0]

    def share(block: str) -> float:
        return float(np.sqrt(max(quadratic(weights, result.blocks[block][0]), 0.0)))

    findings: list[Finding] = []
    # a levelled equation was tried on the scale itself: what it is moved by is no matter
    moved = np.array([card.reference_method != settings.reference_method for card in result.cards])
    moved = moved * (1.0 - analysis.levelled)
    family = np.array([FAMILIES.index(card.method) for card in result.cards])
    moved_weight = float(np.sum(weights[family] * result.weights[:, 0] * moved))
    if moved_weight * REFERENCE_OFFSET >= SMALLEST:
        findings.append(
            Finding("scale_moved", moved_weight * REFERENCE_OFFSET, (settings.reference_method,))
        )
    learnt = settings.local.by_sex.get(case.people.sex) if settings.local is not None else None
    if learnt is not None:
        moved_by = sum(
            weights[FAMILIES.index(name)] * offset
            for name, offset in zip(learnt.families, learnt.offset, strict=True)
        )
        about = (f"{learnt.n}", "down" if moved_by > 0 else "up")
        findings.append(Finding("local_correction", abs(float(moved_by)), about))
    bridged = {name: str(source[0]) for name, source in result.bridges.items() if source[0]}
    if share("waist_site") >= SMALLEST:
        findings.append(
            Finding("waist_stood_in", share("waist_site"), tuple(sorted(set(bridged.values()))))
        )
    used = (result.flags[:, 0] & int(LEAVES_OUT)) == 0
    if share("limits") >= SMALLEST:
        beyond = _beyond(result, used, analysis.levelled)
        findings.append(Finding("outside_limits", share("limits"), beyond))
    if any(bits & int(Fit.SITE_DIFFERS) for bits in result.flags[used, 0]):
        findings.append(Finding("site_variant", None))
    return findings


def _from_background(analysis: CaseAnalysis) -> list[Finding]:
    """What the methods read off in adults of the stated background, as far as it moved the answer."""
    result = analysis.case.answer
    family = [FAMILIES.index(card.method) for card in result.cards]
    card_weights = result.combined.weights[family, 0] * result.weights[:, 0]
    points = inner(card_weights, analysis.for_background)
    if not np.any(analysis.for_background[card_weights > 0.0]):
        return []
    return [Finding("background", abs(points), ("", "high" if points > 0.0 else "low"))]


def _beyond(result: Reconciled, used: Array, levelled: Array) -> tuple[str, ...]:
    """By what the client lies outside samples; an age outside adds nothing to a levelled equation."""
    flags = np.where(
        levelled == 1.0, result.flags[:, 0] & ~int(Fit.OUTSIDE_AGE), result.flags[:, 0]
    )
    bits = int(np.bitwise_or.reduce(flags[used])) if used.any() else 0
    names = ((Fit.OUTSIDE_AGE, "age"), (Fit.OUTSIDE_SPAN, "size"))
    return tuple(word for flag, word in names if bits & int(flag))

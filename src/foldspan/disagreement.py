"""Findings: coded reasons with their size in points of fat, for one person's result.

The words are in ``wording.py``. Findings come largest first; those without a size come last.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from foldspan.agreement import verdicts
from foldspan.applicability import LEAVES_OUT, Fit
from foldspan.catalogue.card import FAMILIES, Array
from foldspan.errormodel import SCALE_OFFSET
from foldspan.quantities import Sex
from foldspan.reconciliation import Reconciled, Settings

FINDING_CODES: dict[str, str] = {
    "families_apart": "the highest and the lowest family differ by this much",
    "bmi_reads_high": "weight for height reads this much above the other methods",
    "bmi_reads_low": "weight for height reads this much below the other methods",
    "scale_moved": "methods from the other scale moved the answer by this much",
    "local_correction": "the site's own correction moved the answer by this much",
    "waist_stood_in": "a waist at another level was used; adds this uncertainty",
    "outside_limits": "equations are used beyond their sample; adds this uncertainty",
    "site_variant": "a fold was taken at another variant of its site",
    "unsteady_reading": "three readings of a site stay far apart",
    "third_reading_missing": "two readings of a site differ by more than the tolerance",
    "scale_end": "a reading stopped at the end of the calliper's scale",
    "single_family": "only one family of methods could be used",
    "unusual_value": "a very unusual value was used as given",
}
"""Code → meaning; docs/findings.md lists the same codes."""

# weight for height is called out from this many of its own standard errors on, and this many points
BMI_APART_SE, BMI_APART_POINTS = 1.5, 3.0
# contributions below this are not worth a line [points]
SMALLEST = 0.5


@dataclass(frozen=True, slots=True)
class Finding:
    """One coded reason; ``points`` is None where it has no size, ``about`` names what it concerns."""

    code: str
    points: float | None
    about: tuple[str, ...] = ()
    detail: dict[str, float] = field(default_factory=dict)
    verdict: str = ""


def pair_difference(result: Reconciled, one: int, other: int) -> tuple[float, float]:
    """Difference of two families for person 0, and the standard deviation that chance allows."""
    c = result.covariance[0]
    difference = float(result.families[one, 0] - result.families[other, 0])
    variance = c[one, one] + c[other, other] - 2.0 * c[one, other]
    return difference, float(np.sqrt(max(variance, 0.0)))


def findings_for(result: Reconciled, settings: Settings, sex: Sex) -> list[Finding]:
    """Return the findings that the arrays tell for person 0, largest first."""
    present = [k for k in range(len(FAMILIES)) if np.isfinite(result.families[k, 0])]
    found: list[Finding] = []
    if len(present) == 1:
        found.append(Finding("single_family", None, (FAMILIES[present[0]],)))
    if len(present) > 1:
        found += _families_apart(result, present)
    found += _from_budget(result, settings, sex)
    return sorted(found, key=lambda finding: -(finding.points or 0.0))


def _families_apart(result: Reconciled, present: list[int]) -> list[Finding]:
    values = result.families[:, 0]
    high = max(present, key=lambda k: values[k])
    low = min(present, key=lambda k: values[k])
    difference, by_chance = pair_difference(result, high, low)
    found = [
        Finding(
            "families_apart",
            difference,
            (FAMILIES[high], FAMILIES[low]),
            {"by_chance": by_chance},
            str(verdicts(result.combined.q, result.combined.dof)[0]),
        )
    ]
    bmi = FAMILIES.index("mass_height")
    others = [k for k in present if k != bmi]
    if bmi in present and others:
        mean = float(np.mean(values[others]))
        gap = float(values[bmi]) - mean
        contrast = np.zeros(len(FAMILIES))
        contrast[bmi] = 1.0
        contrast[others] = -1.0 / len(others)
        within = np.nan_to_num(result.covariance[0])
        spread = float(np.sqrt(contrast @ within @ contrast))
        # only where it stands alone: above all the others, or below all of them
        alone = values[bmi] > values[others].max() or values[bmi] < values[others].min()
        if alone and abs(gap) >= max(BMI_APART_POINTS, BMI_APART_SE * spread):
            code = "bmi_reads_high" if gap > 0 else "bmi_reads_low"
            found.append(Finding(code, abs(gap), ("mass_height",), {"by_chance": spread}))
    return found


def _from_budget(result: Reconciled, settings: Settings, sex: Sex) -> list[Finding]:
    weights = result.combined.weights[:, 0]

    def share(block: str) -> float:
        return float(np.sqrt(max(weights @ result.blocks[block][0] @ weights, 0.0)))

    found: list[Finding] = []
    moved = np.array([card.scale != settings.scale for card in result.cards])
    family = np.array([FAMILIES.index(card.family) for card in result.cards])
    pull = float(np.sum(weights[family] * result.weights[:, 0] * moved))
    if pull * SCALE_OFFSET >= SMALLEST:
        found.append(Finding("scale_moved", pull * SCALE_OFFSET, (settings.scale,)))
    learnt = settings.local.by_sex.get(sex) if settings.local is not None else None
    if learnt is not None:
        moved_by = sum(
            weights[FAMILIES.index(name)] * offset
            for name, offset in zip(learnt.families, learnt.offset, strict=True)
        )
        about = (f"{learnt.n}", "down" if moved_by > 0 else "up")
        found.append(Finding("local_correction", abs(float(moved_by)), about))
    bridged = {name: str(source[0]) for name, source in result.bridges.items() if source[0]}
    if share("waist_site") >= SMALLEST:
        found.append(
            Finding("waist_stood_in", share("waist_site"), tuple(sorted(set(bridged.values()))))
        )
    used = (result.flags[:, 0] & int(LEAVES_OUT)) == 0
    if share("limits") >= SMALLEST:
        found.append(Finding("outside_limits", share("limits"), _beyond(result, used)))
    if any(bits & int(Fit.SITE_DIFFERS) for bits in result.flags[used, 0]):
        found.append(Finding("site_variant", None))
    return found


def _beyond(result: Reconciled, used: Array) -> tuple[str, ...]:
    bits = int(np.bitwise_or.reduce(result.flags[used, 0])) if used.any() else 0
    names = ((Fit.OUTSIDE_AGE, "age"), (Fit.OUTSIDE_SPAN, "size"))
    return tuple(word for flag, word in names if bits & int(flag))

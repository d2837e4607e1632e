"""Flag grounds: what was measured or told behind each flag of one visit, in words for a clinician.

A letter names what was found with this client, never the list of what a rule could have found.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np

from foldspan.estimation.combine import Z_WIDE, interval
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.referral import Raised
from foldspan.interpretation.referral_measured import STRAIN, WAIST_TO_HEIGHT
from foldspan.interpretation.referral_self_reported import WEAK
from foldspan.results.intake_answers import loss_words, pressure_words, self_reported_words
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.referral_rules import SMALL_CALF_ASIAN, WEAK_GRIP, WEAK_GRIP_ASIAN, Rule
from foldspan.visit.model import Visit

# what a rule reads beside its ``Rule.intake_words``, by its code; see ``interpretation/referral.py``
READS: dict[str, tuple[str, ...]] = {
    "belly_urgent": ("tight_belly", "ascites", "yellow_skin", "fever", "vomiting_or_drowsy"),
    "thirst_urgent": ("thirst_and_urine", "vomiting_or_drowsy"),
    "pregnancy_signs": ("pregnant", "swelling"),
    "eating_concern": ("eating_concern",),
    "periods_stopped": ("periods_stopped",),
    "weakness": WEAK,
    "muscle_signs": WEAK,
    "muscle_and_weight": WEAK,
    "weight_with_signs": STRAIN,
    "bmi_low_for_illness": ("eating_little",),
}
OF_A_LOSS = ("bmi_low_with_loss", "bmi_low_for_illness", "lean_low_with_loss")
RAISED_PRESSURE = ("weight_with_signs", "pregnancy_signs")
STRONG_LIMBS = "limbs show more muscle than usual for this weight and height"


def grounds_of(raised_flag: Raised, visit: Visit, indices: Indices | None) -> str:
    """Return what stands behind a flag, its parts joined by semicolons; "" where nothing is to name.

    Parameters
    ----------
    one : Raised
        The flag.
    visit : Visit
        Of which it was raised.
    indices : Indices, optional
        Of the same visit; None where there is no adult range.
    """
    rule, intake = raised_flag.rule, visit.intake
    parts = [_measured(rule, indices)]
    if rule.ladder == "loss" or rule.code in OF_A_LOSS:
        parts.append(_with("weight", loss_words(visit)))
    if rule.ladder == "pressure" or rule.code in RAISED_PRESSURE:
        parts.append(_with("blood pressure", pressure_words(intake)))
    if rule.code == "recent_surgery" and intake.surgery_months_ago is not None:
        parts.append(f"operation {intake.surgery_months_ago:g} months ago")
    if rule.code == "pregnancy_signs" and intake.birth_months_ago is not None:
        parts.append(f"birth {intake.birth_months_ago:g} months ago")
    if rule.ladder == "muscle":
        parts += _weak_parts(visit)
    if rule.code == "strong_build":
        parts.append("told: athlete" if visit.client.athlete else STRONG_LIMBS)
    parts.append(_with("told:", _words_that_count(rule, visit)))
    return "; ".join(part for part in parts if part)


def _weak_parts(visit: Visit) -> list[str]:
    """Which measures of muscle lie below their limits, without a unit: a page has its own."""
    sex, is_asian = visit.client.known_sex or "", visit.client.background in ASIAN_BACKGROUNDS
    grip, calf = visit.intake.grip_kg, visit.accepted.get("calf_girth_cm")
    limit = (WEAK_GRIP_ASIAN if is_asian else WEAK_GRIP).get(sex, 0.0)
    parts = ["weak grip"] if grip is not None and grip < limit else []
    is_small = is_asian and calf is not None and calf.value < SMALL_CALF_ASIAN.get(sex, 0.0)
    return parts + (["small calf"] if is_small else [])


def _with(name: str, words: str) -> str:
    return f"{name} {words}" if words else ""


def _words_that_count(rule: Rule, visit: Visit) -> str:
    """The words that the rule reads and that were told."""
    return _words_among(rule, visit.intake.words, is_pregnant=visit.client.pregnant)


def _words_among(rule: Rule, reported: Collection[str], *, is_pregnant: bool) -> str:
    more = ("eating_concern", "periods_stopped") if rule.ladder == "loss" else ()
    words = dict.fromkeys((*rule.intake_words, *READS.get(rule.code, ()), *more))
    found = self_reported_words(reported, words)
    return found or ("pregnant" if "pregnant" in words and is_pregnant else "")


def row_grounds(
    rule: Rule, reported: Collection[str], numbers: Mapping[str, str], *, is_pregnant: bool
) -> str:
    """Return what stands behind a flag of a row of which no visit can be made; "" for nothing to name.

    Parameters
    ----------
    rule : Rule
        Of the flag.
    reported : collection of str
        Words of the intake.
    numbers : mapping
        What was reported or measured in numbers, in words, by the names of ``SelfReported.numbers``
        and ``bmi``.
    is_pregnant : bool
        Whether a pregnancy was told.
    """
    asked = ["bmi"] if rule.ladder in ("low_weight", "high_weight") else []
    if rule.ladder == "loss" or rule.code in OF_A_LOSS:
        asked += ["loss_percent", "loss_months"]
    if rule.ladder == "pressure" or rule.code in RAISED_PRESSURE:
        asked += ["systolic", "diastolic"]
    asked += ["surgery_months_ago"] if rule.code == "recent_surgery" else []
    asked += ["birth_months_ago"] if rule.code == "pregnancy_signs" else []
    asked += ["grip_kg"] if rule.ladder == "muscle" else []
    parts = [numbers[name] for name in asked if name in numbers]
    parts.append(_with("told:", _words_among(rule, reported, is_pregnant=is_pregnant)))
    return "; ".join(part for part in parts if part)


def _measured(rule: Rule, indices: Indices | None) -> str:
    """The measures that a rule reads, of those that are known."""
    if indices is None:
        return ""
    fat, bmi = indices.fat["density"], indices.bmi.value[0]
    parts = []
    if rule.code == "muscle_signs":
        return ""
    if rule.ladder in ("low_weight", "high_weight", "muscle") and np.isfinite(bmi):
        parts.append(f"body mass index {bmi:.1f}")
    if rule.ladder in ("high_weight", "muscle"):
        ratio = indices.of(WAIST_TO_HEIGHT).value[0]
        parts += [f"waist to height {ratio:.2f}"] if np.isfinite(ratio) else []
    if rule.ladder == "low_fat":
        low, high = interval(fat.value, fat.se, Z_WIDE)
        if np.isfinite(low[0]):
            parts.append(f"95 % range {low[0]:.1f} to {high[0]:.1f} %, density scale")
    if rule.ladder == "lean":
        lean = indices.mass_index("lean_mass_index", fat)
        if np.isfinite(lean.value[0]):
            parts.append(f"lean mass index {lean.value[0]:.1f} ± {lean.se[0]:.1f}")
    return ", ".join(parts)

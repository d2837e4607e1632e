"""Flag grounds: what was measured or told behind each flag, as codes and numbers.

A letter names what was found with this client, never the list of what a rule could have found.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date, timedelta

import numpy as np

from foldspan.estimation.families.combine import Z_WIDE, interval
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.referral import Raised
from foldspan.interpretation.referral_measured import STRAIN, WAIST_TO_HEIGHT
from foldspan.interpretation.referral_self_reported import WEAK
from foldspan.quantities import DAYS_A_MONTH
from foldspan.results.spoken import Ground
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.referral_rules import (
    RULES,
    SMALL_CALF_ASIAN,
    WEAK_GRIP,
    WEAK_GRIP_ASIAN,
    Rule,
)
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
# rules that read what was lost since an earlier visit → what that is
LOST_SINCE = {
    rule.code: "height" if rule.ladder == "height" else "weight"
    for rule in RULES
    if rule.ladder in ("loss", "height") or rule.code in (*OF_A_LOSS, "bmi_low_with_fast_loss")
}
RAISED_PRESSURE = ("weight_with_signs", "pregnancy_signs")


def grounds_of(flag: Raised, visit: Visit, indices: Indices | None) -> tuple[Ground, ...]:
    """Return what stands behind a flag; empty where nothing is to name.

    Parameters
    ----------
    flag : Raised
        The flag.
    visit : Visit
        Of which it was raised.
    indices : Indices, optional
        Of the same visit; None where there is no adult range.
    """
    rule, intake = flag.rule, visit.intake
    found = [] if indices is None else list(_measured(rule, indices))
    if rule.ladder == "loss" or rule.code in OF_A_LOSS:
        found += weight_changed(visit)
    reads_pressure = rule.ladder == "pressure" or rule.code in RAISED_PRESSURE
    if reads_pressure and intake.pressure_mmhg is not None:
        found.append(pressure_ground(intake.pressure_mmhg))
    if rule.code == "recent_surgery" and intake.surgery_months_ago is not None:
        found.append(Ground("operation", {"months": intake.surgery_months_ago}))
    if rule.code == "pregnancy_signs" and intake.birth_months_ago is not None:
        found.append(Ground("birth", {"months": intake.birth_months_ago}))
    if rule.ladder == "muscle":
        found += _weak_parts(visit)
    if rule.code == "strong_build":
        found.append(Ground("athlete" if visit.client.athlete else "strong_limbs"))
    found += _reported(rule, intake.words, is_pregnant=visit.client.pregnant)
    return tuple(found)


def row_grounds(
    rule: Rule, reported: Collection[str], numbers: Mapping[str, Ground], *, is_pregnant: bool
) -> tuple[Ground, ...]:
    """Return what stands behind a flag of a row of which no visit can be made; empty for nothing.

    Parameters
    ----------
    rule : Rule
        Of the flag.
    reported : collection of str
        Intake words.
    numbers : mapping
        What was reported or measured in numbers, by the names of ``SelfReported.numbers`` and ``bmi``.
    is_pregnant : bool
        Whether a pregnancy was told.
    """
    names = ["bmi"] if rule.ladder in ("low_weight", "high_weight") else []
    if rule.ladder == "loss" or rule.code in OF_A_LOSS:
        names += ["loss_percent", "loss_months"]
    if rule.ladder == "pressure" or rule.code in RAISED_PRESSURE:
        names += ["systolic", "diastolic"]
    names += ["surgery_months_ago"] if rule.code == "recent_surgery" else []
    names += ["birth_months_ago"] if rule.code == "pregnancy_signs" else []
    names += ["grip_kg"] if rule.ladder == "muscle" else []
    known = [numbers[name] for name in names if name in numbers]
    return (*known, *_reported(rule, reported, is_pregnant=is_pregnant))


def _measured(rule: Rule, indices: Indices) -> Iterator[Ground]:
    """The measures that a rule reads, of those that are known."""
    fat, bmi = indices.fat["density"], indices.bmi.value[0]
    if rule.code == "muscle_signs":
        return
    if rule.ladder in ("low_weight", "high_weight", "muscle") and np.isfinite(bmi):
        yield Ground("bmi", {"value": float(bmi)})
    if rule.ladder in ("high_weight", "muscle"):
        ratio = indices.of(WAIST_TO_HEIGHT).value[0]
        if np.isfinite(ratio):
            yield Ground("waist_to_height", {"value": float(ratio)})
    if rule.ladder == "low_fat":
        low, high = interval(fat.value, fat.se, Z_WIDE)
        if np.isfinite(low[0]):
            yield Ground("fat_range", {"low": float(low[0]), "high": float(high[0])})
    if rule.ladder == "lean":
        lean = indices.mass_index("fat_free_mass_index", fat)
        if np.isfinite(lean.value[0]):
            yield Ground(
                "fat_free_mass_index", {"value": float(lean.value[0]), "se": float(lean.se[0])}
            )


def pressure_ground(pressure: tuple[float, float]) -> Ground:
    """Return a blood pressure [mmHg] as what stands behind a flag."""
    return Ground("blood_pressure", dict(zip(("systolic", "diastolic"), pressure, strict=True)))


def weight_changed(visit: Visit) -> Iterator[Ground]:
    """How much the weight changed since one that was told, and whether a loss was wanted."""
    intake, now = visit.intake, visit.accepted.get("weight_kg")
    before, months = intake.earlier_weight_kg, intake.months_ago
    if before is None or now is None:
        return
    numbers = {"percent": 100.0 * (now.value - before) / before}
    numbers |= {} if months is None else {"months": months}
    wanted = {None: "not_noted", True: "wanted", False: "not_wanted"}[intake.loss_wanted]
    words = (wanted,) if numbers["percent"] < 0.0 else ()
    yield Ground("weight", numbers, words, day_of_earlier_weight(visit))


def day_of_earlier_weight(visit: Visit) -> date | None:
    """Return about which day the earlier weight was that was told, None where that is not known."""
    months = visit.intake.months_ago
    if months is None or visit.day is None:
        return None
    return visit.day - timedelta(days=months * DAYS_A_MONTH)


def _weak_parts(visit: Visit) -> Iterator[Ground]:
    """Which measures of muscle lie below their limits."""
    sex, is_asian = visit.client.known_sex or "", visit.client.background in ASIAN_BACKGROUNDS
    grip, calf = visit.intake.grip_kg, visit.accepted.get("calf_girth_cm")
    limit = (WEAK_GRIP_ASIAN if is_asian else WEAK_GRIP).get(sex, 0.0)
    if grip is not None and grip < limit:
        yield Ground("weak_grip")
    if is_asian and calf is not None and calf.value < SMALL_CALF_ASIAN.get(sex, 0.0):
        yield Ground("small_calf")


def _reported(rule: Rule, reported: Collection[str], *, is_pregnant: bool) -> Iterator[Ground]:
    """The words that the rule reads and that were told."""
    more = ("eating_concern", "periods_stopped") if rule.ladder == "loss" else ()
    read = dict.fromkeys((*rule.intake_words, *READS.get(rule.code, ()), *more))
    words = tuple(word for word in read if word in reported)
    if words or ("pregnant" in read and is_pregnant):
        yield Ground("told", words=words or ("pregnant",))

"""Referral, measured: chances of the rules that rest on weight, height, waist, fat and muscle.

The chance of a rule is that the true value is beyond its limit, given the errors.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.estimation.other_reference import Bounds
from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.classification import LEAST_PROBABILITY
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.lean_folds import sum_of_seven
from foldspan.interpretation.measured import Measured, chance_below, zero_where_unknown
from foldspan.interpretation.referral_self_reported import (
    Chances,
    as_chance,
    fast_loss,
    pressure,
    some_loss,
    unplanned,
    weak_muscle,
)
from foldspan.numerics.normal import quantile
from foldspan.standards import STANDARD_BY_KEY, referral_rules
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.growth_thinness import thin_below
from foldspan.standards.referral_rules import ROUNDING, RULE_BY_CODE, SURE_AT

WHO_BMI = STANDARD_BY_KEY["who2000_bmi"]
LOWER_BMI = STANDARD_BY_KEY["nice2023_bmi_background"]
WAIST_TO_HEIGHT = STANDARD_BY_KEY["nice2022_waist_to_height"]
# Intake words that make much weight a matter for a doctor.
STRAIN = ("high_blood_pressure", "diabetes", "sleepy_snoring", "joint_pain")


def measured_chances(indices: Indices, reported: SelfReported, is_strong: BoolArray) -> Chances:
    """Return the rules about the weight, waist, fat and muscle of N adults."""
    chances = low_weight(indices, reported) | high_weight(indices, reported, is_strong)
    if indices.sex:
        chances |= low_fat_body(indices) | low_fat_free_mass(indices, reported)
    chances |= low_muscle(indices, reported)
    chances["strong_build"] = as_chance(is_strong & bmi_may_be_high(indices))
    return chances


def bmi_may_be_high(indices: Indices) -> Array:
    """Whether weight for height may be above the usual band, where a strong build would mislead."""
    chance = indices.bmi.at_least(WHO_BMI.limits[3])
    return np.asarray(zero_where_unknown(chance) >= LEAST_PROBABILITY)


def low_weight(indices: Indices, reported: SelfReported) -> Chances:
    """Return the rules about a low weight for height in adults."""
    severe, clear, low, *_ = indices.bmi.below_each(WHO_BMI.limits)
    found = {"bmi_severely_low": severe, "bmi_clearly_low": clear, "bmi_low": low}
    found |= low_weight_older(indices.age, indices.bmi)
    if reported.has("loss_percent"):
        found["bmi_low_with_fast_loss"] = low * fast_loss(reported)
        found["bmi_low_with_loss"] = low * some_loss(reported)
    if reported.has("loss_percent", "eating_little"):
        found["bmi_low_for_illness"] = _low_for_illness(indices, reported)
    return found


def low_weight_older(age: Array, bmi: Measured) -> Chances:
    """Return the rules about a weight that is low at an older age; 0 below that age."""
    low, light = bmi.below_each((referral_rules.OLDER_LOW_BMI, referral_rules.OLDER_LIGHT_BMI))
    with np.errstate(invalid="ignore"):
        old, older = age >= referral_rules.MUSCLE_AGE, age >= referral_rules.ILLNESS_AGE
    return {
        "bmi_low_older": np.where(older, low, 0.0),
        "bmi_light_older": np.where(old, light, 0.0),
    }


def height_lost(age: Array, before: Measured, now: Measured) -> Chances:
    """Return the rule about height [cm] lost since an earlier visit; 0 below the age it is for."""
    lost = Measured(before.value - now.value, np.hypot(before.se, now.se))
    with np.errstate(invalid="ignore"):
        old = age >= referral_rules.HEIGHT_AGE
    return {
        "height_lost": np.where(
            old, zero_where_unknown(lost.at_least(referral_rules.HEIGHT_LOST)), 0.0
        )
    }


def thin_for_age(sex: str, age: Array, bmi: Measured) -> Chances:
    """Return the rules about a low weight for height under 18, by the growth reference."""
    severe, thin = thin_below(sex, age)
    return {
        "thin_for_age_severely": chance_below(severe, bmi.value, bmi.se),
        "thin_for_age": chance_below(thin, bmi.value, bmi.se),
    }


def limits_of_weight() -> tuple[float, ...]:
    """Return every limit of the body mass index [kg/m²] that a rule about a low weight knows."""
    least = WHO_BMI.limits[0] * (1.0 - referral_rules.LARGEST_LIMB)
    return (*WHO_BMI.limits, referral_rules.OLDER_LOW_BMI, referral_rules.OLDER_LIGHT_BMI, least)


def limb_missing(bmi: Measured) -> Chances:
    """Return the rules about a low weight where a limb, or part of one, is missing.

    How much is missing is not asked. Below the first limit weight would be severely low even if it were
    a whole leg; below the second it would be clearly low if next to nothing were.
    """
    severe, clear = WHO_BMI.limits[:2]
    least = severe * (1.0 - referral_rules.LARGEST_LIMB)
    return {
        "low_weight_limb_severely": bmi.below(least),
        "low_weight_limb": bmi.below(clear),
    }


def _low_for_illness(indices: Indices, reported: SelfReported) -> Array:
    """Chance of a weight that is low for somebody who is ill, eats little or loses weight."""
    bmi, asian = indices.bmi, indices.is_among(ASIAN_BACKGROUNDS)
    old = (indices.age >= referral_rules.ILLNESS_AGE).astype(int)
    limit = np.where(
        asian,
        np.array(referral_rules.ILLNESS_BMI_ASIAN)[old],
        np.array(referral_rules.ILLNESS_BMI)[old],
    )
    cause = np.maximum(unplanned(reported), as_chance(reported.any_of("eating_little")))
    return chance_below(limit, bmi.value, bmi.se) * cause


def high_weight(indices: Indices, reported: SelfReported, is_strong: BoolArray) -> Chances:
    """Return the rules about much weight or waist for height; none of them goes by fat."""
    bmi = indices.bmi
    ratio = indices.of(WAIST_TO_HEIGHT)
    half, six_tenths = (1.0 - chance for chance in ratio.below_each(WAIST_TO_HEIGHT.limits)[1:])
    if reported.has("hernia", "stoma"):  # they make the waist mean something else
        void = reported.any_of("hernia", "stoma")
        half, six_tenths = np.where(void, 0.0, half), np.where(void, 0.0, six_tenths)
    # of a strong build weight alone tells nothing: the waist has to say so too
    carried = np.where(is_strong, zero_where_unknown(half), 1.0) if is_strong.any() else 1.0
    low, high, above = WHO_BMI.limits[2], WHO_BMI.limits[3], WAIST_TO_HEIGHT.bmi[1]
    assert above is not None
    usual = bmi.below(high) - bmi.below(low)
    found = {
        "bmi_very_far_above": _high_chance(indices, 2) * carried,
        "bmi_far_above": _high_chance(indices, 1) * carried,
        "waist_six_tenths": six_tenths * bmi.below(above),
        "central_fat": half * usual,
    }
    # a waist that is not known does not speak against it
    waist = np.where(np.isnan(half), 1.0, half)
    found["weight_and_waist"] = _high_chance(indices, 0) * waist * carried
    if reported.has(*STRAIN, "systolic", "diastolic"):
        has_signs = as_chance(reported.any_of(*STRAIN))
        has_signs = np.maximum(pressure(reported).get("pressure_raised", has_signs), has_signs)
        large = np.maximum(
            _high_chance(indices, 0) * carried,
            zero_where_unknown(bmi.at_least(high) * half),
        )
        found["weight_with_signs"] = large * has_signs
    return found


def _high_chance(indices: Indices, place: int) -> Array:
    """Chance of body mass index in one of the three high classes, 0 to 2, or above it.

    The classes start lower in the backgrounds NICE names.
    """
    bmi = indices.bmi
    chance = bmi.at_least(WHO_BMI.limits[-3:][place])
    lower = np.flatnonzero(indices.is_among(LOWER_BMI.backgrounds))
    if lower.size:
        limit = LOWER_BMI.limits[-3:][place]
        chance[lower] = 1.0 - chance_below(limit, bmi.value[lower], bmi.se[lower])
    return chance


def low_fat_body(indices: Indices) -> Chances:
    """Return the rules about very little fat, by the range and by the folds themselves."""
    fat = indices.fat["density"]
    least, near = fat.below_each(
        (LEAST_FAT[indices.sex], referral_rules.NEAR_LEAST_FAT[indices.sex])
    )
    folds = sum_of_seven(indices)
    return {
        "fat_very_low": least,
        "folds_very_low": folds.below(referral_rules.LEAN_FOLDS[indices.sex]),
        "fat_near_minimum": near,
    }


def fat_matters(indices: Indices, reported: SelfReported, certain: Bounds) -> BoolArray:
    """For whom of N people a rule may be raised that goes by fat on the density scale, bool (N,).

    These are the rules of ``low_fat_body`` and ``low_fat_free_mass``; ``certain`` is what is certain on
    that scale. For anybody else none of them is raised, wherever in those bounds the answer lies:

    - Little fat is raised from a chance on that is below one half. The chance is at least one half where
      the estimate is below the limit; above it the chance is largest for the lowest estimate and the
      largest error.
    - Little lean mass is raised from one half on, or more. Such a chance wants a lean mass index below
      its limit; there it is largest for the most fat and the smallest error, which is that of fat alone.
    """
    near = referral_rules.NEAR_LEAST_FAT[indices.sex]
    with np.errstate(invalid="ignore", divide="ignore"):
        of_fat = (near - certain.low) / certain.most_se
        limit = STANDARD_BY_KEY[f"espen2015_lean_{indices.sex}"].limits[0]
        most_fat = Measured(certain.high, certain.least_se)
        lean = indices.mass_index("fat_free_mass_index", most_fat).value
        of_fat_free = (limit - lean) / (indices.bmi.value * certain.least_se / 100.0)
        wanted = np.full(indices.count, quantile(SURE_AT))
        if reported.has("loss_percent"):
            raised_at = RULE_BY_CODE["lean_low_with_loss"].raised_at
            wanted[~(unplanned(reported) <= 0.0)] = quantile(raised_at - ROUNDING)
        # what is not known may matter
        return ~((of_fat < quantile(referral_rules.LOW_FAT_AT - ROUNDING)) & (of_fat_free < wanted))


def low_fat_free_mass(indices: Indices, reported: SelfReported) -> Chances:
    """Return the rules about low lean mass for height."""
    standard = STANDARD_BY_KEY[f"espen2015_lean_{indices.sex}"]
    low = indices.of(standard).below(standard.limits[0])
    low = np.where(indices.is_among(standard.not_for), 0.0, low)
    with np.errstate(invalid="ignore"):
        sure = np.where(low >= SURE_AT, low, 0.0)
    if not reported.has("loss_percent"):
        return {"lean_low": sure}
    return {"lean_low_with_loss": low * unplanned(reported), "lean_low": sure}


def low_muscle(indices: Indices, reported: SelfReported) -> Chances:
    """Return the rules about signs of weak muscle, with much weight or waist and by themselves.

    Where the sex is not known calf and waist have no limit; a grip counts for a referral if it is weak
    for either sex, and by itself if it is weak for both; words count all the same.
    """
    sex = indices.sex
    sign = weak_muscle(reported, sex, indices.age, indices.background)
    asian = indices.is_among(ASIAN_BACKGROUNDS) & (indices.age >= referral_rules.GRIP_AGE)
    if sex and asian.any():
        calf = indices.measured("calf_girth_cm").below(referral_rules.SMALL_CALF_ASIAN[sex])
        sign = np.maximum(sign, np.where(asian, zero_where_unknown(calf), 0.0))
    referring = sign
    if not sex:
        referring = weak_muscle(reported, sex, indices.age, indices.background, either=True)
    if not referring.any():  # whatever the weight and the waist are
        return {"muscle_and_weight": sign, "muscle_signs": sign}
    much = zero_where_unknown(_high_chance(indices, 0))
    if sex:
        standard = STANDARD_BY_KEY[f"who2008_waist_{sex}"]
        much = np.maximum(
            much, zero_where_unknown(indices.of(standard).at_least(standard.limits[-1]))
        )
    older = np.asarray(indices.age >= referral_rules.MUSCLE_AGE, dtype=float)
    return {"muscle_and_weight": referring * much * older, "muscle_signs": sign}

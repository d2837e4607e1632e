"""Every rule, override and exception has a person whose flags change when it is taken out.

One person a line, and the exact list of flags. A line is there for one word, one branch or one exception
of ``interpretation/referral.py``, ``interpretation/referral_self_reported.py`` and
``interpretation/referral_measured.py``; whoever changes one of them finds it here. Weights stand
well off their limits, so that no line rests on a chance near its threshold.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldspan.intake.as_arrays import intake_as_arrays
from foldspan.intake.model import Intake
from foldspan.interpretation.indices import indices_of
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import chances_of, chances_without_range, raised, raised_flags
from foldspan.quantities import BY_NAME
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.standards.referral_rules import RULES

HEIGHT = 170.0
Facts = dict[str, Any]


def known(value: float, se: float) -> Measured:
    return Measured(np.array([value]), np.array([se]))


def says(*words: str, lost: tuple[float, float | None] | None = None, **facts: Any) -> Facts:
    """Words, and a loss of so many per cent in so many months."""
    return {"words": words, "lost": lost} | facts


def intake_of(facts: Facts, weight: float) -> Intake:
    rest = {name: value for name, value in facts.items() if name not in ("words", "lost")}
    if facts.get("lost"):
        percent, months = facts["lost"]
        rest |= {"earlier_weight_kg": weight / (1.0 - percent / 100.0), "months_ago": months}
    return Intake(words=tuple(facts.get("words", ())), **rest)


def adult(
    bmi: float = 22.0, waist: float | None = 0.45, facts: Facts | None = None, *, sex: str = "female",
    age: float = 40.0, background: str = "", fat: float = 28.0, strong: bool = False,
    sites: dict[str, float] | None = None,
) -> list[str]:  # fmt: skip
    """The flags of an adult who gets a range."""
    weight = bmi * (HEIGHT / 100.0) ** 2
    values = {"age_years": age, "weight_kg": weight, "height_cm": HEIGHT} | (sites or {})
    if waist is not None:
        values["waist_midpoint_cm"] = HEIGHT * waist
    columns = dict.fromkeys(BY_NAME, np.array([np.nan]))
    columns |= {name: np.array([value]) for name, value in values.items()}
    errors = {name: np.array([0.002 * abs(value)]) for name, value in values.items()}
    scales = {"density": known(fat, 2.0), "dxa": known(fat + 3.0, 2.0)}
    if not sex:
        scales = dict.fromkeys(scales, known(np.nan, np.nan))
    indices = indices_of(sex, columns, errors, np.array([background]), scales)  # type: ignore[arg-type]
    said = intake_as_arrays(intake_of(facts or {}, weight), weight, 0.002 * weight)
    return codes(chances_of(indices, said, is_strong=np.array([strong])))


def no_range(
    bmi: float = 22.0, facts: Facts | None = None, *, sex: str = "female", age: float = 30.0,
    background: str = "", expecting: bool = False,
) -> list[str]:  # fmt: skip
    """The flags of somebody who gets no range."""
    weight = bmi * (HEIGHT / 100.0) ** 2
    said = intake_as_arrays(intake_of(facts or {}, weight), weight, 0.002 * weight)
    chances = chances_without_range(
        said, sex, np.array([age]), np.array([background]), known(bmi, 0.05), is_expecting=expecting
    )
    return codes(chances)


def codes(chances: dict[str, Any]) -> list[str]:
    return sorted(flag.rule.code for flag in raised_flags(chances))


def pressure(upper: float, lower: float) -> Facts:
    return says(pressure_mmhg=(upper, lower))


WORRIES = ("eating_concern", "periods_stopped")
WEAK = ("weak", "slow", "falls")
STRAIN = ("high_blood_pressure", "diabetes", "sleepy_snoring", "joint_pain")
SEVEN = ("triceps", "biceps", "subscapular", "supraspinale", "abdominal", "thigh", "calf")
GROUPS = ("south_asian", "chinese", "japanese", "other_asian", "asian")


def folds(each: float, names: tuple[str, ...] = SEVEN) -> dict[str, float]:
    return {f"{name}_mm": each for name in names}


# what stands → the flags that are raised, and no others
SELF_REPORTED: list[tuple[list[str], list[str]]] = [
    (adult(), []),
    # belly and yellow skin, alone and together, with a sign that makes it urgent
    (adult(facts=says("tight_belly")), ["belly_fluid"]),
    (adult(facts=says("ascites")), ["belly_fluid"]),
    (adult(facts=says("yellow_skin")), ["yellow_skin"]),
    (adult(facts=says("tight_belly", "fever")), ["belly_urgent", "not_well"]),
    (adult(facts=says("ascites", "fever")), ["belly_urgent", "not_well"]),
    (adult(facts=says("tight_belly", "vomiting_or_drowsy")), ["belly_urgent", "not_well"]),
    (adult(facts=says("yellow_skin", "fever")), ["belly_urgent", "not_well", "yellow_skin"]),
    (adult(facts=says("yellow_skin", "vomiting_or_drowsy")),
     ["belly_urgent", "not_well", "yellow_skin"]),
    (adult(facts=says("tight_belly", "yellow_skin")), ["belly_urgent", "yellow_skin"]),
    (adult(facts=says("ascites", "yellow_skin")), ["belly_urgent", "yellow_skin"]),
    (adult(facts=says("fever")), ["not_well"]),
    (adult(facts=says("vomiting_or_drowsy")), ["not_well"]),
    (adult(facts=says("thirst_and_urine")), ["thirst_and_urine"]),
    (adult(facts=says("thirst_and_urine", "fever")), ["not_well", "thirst_and_urine"]),
    (adult(facts=says("thirst_and_urine", "vomiting_or_drowsy")), ["not_well", "thirst_urgent"]),
    (adult(facts=says("eating_concern")), ["eating_concern"]),
    (adult(facts=says(surgery_months_ago=2.9)), ["recent_surgery"]),
    (adult(facts=says(surgery_months_ago=3.0)), []),
    # periods, by age; of unknown age too
    (adult(facts=says("periods_stopped"), age=54.9), ["periods_stopped"]),
    (adult(facts=says("periods_stopped"), age=55.0), []),
    (no_range(facts=says("periods_stopped"), age=np.nan), ["periods_stopped"]),
    (no_range(facts=says("periods_stopped"), expecting=True), []),
    # blood pressure, each number by itself, and the limits themselves
    (adult(facts=pressure(140, 70)), ["pressure_raised"]),
    (adult(facts=pressure(139, 90)), ["pressure_raised"]),
    (adult(facts=pressure(139, 89)), []),
    (adult(facts=pressure(180, 70)), ["pressure_very_high"]),
    (adult(facts=pressure(139, 120)), ["pressure_very_high"]),
    (adult(facts=pressure(179, 119)), ["pressure_raised"]),
    (adult(facts=says(pressure_mmhg=(np.nan, 95.0))), ["pressure_raised"]),
    (adult(facts=says(pressure_mmhg=(185.0, np.nan))), ["pressure_very_high"]),
    # weakness before and from 65 on
    *((adult(facts=says(word), age=64.9), ["weakness"]) for word in WEAK),
    *((adult(facts=says(word), age=65.0), ["muscle_signs"]) for word in WEAK),
    *((no_range(facts=says(word), age=np.nan), ["weakness"]) for word in WEAK),
    *((no_range(facts=says(word), age=66.0), ["muscle_signs"]) for word in WEAK),
    (no_range(facts=says(grip_kg=15.5), age=70.0), ["muscle_signs"]),
    (no_range(facts=says(grip_kg=17.0), age=70.0, background="chinese"), ["muscle_signs"]),
    (no_range(facts=says(grip_kg=15.5), age=70.0, sex=""), ["muscle_signs"]),  # weak in both
    (no_range(facts=says(grip_kg=20.0), age=70.0, sex=""), []),
    # grip, by sex, background and age
    (adult(facts=says(grip_kg=15.9), age=60.0), ["muscle_signs"]),
    (adult(facts=says(grip_kg=15.9), age=59.9), []),
    (adult(facts=says(grip_kg=16.0), age=60.0), []),
    (adult(facts=says(grip_kg=26.9), age=60.0, sex="male", fat=20.0), ["muscle_signs"]),
    (adult(facts=says(grip_kg=27.0), age=60.0, sex="male", fat=20.0), []),
    *((adult(facts=says(grip_kg=17.9), age=60.0, background=group), ["muscle_signs"])
      for group in GROUPS),
    (adult(facts=says(grip_kg=18.0), age=60.0, background="asian"), []),
    (adult(facts=says(grip_kg=27.9), age=60.0, background="asian", sex="male", fat=20.0),
     ["muscle_signs"]),
    (adult(facts=says(grip_kg=17.9), age=60.0, background="white"), []),
    (adult(age=60.0, background="asian", sites={"calf_girth_cm": 32.0}), ["muscle_signs"]),
    (adult(age=60.0, background="asian", sites={"calf_girth_cm": 33.5}), []),
    (adult(age=60.0, background="asian", sites={"calf_girth_cm": 33.5}, sex="male", fat=20.0),
     ["muscle_signs"]),
    (adult(age=59.0, background="asian", sites={"calf_girth_cm": 32.0}), []),
    (adult(age=70.0, background="white", sites={"calf_girth_cm": 32.0}), []),
    (adult(age=70.0, background="asian", sites={"calf_girth_cm": 32.0}, sex=""), []),
]  # fmt: skip

LOSSES: list[tuple[list[str], list[str]]] = [
    (adult(facts=says(lost=(12.0, 6.0), loss_wanted=False)), ["loss_fast"]),
    (adult(facts=says(lost=(12.0, 7.0), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(7.0, 1.0), loss_wanted=False)), ["loss_fast"]),
    (adult(facts=says(lost=(7.0, 12.0), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(12.0, 40.0), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(7.0, 13.0), loss_wanted=False)), []),
    (adult(facts=says(lost=(3.0, 1.0), loss_wanted=False)), []),
    (adult(facts=says(lost=(7.0, 12.05), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(12.0, 6.0))), ["loss_large_not_asked"]),
    (adult(facts=says(lost=(7.0, 12.0))), ["loss_not_asked"]),
    # a time that nobody noted may have been a short one
    (adult(facts=says(lost=(12.0, None))), ["loss_large_undated"]),
    (adult(facts=says(lost=(9.0, None))), ["loss_not_asked"]),
    (adult(facts=says(lost=(3.0, None))), []),
    (adult(facts=says(lost=(7.0, None), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(12.0, None), loss_wanted=False)), ["loss_unplanned"]),
    (adult(facts=says(lost=(12.0, None), loss_wanted=True)), []),
    *((adult(facts=says(worry, lost=(7.0, None), loss_wanted=True)), sorted([worry, "loss_with_worry"]))
      for worry in WORRIES),
    (adult(18.0, 0.4, says(lost=(3.0, None), loss_wanted=True), background="asian"),
     ["bmi_low_with_loss"]),
    (adult(18.0, 0.4, says(lost=(12.0, None)), background="asian"),
     ["bmi_low_with_loss", "loss_large_undated"]),
    (adult(facts=says(lost=(12.0, 6.0), loss_wanted=True)), []),
    (adult(facts=says(lost=(9.0, 1.0), loss_wanted=True)), ["loss_planned_fast"]),
    # where eating is a worry or periods stopped no loss is taken for a planned one
    *((adult(facts=says(worry, lost=(11.3, 3.0), loss_wanted=True)), sorted([worry, "loss_with_worry"]))
      for worry in WORRIES),
    *((adult(facts=says(worry, lost=(9.0, 1.0), loss_wanted=True)), sorted([worry, "loss_with_worry"]))
      for worry in WORRIES),
    *((adult(facts=says(worry, lost=(11.3, 3.0))), sorted([worry, "loss_with_worry"]))
      for worry in WORRIES),
    *((adult(facts=says(worry, lost=(7.0, 8.0))), sorted([worry, "loss_with_worry"]))
      for worry in WORRIES),
    *((adult(facts=says(worry, lost=(11.3, 3.0), loss_wanted=False)), sorted([worry, "loss_fast"]))
      for worry in WORRIES),
    *((adult(facts=says(worry, lost=(3.0, 1.0), loss_wanted=True)), [worry]) for worry in WORRIES),
    *((adult(facts=says(worry, lost=(4.0, 0.4), loss_wanted=True)), [worry]) for worry in WORRIES),
    (adult(facts=says(lost=(4.0, 0.4), loss_wanted=True)), ["loss_planned_fast"]),
    # beside a low weight, little lean mass, an illness
    (adult(18.0, 0.4, says(lost=(3.0, 8.0), loss_wanted=True), background="asian"),
     ["bmi_low_with_loss"]),
    (adult(18.0, 0.4, says(lost=(3.0, 13.0), loss_wanted=True)), ["bmi_low", "lean_low"]),
    (adult(18.0, 0.4, says(lost=(11.5, 5.0), loss_wanted=True), background="asian"),
     ["bmi_low_with_fast_loss"]),
    (adult(16.5, 0.4, says(lost=(3.0, 8.0)), background="asian"), ["bmi_clearly_low"]),
    (adult(19.3, 0.42, says("eating_little"), fat=20.0), ["bmi_low_for_illness", "not_well"]),
    (adult(19.3, 0.42, says(lost=(3.0, 8.0), loss_wanted=False), fat=20.0), ["bmi_low_for_illness"]),
    (adult(19.3, 0.42, says(lost=(3.0, 8.0), loss_wanted=True), fat=20.0), []),
    (adult(19.3, 0.42, says(lost=(3.0, 8.0)), fat=20.0), []),
    *((adult(19.3, 0.42, says("eating_little"), background=group), ["not_well"]) for group in GROUPS),
    (adult(21.5, 0.42, says("eating_little"), age=70.0), ["bmi_low_for_illness", "not_well"]),
    (adult(21.5, 0.42, says("eating_little"), age=69.9), ["not_well"]),
    (adult(21.5, 0.42, says("eating_little"), age=70.0, background="asian"), ["not_well"]),
    (adult(20.4, 0.42, says("eating_little"), age=60.0), ["not_well"]),
    (adult(19.0, 0.42, says(lost=(4.0, 8.0), loss_wanted=False), fat=26.0),
     ["bmi_low_for_illness", "lean_low_with_loss"]),
    (adult(19.0, 0.42, says(lost=(4.0, 8.0), loss_wanted=True), fat=26.0), ["lean_low"]),
    (adult(19.0, 0.42, says(lost=(4.0, 8.0), loss_wanted=False), fat=26.0, background="chinese"), []),
]  # fmt: skip

MEASURED: list[tuple[list[str], list[str]]] = [
    (adult(15.5, 0.4, fat=18.0, background="asian"), ["bmi_severely_low"]),
    (adult(16.5, 0.4, fat=18.0, background="asian"), ["bmi_clearly_low"]),
    (adult(18.0, 0.4, fat=18.0, background="asian"), ["bmi_low"]),
    (adult(19.5, 0.43, age=70.0, fat=20.0), ["bmi_low_older"]),
    (adult(19.5, 0.43, age=69.9, fat=20.0), ["bmi_light_older"]),
    (adult(20.5, 0.43, age=65.0), ["bmi_light_older"]),
    (adult(20.5, 0.43, age=64.9), []),
    (adult(21.5, 0.43, age=80.0), []),
    # much weight and waist
    (adult(41.0, 0.7), ["bmi_very_far_above"]),
    (adult(38.5, 0.7), ["bmi_far_above"]),
    (adult(38.5, 0.7, background="black_african"), ["bmi_very_far_above"]),
    (adult(33.5, 0.57), ["weight_and_waist"]),
    (adult(33.5, 0.57, background="chinese"), ["bmi_far_above"]),
    (adult(28.5, 0.57), []),
    (adult(28.5, 0.57, background="south_asian"), ["weight_and_waist"]),
    (adult(33.5, None), ["weight_and_waist"]),
    (adult(33.5, 0.48), []),
    (adult(33.5, 0.62), ["waist_six_tenths"]),
    (adult(28.5, 0.62), ["waist_six_tenths"]),
    (adult(23.0, 0.53), ["central_fat"]),
    (adult(26.0, 0.53), []),
    (adult(23.0, 0.47), []),
    (adult(23.0, 0.62), ["waist_six_tenths"]),
    (adult(19.5, 0.53, age=72.0, fat=20.0), ["bmi_low_older"]),
    *((adult(23.0, 0.53, says(word)), ["belly_not_valid"]) for word in ("hernia", "stoma")),
    *((adult(28.5, 0.62, says(word)), ["belly_not_valid"]) for word in ("hernia", "stoma")),
    # of a strong build weight alone tells nothing
    (adult(36.0, 0.45, strong=True), ["strong_build"]),
    (adult(41.0, 0.45, strong=True), ["strong_build"]),
    (adult(33.0, None, strong=True), ["strong_build"]),
    (adult(36.0, 0.57, strong=True), ["bmi_far_above", "strong_build"]),
    (adult(41.0, 0.57, strong=True), ["bmi_very_far_above", "strong_build"]),
    (adult(22.0, 0.45, strong=True), []),
    # much weight and a sign
    *((adult(31.0, 0.48, says(word)), ["weight_with_signs"]) for word in STRAIN),
    (adult(31.0, 0.48, pressure(145, 85)), ["pressure_raised", "weight_with_signs"]),
    (adult(31.0, 0.48, says("diabetes", pressure_mmhg=(120.0, 70.0))), ["weight_with_signs"]),
    (adult(31.0, 0.48, pressure(120, 70)), []),
    (adult(31.0, 0.48, says("diabetes"), strong=True), ["strong_build"]),
    (adult(31.0, None, says("diabetes")), ["weight_with_signs"]),
    (adult(28.0, 0.53, says("diabetes")), ["weight_with_signs"]),
    (adult(28.0, 0.47, says("diabetes")), []),
    (adult(28.0, None, says("diabetes")), []),
    (adult(28.2, 0.47, says("diabetes"), background="chinese"), ["weight_with_signs"]),
    (adult(24.0, 0.47, says("diabetes")), []),
    # little fat, by the range and by the folds
    (adult(21.0, 0.42, fat=11.0), ["fat_very_low"]),
    (adult(21.0, 0.42, fat=14.0), ["fat_near_minimum"]),
    (adult(21.0, 0.42, fat=17.0), []),
    (adult(21.0, 0.42, fat=4.5, sex="male"), ["fat_very_low"]),
    (adult(21.0, 0.42, fat=6.5, sex="male"), ["fat_near_minimum"]),
    (adult(21.0, 0.42, fat=9.0, sex="male"), []),
    (adult(21.0, 0.42, sites=folds(5.7)), ["folds_very_low"]),
    (adult(21.0, 0.42, sites=folds(6.4)), []),
    (adult(21.0, 0.42, sex="male", fat=12.0, sites=folds(4.2)), ["folds_very_low"]),
    (adult(21.0, 0.42, sex="male", fat=12.0, sites=folds(4.7)), []),
    (adult(21.0, 0.42, sites=folds(3.5, SEVEN[:3])), ["folds_very_low"]),
    (adult(21.0, 0.42, sites=folds(3.5, SEVEN[:2])), []),
    # lean mass
    (adult(19.0, 0.42, fat=27.0), ["lean_low"]),
    (adult(19.0, 0.42, fat=20.5), []),
    *((adult(19.0, 0.42, fat=27.0, background=group), []) for group in GROUPS),
    (adult(19.5, 0.42, fat=18.0, sex="male"), ["lean_low"]),
    # poor muscle with much weight or waist, from 65 on
    (adult(31.0, 0.45, says("falls"), age=66.0), ["muscle_and_weight"]),
    (adult(26.0, 0.56, says("falls"), age=66.0), ["muscle_and_weight"]),
    (adult(26.0, 0.49, says("falls"), age=66.0), ["muscle_signs"]),
    (adult(31.0, 0.48, says(grip_kg=15.0), age=62.0), ["muscle_signs"]),
    (adult(31.0, 0.48, says(grip_kg=15.0), age=64.9), ["muscle_signs"]),
    # without a sex, all that needs none
    (adult(41.0, 0.7, sex=""), ["bmi_very_far_above"]),
    (adult(15.5, 0.4, sex=""), ["bmi_severely_low"]),
    (adult(23.0, 0.53, sex=""), ["central_fat"]),
    (adult(31.0, 0.48, says("falls"), age=66.0, sex=""), ["muscle_and_weight"]),
    # sex not known: what is weak in men only counts for a referral, and not by itself
    (adult(31.0, 0.48, says(grip_kg=20.0), age=66.0, sex=""), ["muscle_and_weight"]),
    (adult(22.0, 0.45, says(grip_kg=20.0), age=66.0, sex=""), []),
    (adult(31.0, 0.48, says(grip_kg=27.0), age=66.0, sex=""), []),
    (adult(21.0, 0.42, sex="", sites=folds(3.5)), []),
]  # fmt: skip

NO_RANGE: list[tuple[list[str], list[str]]] = [
    (no_range(), []),
    (no_range(15.5), ["bmi_severely_low"]),
    (no_range(16.5), ["bmi_clearly_low"]),
    (no_range(16.2, age=18.0), ["bmi_clearly_low"]),
    (no_range(18.0, says(lost=(3.0, 8.0), loss_wanted=False)), ["bmi_low"]),
    (no_range(18.0), ["bmi_low"]),
    (no_range(15.5, age=np.nan), ["bmi_severely_low"]),
    (no_range(19.5, age=71.0), ["bmi_low_older"]),
    (no_range(20.5, age=66.0), ["bmi_light_older"]),
    (no_range(19.5, says("limb_loss"), age=71.0), []),
    (no_range(13.9, age=15.0), ["thin_for_age_severely"]),
    (no_range(15.0, age=15.0), ["thin_for_age"]),
    (no_range(16.4, age=15.0), []),
    (no_range(15.0, age=15.0, sex="male"), ["thin_for_age"]),
    (no_range(14.5, age=15.0, sex="male"), ["thin_for_age_severely"]),
    (no_range(14.5, age=15.0, sex=""), ["thin_for_age_severely"]),
    (no_range(13.0, says("limb_loss"), age=15.0), ["low_weight_limb_severely"]),
    # the growth reference would call it severe: it knows nothing of a missing limb
    (no_range(13.9, says("limb_loss"), age=15.0), ["low_weight_limb"]),
    (no_range(13.0, says("limb_loss")), ["low_weight_limb_severely"]),
    (no_range(15.5, says("limb_loss")), ["low_weight_limb"]),
    (no_range(17.5, says("limb_loss")), []),
    (no_range(18.0, says(lost=(12.0, 4.0), loss_wanted=True)), ["bmi_low_with_fast_loss"]),
    (no_range(18.0, says(lost=(12.0, 4.0), loss_wanted=False, birth_months_ago=3), expecting=True),
     ["bmi_low"]),
    (no_range(22.0, says(lost=(12.0, 4.0), loss_wanted=False)), ["loss_fast"]),
    (no_range(22.0, says(lost=(12.0, 4.0), loss_wanted=False), expecting=True), ["loss_fast"]),
    (no_range(22.0, says(lost=(12.0, 4.0), loss_wanted=False, birth_months_ago=5.9), expecting=True),
     []),
    (no_range(22.0, says(lost=(12.0, 4.0), loss_wanted=False, birth_months_ago=6.0)), ["loss_fast"]),
    (no_range(facts=says("chest_pain")), ["heart_signs"]),
    (no_range(facts=pressure(145, 85)), ["pressure_raised"]),
    (no_range(facts=pressure(145, 85), expecting=True), ["pregnancy_signs"]),
    (no_range(facts=pressure(185, 85), expecting=True), ["pressure_very_high"]),
    (no_range(facts=pressure(130, 80), expecting=True), []),
    (no_range(facts=says("swelling")), ["swelling"]),
    (no_range(facts=says("oedema")), ["swelling"]),
    (no_range(facts=says("swelling"), expecting=True), ["pregnancy_signs"]),
    (no_range(facts=says("oedema"), expecting=True), ["swelling"]),
    (no_range(facts=says("swelling", pressure_mmhg=(130.0, 80.0)), expecting=True), ["pregnancy_signs"]),
]  # fmt: skip
CASES = {"told": SELF_REPORTED, "losses": LOSSES, "measured": MEASURED, "no_range": NO_RANGE}


@pytest.mark.parametrize("part", CASES)
def test_every_line_has_exactly_its_flags(part: str) -> None:
    wrong = {number: (got, want) for number, (got, want) in enumerate(CASES[part]) if got != want}
    assert wrong == {}


def test_every_rule_that_is_no_single_word_stands_in_a_line() -> None:
    named = {code for lines in CASES.values() for _, want in lines for code in want}
    by_word = {rule.code for rule in RULES if rule.intake_words}
    assert {rule.code for rule in RULES} - named - by_word == {"height_lost"}


@pytest.mark.parametrize("word", [word for rule in RULES for word in rule.intake_words])
def test_every_word_of_a_rule_raises_it_and_what_no_rule_names_raises_nothing(word: str) -> None:
    wanted = {rule.code for rule in RULES if word in rule.intake_words}
    assert wanted <= set(adult(facts=says(word)))
    silent = [word for word in ALL_WORDS if not any(word in rule.intake_words for rule in RULES)]
    assert {word for word in silent if adult(facts=says(word))} <= set(WEAK)


def test_a_ladder_shows_the_urgent_then_the_sure_then_the_first() -> None:
    def shown(**chances: float) -> list[str]:
        arrays = {code: np.array([chance]) for code, chance in chances.items()}
        rows = raised(arrays)
        return sorted(code for code in rows if rows[code][0])

    assert shown(bmi_severely_low=0.6, bmi_clearly_low=1.0) == ["bmi_severely_low"]
    assert shown(bmi_clearly_low=0.6, bmi_low_with_loss=0.9) == ["bmi_low_with_loss"]
    assert shown(bmi_clearly_low=0.6, bmi_low_with_loss=0.7) == ["bmi_clearly_low"]
    assert shown(bmi_clearly_low=0.8, bmi_low_with_loss=1.0) == ["bmi_clearly_low"]
    assert shown(bmi_low=0.5) == ["bmi_low"]
    assert shown(bmi_low=0.49) == []
    assert shown(fat_very_low=0.30, fat_near_minimum=0.9) == ["fat_very_low"]
    assert shown(fat_very_low=0.29, fat_near_minimum=0.30) == ["fat_near_minimum"]
    assert shown(bmi_low=float("nan"), eating_concern=1.0) == ["eating_concern"]

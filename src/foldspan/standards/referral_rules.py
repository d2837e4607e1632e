"""Rules for a flag: each with its level, what sets it off, and who says so.

Levels: ``inform``, ``advise``, ``refer_soon`` (a doctor within about two weeks), ``refer_urgently``
(the same day, or the emergency number). The levels are ours everywhere; the sources give the signs.
No rule says that anybody has an illness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from foldspan.standards.card import Status

Level = Literal["inform", "advise", "refer_soon", "refer_urgently"]
LEVELS: tuple[Level, ...] = ("inform", "advise", "refer_soon", "refer_urgently")

# A flag that rests on a measurement is raised from this chance on, and called borderline below the
# second (ours).
RAISED_AT, SURE_AT = 0.50, 0.80
# A waist of exactly half the height has a chance of one half: whether the flag is raised must not hang
# on the last bit of a chance, which differs from processor to processor.
ROUNDING = 1e-9
# Little fat is flagged from a smaller chance on: to miss it hurts more than a word too many (ours).
LOW_FAT_AT = 0.30
# Fat [%, density scale] near the least that sports bodies certify (``fat_percent.LEAST_FAT``). Ours:
# 12 % and about two points of error in women; the upper end of the floor of [friedl1994] in men.
NEAR_LEAST_FAT = {"female": 14.0, "male": 6.0}
# Sum of seven folds [mm]: fifth centile of 100 female and 102 male athletes [telford1991], computed from
# the open table; which seven folds it summed is not verified in print.
LEAN_FOLDS = {"female": 42.3, "male": 30.9}
# Loss in % of the earlier weight, and the months it took at most: the strictest windows of
# [glim2019], [espen2015], [must], [weight_loss_workup] for a referral; those of [cms] for much in a
# short time, which its item asks to be looked into and does not call an emergency.
LOSS_SOON: tuple[tuple[float, float], ...] = ((5.0, 12.0), (10.0, math.inf))
LOSS_FAST: tuple[tuple[float, float], ...] = ((5.0, 1.0), (10.0, 6.0))
# Loss in % that may have been a fast one where nobody noted the time it took (ours: the share of
# LOSS_FAST whose window is the longer).
LARGE_LOSS = 10.0
# Planned loss in % of weight a week [altom2025].
PLANNED_LOSS_A_WEEK = 1.5
# Any loss that counts beside a low weight [%] (ours: more than a scale and a meal explain).
SOME_LOSS, SOME_MONTHS = 2.0, 12.0
# Three days either way in months, which differ in length (ours).
DAYS_EITHER_WAY = 0.1
# Low weight for illness: body mass index below, under 70 and from 70 years on; Asian backgrounds
# [glim2019].
ILLNESS_BMI, ILLNESS_BMI_ASIAN, ILLNESS_AGE = (20.0, 22.0), (18.5, 20.0), 70.0
# Low weight at an older age, whatever the cause [kg/m²]: the death risk of groups is a fifth higher at
# 20.0 to 20.9 than at 23.0 to 23.9 from 65 years on [winter2014]; below 20 from 70 on it is for a
# clinician (ours).
OLDER_LIGHT_BMI, OLDER_LOW_BMI = 21.0, 20.0
# Share of the weight of the body that a whole leg makes, the largest limb (not verified in print: 16 %).
LARGEST_LIMB = 0.16
# Height lost [cm] that a clinician should hear of, and the age from which (both ours).
HEIGHT_LOST, HEIGHT_AGE = 3.0, 50.0
# Age of the adult range (18, as at NICE).
ADULT_AGE = 18.0
# Weak grip [kg]: [ewgsop2019] and, for Asian backgrounds, [awgs2019]; small calf [cm] the latter.
WEAK_GRIP = {"female": 16.0, "male": 27.0}
WEAK_GRIP_ASIAN = {"female": 18.0, "male": 28.0}
SMALL_CALF_ASIAN = {"female": 33.0, "male": 34.0}
# Ages from which weakness points to muscle [espen_easo2022], and from which grip and calf do (the limits
# were set from 60 years on).
MUSCLE_AGE, GRIP_AGE = 65.0, 60.0
# Blood pressure [mmHg], upper and lower: to be confirmed, and very high [ng136].
RAISED_PRESSURE, VERY_HIGH_PRESSURE = (140.0, 90.0), (180.0, 120.0)
# Months after a birth in which no method holds, and after an operation in which its site does not
# (both ours).
MONTHS_AFTER_BIRTH, MONTHS_AFTER_SURGERY = 6.0, 3.0
# From this age on stopped periods are expected (ours).
PERIODS_AGE = 55.0


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: of its ``ladder`` only the highest level that is raised is shown.

    ``intake_words`` are self-reported words of the intake; any of them raises the rule. A rule without
    them rests on what was measured, see ``interpretation/referral.py``, and is raised from a chance of
    ``raised_at`` on.
    """

    code: str
    level: Level
    when: str
    source: str
    status: Status
    ladder: str = ""
    intake_words: tuple[str, ...] = ()
    raised_at: float = RAISED_AT


@dataclass(frozen=True, slots=True)
class Refusal:
    """Who gets no adult range: the code of the problem, and the self-reported words that say so."""

    problem: str
    when: str
    source: str
    status: Status
    intake_words: tuple[str, ...] = ()


_PRIMARY: Status = "verified, primary"
_SECONDARY: Status = "verified, secondary"
_OURS: Status = "expert judgement"

RULES: tuple[Rule, ...] = (
    # self-reported at intake
    Rule("heart_signs", "refer_urgently", "chest pain, breathless at rest, collapse", "ours", _OURS,
         intake_words=("chest_pain", "breathless_at_rest", "collapse")),
    Rule("fainting", "refer_urgently", "fainting or near-fainting", "meed2022", "not verified in print",
         intake_words=("fainting",)),
    Rule("self_harm", "refer_urgently", "thoughts of self-harm", "meed2022", "not verified in print",
         intake_words=("thoughts_of_self_harm",)),
    Rule("one_leg_swollen", "refer_urgently", "one leg suddenly swollen, warm or painful", "ours",
         _OURS, intake_words=("one_leg_swollen",)),
    Rule("belly_urgent", "refer_urgently",
         "tight, fast-growing belly or yellow skin, with fever or drowsiness; or both of them",
         "ours", _OURS, ladder="belly"),
    Rule("belly_fluid", "refer_soon", "belly tight and growing fast", "ours", _OURS, ladder="belly",
         intake_words=("tight_belly", "ascites")),
    Rule("yellow_skin", "refer_soon", "yellow skin or eyes", "ours", _OURS,
         intake_words=("yellow_skin",)),
    Rule("thirst_urgent", "refer_urgently", (
        "marked thirst and urination, with vomiting or drowsiness"
    ), "ours",
         _OURS, ladder="thirst"),
    Rule("thirst_and_urine", "refer_soon", "marked thirst and passing a lot of urine", "ours", _OURS,
         ladder="thirst", intake_words=("thirst_and_urine",)),
    Rule("pressure_very_high", "refer_urgently", "blood pressure of 180/120 or more", "ng136",
         _SECONDARY, ladder="pressure"),
    Rule("pregnancy_signs", "refer_urgently",
         "pregnant or within 6 months after a birth: blood pressure of 140/90 or more, or face, hands or"
         " legs swollen", "ours", _OURS, ladder="pressure"),
    Rule("pressure_raised", "refer_soon", "blood pressure of 140/90 or more", "ng136",
         "not verified in print",
         ladder="pressure"),
    Rule("swelling", "refer_soon", "both legs, face or hands swollen", "ours", _OURS,
         intake_words=("swelling", "oedema")),
    Rule("uneven_body", "refer_soon", "fat missing from limbs, one-sided differences",
         "lipodystrophy2016", _PRIMARY, intake_words=("fat_missing", "one_sided_difference")),
    Rule("eating_concern", "refer_soon", "worry about eating, at any weight", "ng69", _SECONDARY),
    Rule("periods_stopped", "refer_soon", "no period for three months or more, under age 55",
         "reds2023", "not verified in print"),
    Rule("stress_fractures", "refer_soon", "stress fractures or injuries that keep coming back",
         "reds2023", "not verified in print", intake_words=("stress_fractures",)),
    # weight, and loss of it
    Rule("bmi_severely_low", "refer_urgently", "BMI below 16", "who_bmi", _SECONDARY,
         ladder="low_weight"),
    Rule("bmi_low_with_fast_loss", "refer_urgently",
         "BMI below 18.5, and 5% or more of weight lost in a month or 10% or more in 6"
         " months, intended or not", "meed2022", "not verified in print", ladder="low_weight"),
    Rule("thin_for_age_severely", "refer_urgently",
         "under 18: BMI-for-age z-score below -3 (growth reference)",
         "who_growth2007", "not verified in print", ladder="low_weight"),
    Rule("low_weight_limb_severely", "refer_urgently",
         "limb missing: BMI below 13.4, severely low even for a missing whole leg", "ours",
         _OURS, ladder="low_weight"),
    Rule("bmi_clearly_low", "refer_soon", "BMI from 16 to below 17", "who_bmi", _SECONDARY,
         ladder="low_weight"),
    Rule("thin_for_age", "refer_soon",
         "under 18: BMI-for-age z-score below -2 (growth reference)",
         "who_growth2007", "not verified in print", ladder="low_weight"),
    Rule("low_weight_limb", "refer_soon",
         "limb, or part of one, missing: BMI below 17", "ours", _OURS,
         ladder="low_weight"),
    Rule("bmi_low_older", "refer_soon", "from age 70: BMI below 20", "ours", _OURS,
         ladder="low_weight"),
    Rule("bmi_low_with_loss", "refer_soon",
         "BMI below 18.5, and 2% or more of weight lost in 12 months or over an unrecorded"
         " time, intended or not", "ours", _OURS, ladder="low_weight"),
    Rule("bmi_low_for_illness", "refer_soon",
         "BMI below 20, or below 22 from age 70 (18.5 and 20 for Asian backgrounds), with"
         " unintended weight loss, illness or eating little", "glim2019", _PRIMARY,
         ladder="low_weight"),
    Rule("bmi_low", "advise", "BMI from 17 to below 18.5", "who_bmi", _SECONDARY,
         ladder="low_weight"),
    Rule("bmi_light_older", "advise", "from age 65: BMI below 21", "winter2014",
         _PRIMARY, ladder="low_weight"),
    Rule("loss_fast", "refer_soon",
         "weight loss of 5% or more in a month, or 10% or more in 6 months, unintended", "cms",
         _SECONDARY, ladder="loss"),
    Rule("loss_unplanned", "refer_soon",
         (
             "weight loss of 5% or more in 12 months or over an unrecorded time, or 10% or"
             " more over any time, unintended"
         ),
         "weight_loss_workup", _SECONDARY, ladder="loss"),
    Rule("loss_with_worry", "refer_soon",
         "weight loss of 5% or more in 12 months or over an unrecorded time, or 10% or more"
         " over any time, not recorded as unintended, with worry about eating or stopped"
         " periods", "ng69", _SECONDARY, ladder="loss"),
    Rule("loss_large_not_asked", "refer_soon",
         (
             "weight loss of 5% or more in a month, or 10% or more in 6 months, with no"
             " record of intent"
         ),
         "ours", _OURS, ladder="loss"),
    Rule("loss_large_undated", "refer_soon",
         "weight loss of 10% or more, with no record of time or intent", "ours", _OURS,
         ladder="loss"),
    Rule("loss_not_asked", "advise",
         "weight loss of 5% or more in 12 months or over an unrecorded time, or 10% or more"
         " over any time, with no record of intent",
         "ours", _OURS, ladder="loss"),
    Rule("loss_planned_fast", "advise", "intended weight loss of more than 1.5% a week", "altom2025",
         _SECONDARY, ladder="loss"),
    Rule("height_lost", "refer_soon",
         "from age 50: 3 cm or more of height lost since an earlier visit", "ours", _OURS,
         ladder="height"),
    # much weight
    Rule("weight_with_signs", "refer_soon",
         "BMI 30 or above (27.5 for the family backgrounds named by NICE), or BMI 25 or"
         " above with a waist of at least half the height; with high blood pressure,"
         " diabetes, snoring with daytime sleepiness, or joint pain", "easo2024",
         _SECONDARY, ladder="high_weight"),
    Rule("bmi_very_far_above", "refer_soon",
         "BMI 40 or above (37.5 for the family backgrounds named by NICE)", "nice_bmi", _SECONDARY,
         ladder="high_weight"),
    Rule("bmi_far_above", "advise", (
        "BMI 35 or above (32.5 for the family backgrounds named by NICE)"
    ),
         "nice_bmi", _SECONDARY, ladder="high_weight"),
    Rule("waist_six_tenths", "advise", "waist at least 60% of height, BMI below 35",
         "nice_waist", _SECONDARY, ladder="high_weight"),
    Rule("weight_and_waist", "advise",
         "BMI from 30 to below 35 (27.5 to below 32.5 for the family backgrounds named by"
         " NICE), with a waist of at least half the height or not measured", "nice_bmi", _SECONDARY,
         ladder="high_weight"),
    Rule("central_fat", "advise", "waist at least half the height, BMI from 18.5 to below 25",
         "nice_waist", _SECONDARY, ladder="high_weight"),
    # little fat, little muscle
    Rule("fat_very_low", "refer_soon",
         "at least a 30% chance of body fat below 12% in women or 5% in men, the minimum"
         " certified in sport (reference method: underwater weighing)", "ours", _OURS,
         ladder="low_fat", raised_at=LOW_FAT_AT),
    Rule("folds_very_low", "refer_soon",
         "sum of seven skinfolds below that of the leanest 5% of athletes: 42.3 mm in women,"
         " 30.9 mm in men",
         "telford1991", "computed from open data", ladder="low_fat"),
    Rule("fat_near_minimum", "advise",
         (
             "at least a 30% chance of body fat below 14% in women or 6% in men (reference"
             " method: underwater weighing)"
         ), "ours", _OURS,
         ladder="low_fat", raised_at=LOW_FAT_AT),
    Rule("lean_low_with_loss", "refer_soon",
         "fat-free mass index below 15 in women, 17 in men, with unintended weight loss",
         "espen2015", _PRIMARY, ladder="lean"),
    Rule("lean_low", "inform",
         (
             "at least an 80% chance of a fat-free mass index below 15 in women, 17 in men;"
             " not for Asian backgrounds"
         ),
         "ours", _OURS, ladder="lean"),
    Rule("muscle_and_weight", "refer_soon",
         "age 65 and over: a sign of muscle weakness with high BMI or waist", "espen_easo2022", _PRIMARY,
         ladder="muscle"),
    Rule("muscle_signs", "advise",
         (
             "weak grip, or small calf in Asian backgrounds, from age 60; weakness, slow"
             " walking or falls from age 65"
         ),
         "ewgsop2019",
         _SECONDARY, ladder="muscle"),
    Rule("weakness", "advise", "weakness, slow walking or falls before age 65", "ours", _OURS),
    Rule("not_well", "advise", "fever, vomiting or drowsiness, or eating little", "ours", _OURS,
         intake_words=("fever", "vomiting_or_drowsy", "eating_little")),
    # the reading
    Rule("bleeding", "advise", "anticoagulant, clotting disorder or easy bruising",
         "ours", _OURS, intake_words=("blood_thinner", "haemophilia", "easy_bruising")),
    Rule("do_not_pinch", "inform", "skin disease, wound, implant, lymphoedema", "ours", _OURS,
         intake_words=("skin_disease", "wound", "implant", "lymphoedema")),
    Rule("recent_surgery", "inform", "operation in the last 3 months", "ours", _OURS),
    Rule("belly_not_valid", "inform", "hernia or stoma: waist not valid", "ours", _OURS,
         intake_words=("hernia", "stoma")),
    Rule("body_not_valid", "inform", "cast, paralysis or marked spinal curve", "ours", _OURS,
         intake_words=("cast", "paralysis", "scoliosis")),
    Rule("medicines", "inform", "medicines that shift fat or water", "ours", _OURS,
         intake_words=("cortisone_tablets", "hiv_medicine", "water_tablets")),
    Rule("anabolic_drugs", "inform", (
        "anabolic drugs: more muscle and water than the equations expect"
    ),
         "ours", _OURS, intake_words=("anabolic_drugs",)),
    Rule("strong_build", "inform", (
        "athlete, or limb girths that suggest more muscle than usual"
    ),
         "nice_bmi", _SECONDARY),
)  # fmt: skip
RULE_BY_CODE = {rule.code: rule for rule in RULES}
# the order in which flags are told: the more urgent first, of those as above
BY_URGENCY = tuple(sorted(RULES, key=lambda rule: -LEVELS.index(rule.level)))
TURN = {rule.code: place for place, rule in enumerate(BY_URGENCY)}

REFUSALS: tuple[Refusal, ...] = (
    Refusal("E201", "under 18", "reds2023", _SECONDARY),
    Refusal("E202", "pregnant", "widen2014", _PRIMARY),
    Refusal("E204", "within 6 months of a birth", "ours", _OURS),
    Refusal("E205", "limb, or part of one, missing", "ours", _OURS, intake_words=("limb_loss",)),
    Refusal("E206", "oedema, fluid in the abdomen or dialysis", "ours", _OURS,
            intake_words=("swelling", "oedema", "tight_belly", "ascites", "dialysis")),
)  # fmt: skip

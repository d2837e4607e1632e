"""Rules for a word to the client, or to a clinician: each with its level, threshold and source.

Levels: ``inform``, ``advise``, ``refer_soon`` (a doctor within about two weeks), ``refer_urgently``
(the same day, or the emergency number). They are ours everywhere; sources give the signs. No rule
says that anybody has an illness.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foldspan.standards.card import Status

Level = Literal["inform", "advise", "refer_soon", "refer_urgently"]
LEVELS: tuple[Level, ...] = ("inform", "advise", "refer_soon", "refer_urgently")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its code, level, what sets it off in short, and who says so."""

    code: str
    level: Level
    when: str
    source: str
    status: Status


# A flag that rests on a measurement fires at this chance, and is called borderline below the second.
FIRES_AT, SURE_AT = 0.50, 0.80
# Upper end of the 95 % range below which fat is called very low (ours: a sports minimum and an error).
VERY_LOW_FAT = {"female": 14.0, "male": 6.0}
LEAST_FAT = {"female": 12.0, "male": 5.0}
# Months after a birth in which no method holds (ours).
MONTHS_AFTER_BIRTH = 6.0
# Loss of weight [% of the earlier weight], and the months it took at most.
LOSS_SOON: tuple[tuple[float, float], ...] = ((5.0, 6.0), (10.0, 24.0))
LOSS_URGENT: tuple[tuple[float, float], ...] = ((5.0, 1.0), (10.0, 6.0))
PLANNED_LOSS_A_WEEK = 1.5
MOST_MONTHS = 24.0
SMALL_CALF = {"female": 33.0, "male": 34.0}
MUSCLE_AGE = 65.0

RULES: tuple[Rule, ...] = (
    Rule("bmi_severely_low", "refer_urgently", "body mass index below 16", "who_bmi",
         "verified, secondary"),
    Rule("bmi_clearly_low", "refer_soon", "body mass index 16 to 17", "who_bmi", "verified, secondary"),
    Rule("bmi_low", "advise", "body mass index 17 to 18.5, lifelong and well", "who_bmi",
         "verified, secondary"),
    Rule("bmi_low_with_loss", "refer_soon", "body mass index below 18.5 and weight lost unplanned",
         "glim2019", "verified, primary"),
    Rule("bmi_low_older", "refer_soon",
         "body mass index below 20, from 70 years on below 22 (18.5 and 20 in Asian adults), and weight "
         "lost unplanned", "glim2019", "verified, primary"),
    Rule("bmi_high", "advise", "body mass index of 30 to 35 (27.5 to 32.5 in the backgrounds NICE names)",
         "nice_bmi", "verified, secondary"),
    Rule("bmi_very_high", "refer_soon", "body mass index from 35 (32.5 in the backgrounds NICE names)",
         "nice_bmi", "verified, secondary"),
    Rule("waist_half", "advise", "waist half of height or more", "nice_waist", "verified, secondary"),
    Rule("waist_six_tenths", "refer_soon", "waist six-tenths of height or more", "nice_waist",
         "verified, secondary"),
    Rule("central_fat_at_healthy_weight", "advise",
         "waist half of height or more, or high for the class, at a body mass index of 18.5 to 25",
         "easo2024", "verified, secondary"),
    Rule("fat_very_low", "refer_soon",
         "upper end of the 95 % range below 14 % in women, 6 % in men (density)", "ours", "our proposal"),
    Rule("fat_near_minimum", "advise",
         "fat more likely than not below 14 % in women, 6 % in men (density)", "roberts1998",
         "verified, primary"),
    Rule("unplanned_loss", "refer_soon",
         "5 % or more in 6 months, or 10 % in 24 months, unplanned", "glim2019", "verified, primary"),
    Rule("unplanned_loss_fast", "refer_urgently",
         "5 % or more in a month, or 10 % in 6 months, unplanned", "cms", "verified, secondary"),
    Rule("planned_loss_fast", "advise", "more than 1.5 % of weight a week, planned", "altom",
         "verified, secondary"),
    Rule("lean_low", "advise", "lean mass index more likely than not below 15 in women, 17 in men",
         "espen2015", "verified, primary"),
    Rule("lean_low_with_loss", "refer_soon", "the same, with unplanned loss", "espen2015",
         "verified, primary"),
    Rule("muscle_loss_likely", "refer_soon",
         "65 and older with a sign of poor muscle (weak, slow, falls, calf below 33 or 34 cm) and a high "
         "or low weight", "espen_easo2022", "verified, primary"),
    Rule("muscle_signs", "advise", "65 and older with a sign of poor muscle", "ewgsop2019",
         "verified, secondary"),
    Rule("chest_pain", "refer_urgently", "chest pain, breathless at rest, collapse", "ours",
         "our proposal"),
    Rule("fainting", "refer_urgently", "fainting", "meed2022", "from memory"),
    Rule("swelling_one_leg", "refer_urgently", "one leg suddenly swollen, warm or painful", "ours",
         "our proposal"),
    Rule("swelling", "refer_soon", "both legs, face or hands swollen", "ours", "our proposal"),
    Rule("belly_fluid", "refer_soon", "tight, fast-growing belly, hernia, stoma", "ours",
         "our proposal"),
    Rule("recent_surgery", "inform", "operation in the last 3 months", "ours", "our proposal"),
    Rule("uneven_body", "refer_soon", "fat missing from limbs, odd one-sided differences",
         "lipodystrophy2016", "verified, primary"),
    Rule("skin", "inform", "broken, infected, sunburnt or very fragile skin", "ours", "our proposal"),
    Rule("bleeding", "advise", "blood thinners or easy bruising", "ours", "our proposal"),
    Rule("eating_concern", "refer_soon", "worry about eating, restriction, purging, driven exercise",
         "ng69", "verified, secondary"),
    Rule("periods_stopped", "refer_soon", "no period for three months or more", "reds2023",
         "from memory"),
    Rule("thirst_and_loss", "refer_soon", "thirst and much urine", "ours", "our proposal"),
    Rule("limb_loss", "inform", "amputation, cast, paralysis, marked scoliosis", "ours", "our proposal"),
    Rule("dialysis", "inform", "dialysis", "ours", "our proposal"),
    Rule("young_adult", "inform", "18 or 19 years: adult classes and growth charts can differ", "cdc",
         "disputed"),
    Rule("minor", "inform", "under 18", "reds2023", "verified, secondary"),
    Rule("pregnant", "inform", "pregnant, or within six months after a birth", "widen2014",
         "verified, primary"),
    Rule("athlete_standards", "inform", "trained or muscular body: classes by weight do not fit",
         "nice_bmi", "verified, secondary"),
)  # fmt: skip
RULE_BY_CODE = {rule.code: rule for rule in RULES}

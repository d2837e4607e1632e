"""Wording of the trainer's sheet that no other page has, in English; values stand in braces."""

from __future__ import annotations

# fmt: off
TRAINER_SHEET: dict[str, str] = {
    "sheet.plan": "Plan",
    "sheet.lead": (
        "Body fat: {low}% to {high}% (80% range), very likely {lowest}% to {highest}% (95%"
        " range). Best single estimate {middle}%."
    ),
    "sheet.se": "Standard error of the best estimate: {se} percentage points. {reference}",
    "sheet.marks": (
        "±: the method's standard error of estimate (SEE), in percentage points. Weight: its"
        " share in the range; 0% adds no information beyond the others."
    ),
    "sheet.numbers": "{name}: {percent}% ± {se}, weight {weight}%",
    "sheet.silent": "Not used: {methods}.",
    "sheet.silent_method": "{method} ({why})",
    "sheet.elsewhere": "Results from elsewhere have a weight of {weight}%.",
    "sheet.agreement": "Agreement of the methods",
    "sheet.needed": "For {high} and {low} to agree, one of these would have to change: {changes}",
    "sheet.flag": "{level}: {text} [{source}]",
    "sheet.sites": "Sites and readings",
    "sheet.centile": "centile",
    "sheet.bmi": "Body mass index",
    "sheet.bmi_from": "from weight and height",
    "sheet.below": "below the {centile}",
    "sheet.above": "above the {centile}",
    "sheet.at_least": "at least the {centile}",
    "sheet.by_female": "{centile} (women)",
    "sheet.by_male": "{centile} (men)",
    "sheet.no_reference": "no reference",
    "sheet.women": "women",
    "sheet.men": "men",
    "sheet.both": "women and men",
    "sheet.ages": "{sex} aged {low} to {high}",
    "sheet.oldest": "{sex} aged {low} and over",
    "sheet.centiles_mean": (
        "Centile: how the value ranks among US {people} (NHANES 1999-2002); it says nothing about"
        " health. Skinfolds too thick for the survey's calliper are missing there, so high"
        " skinfold centiles are a little too high. No reference: not measured there, or at another"
        " landmark or age."
    ),
    "sheet.no_centiles": "No reference: the survey's centiles begin at 20 years.",
    "sheet.remarks": "Remarks. {remarks}.",
    "sheet.remark": "{site}: {remark}",
    "sheet.skin": "Skin for skinfolds",
    "sheet.skin_yes": "dry, without lotion",
    "sheet.skin_no": "damp or with lotion",
    "sheet.rested": "Before measuring",
    "sheet.rested_yes": "no hard exercise, sauna or hot bath that day",
    "sheet.rested_no": "hard exercise, sauna or hot bath: can affect skinfolds and weight",
    "sheet.hour": "Time of day",
    "sheet.step": "Calliper scale",
    "sheet.marks_of": "{step} mm per division",
    "sheet.not_taken": "Not taken",
    "sheet.notes": "Notes and conditions",
    "sheet.from_to": "{what}: {earlier} to {later}: {span}{real}.",
    "sheet.mdc": "MDC: minimal detectable change.",
    "sheet.told": "Self-reported",
    "sheet.told_line": "{question}: {answer}.",
    "sheet.sources": "Sources. {sources}",
    "sheet.source": "{citation}.",
    "sheet.survey": (
        "Centiles: US National Center for Health Statistics, National Health and Nutrition"
        " Examination Survey 1999-2002, public-use data; our own analysis."
    ),
    "sheet.full": "Equations and sources of uncertainty: foldspan report --all.",
}
# fmt: on

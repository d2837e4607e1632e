"""Wording of grounds: what was measured or told behind a flag, for a clinician.

A letter names what was found with this client, never the list of what a rule could have found.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date

from foldspan.quantities import WEEKS_A_MONTH
from foldspan.text.en.self_reported import (
    LOSS_WORDS,
    SELF_REPORTED_WORDS,
    WHEN_NOT_NOTED,
)

# said of a body mass index that is not used, and may be true
IF_RIGHT = "if weight and height are correct"
GROUND_WORDS = {
    "bmi": "BMI {value:.1f}",
    "bmi_if_right": f"BMI {{value:.1f}} {IF_RIGHT}",
    "waist_to_height": "waist-to-height ratio {value:.2f}",
    "fat_range": "body fat 95% range {low:.1f}% to {high:.1f}% (reference method: underwater weighing)",
    "fat_free_mass_index": "fat-free mass index {value:.1f} ± {se:.1f} kg/m²",
    "height": "{now:.1f} cm, {less:.1f} cm less than before",
    "blood_pressure": "blood pressure {systolic:.0f}/{diastolic:.0f} mmHg",
    "operation": "operation {months:g} months ago",
    "birth": "birth {months:g} months ago",
    "weak_grip": "weak grip",
    "small_calf": "small calf",
    "athlete": "self-reported: athlete",
    "strong_limbs": "limb girths suggest more muscle than usual for this weight and height",
}
# numbers that a client told or a cuff showed, as a letter of a row has them
SELF_REPORTED_NUMBERS = {
    "systolic": "blood pressure, systolic: {value:.0f} mmHg",
    "diastolic": "blood pressure, diastolic: {value:.0f} mmHg",
    "birth_months_ago": "gave birth {value:.1f} months ago",
    "surgery_months_ago": "an operation {value:.1f} months ago",
    "grip_kg": "grip strength: {value:.0f} kg",
    "loss_percent": "weight loss, self-reported: {value:.1f}% of the earlier weight",
    "loss_months": "time since the earlier weight: {value:.1f} months",
}
# measures of the body, which stand in a row
MEASURES = ("bmi", "bmi_if_right", "waist_to_height", "fat_range", "fat_free_mass_index")


def ground_words(
    code: str, numbers: Mapping[str, float], words: Collection[str], day: date | None
) -> str:
    """Return one thing that stands behind a flag; see ``Ground`` for its parameters."""
    if code == "told":
        return f"self-reported: {self_reported_words(words)}"
    if code == "weight":
        share = share_words(numbers["percent"])
        when = when_words(numbers.get("months"), day)
        return "; ".join([f"weight {share} than {when}", *(LOSS_WORDS[word] for word in words)])
    return (GROUND_WORDS | SELF_REPORTED_NUMBERS)[code].format(**numbers)


def joined_grounds(grounds: Iterable[tuple[str, str]]) -> str:
    """Return grounds, each as its code and its words, in one line; "" for none."""
    listed = list(grounds)
    measured = ", ".join(words for code, words in listed if code in MEASURES)
    others = [words for code, words in listed if code not in MEASURES]
    return "; ".join(part for part in (measured, *others) if part)


def self_reported_words(words: Iterable[str]) -> str:
    """Return words of the intake as a clinician reads them."""
    return "; ".join(SELF_REPORTED_WORDS[word] for word in words)


def share_words(percent: float) -> str:
    """Return how much weight was gained, or lost where it is below nought [% of the earlier one]."""
    return f"{abs(percent):.1f}% {'more' if percent > 0.0 else 'less'}"


def when_words(months: float | None, day: date | None) -> str:
    """Return when an earlier weight was, as near as it was told: months before, and about which day."""
    if months is None:
        return WHEN_NOT_NOTED
    span = f"about {months:.0f} months" if months >= 1.5 else _weeks(months)
    return f"{span} earlier" + ("" if day is None else f" ({day:%B %Y})")


def _weeks(months: float) -> str:
    weeks = max(round(months * WEEKS_A_MONTH), 1)
    return "about 1 week" if weeks == 1 else f"about {weeks} weeks"

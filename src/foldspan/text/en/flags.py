"""Wording of flags: one sentence for the trainer, one for the client, one for the clinician.

No sentence says that somebody has an illness; whoever is referred is referred to a clinician. The
client's words are short and calm, and name no number.
"""

from __future__ import annotations

from foldspan.standards.referral_rules import Level, Rule
from foldspan.text.en.flag_words import FLAG_WORDS
from foldspan.text.en.health import chance_words
from foldspan.text.en.notices import how_soon, with_when
from foldspan.text.en.reconcile import capital

LEVEL_WORDS: dict[Level, str] = {
    "inform": "for information",
    "advise": "advise",
    "refer_soon": "refer soon",
    "refer_urgently": "refer urgently",
}
LEVEL_MEANING: dict[Level, str] = {
    "inform": "for information; mention it where it helps",
    "advise": "talk it over, and suggest a check-up with the client's doctor",
    "refer_soon": "see a doctor within two weeks, or sooner where the rule says so",
    "refer_urgently": "see a doctor the same day, or call the emergency number",
}
# ladders of rules that rest on measurements
MEASURED = ("low_weight", "high_weight", "loss", "height", "low_fat", "lean")
# rules whose limits a clinician reads without the list of what may have been told beside them
BARE_RULES = {
    "weight_with_signs": (
        "BMI 30 or above (27.5 for the family backgrounds named by NICE), or BMI 25 or above"
        " with a waist of at least half the height, together with the self-reported finding"
    ),
    "bmi_low_for_illness": (
        "BMI below 20, or below 22 from age 70 (18.5 and 20 for Asian backgrounds), together"
        " with the self-reported finding"
    ),
}
# rules that are a list themselves: what was found says enough
LISTED_RULES = ("pregnancy_signs",)
BORDERLINE = "Borderline (about a {chance}0% chance). Measure again if you can."


def flag_sentence(code: str, chance: float, *, is_borderline: bool) -> str:
    """Return the sentence for the trainer."""
    text = FLAG_WORDS[code][0]
    return f"{text} {borderline_sentence(chance)}" if is_borderline else text


def borderline_sentence(chance: float) -> str:
    """Return that a flag is borderline, with its chance in tenths."""
    return BORDERLINE.format(chance=min(round(10.0 * chance), 9))


def client_sentence(code: str, level: Level) -> str:
    """Return the sentence for the client, with how soon a doctor is needed."""
    return with_when(FLAG_WORDS[code][1], how_soon(code, level))


def clinician_sentence(rule: Rule, grounds: str, chance: float) -> str:
    """Return what raised the flag: the rule, what was measured, and the chance that it holds."""
    is_measured = rule.ladder in MEASURED
    return row_sentence(rule, grounds, f"chance {chance_words(chance)}" if is_measured else "")


def row_sentence(rule: Rule, grounds: str, chance: str = "") -> str:
    """Return what raised a flag of which the chance in words is known, or "" for one that is not."""
    if not grounds:
        ground = chance or "self-reported"
        return f"{capital(rule.when)} ({ground})."
    text, limit = f"{capital(grounds)}.", limit_of(rule)
    return f"{text} Threshold: {limit}{f' ({chance})' if chance else ''}." if limit else text


def limit_of(rule: Rule) -> str:
    """Return the limit of a rule that rests on a measurement; "" where what was found says enough."""
    has_limit = rule.ladder in MEASURED or rule.ladder == "pressure"
    if not has_limit or rule.code in LISTED_RULES:
        return ""
    return BARE_RULES.get(rule.code, rule.when)

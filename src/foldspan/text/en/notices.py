"""Wording of notices: how soon a client should act on a flag, and every flag in a few words.

A notice is told in full while there is room, and else as its topic under a line that says how soon. No
notice is left out. Levels and how soon they mean are those of the rules (ours everywhere); the signs
that should not wait for the two weeks of their level are named here.
"""

from __future__ import annotations

from collections.abc import Iterable

from foldspan.standards.referral_rules import Level
from foldspan.text.en.client import CLIENT_CAREFUL_FLAGS

# how soon, the sooner first; ``also`` is what to tell the doctor who is seen today, ``reading`` is about
# the measuring alone
GROUPS = ("now", "today", "also", "days", "weeks", "talk", "reading")
SOON_OF_LEVEL: dict[Level, str] = {
    "refer_urgently": "today",
    "refer_soon": "weeks",
    "advise": "talk",
    "inform": "reading",
}
# sooner than their level has it: chest pain and the like go by the emergency number, and great thirst
# goes to a doctor within days (both our caution, no source)
SOONER: dict[str, str] = {
    "heart_signs": "now",
    "self_harm": "now",
    "thirst_and_urine": "days",
}
TITLES: dict[str, str] = {
    "now": "Get help now",
    "today": "See a doctor today",
    "also": "Also tell the doctor",
    "days": "See a doctor in the next few days",
    "weeks": "See a doctor within two weeks",
    "talk": "Worth talking about with a doctor",
    "reading": "About these numbers",
}
# how soon somebody on a referral list is to be seen; a list may be read on another day
HOW_SOON: dict[str, str] = {
    "now": "call the emergency number at once",
    "today": "see a doctor the same day, or call the emergency number",
    "days": "see a doctor within a few days",
    "weeks": "see a doctor within two weeks",
}
# said once behind the sentences of a group that do not say it themselves
WHEN: dict[str, str] = {
    "days": "Please see a doctor in the next few days.",
    "weeks": "Please see a doctor within two weeks.",
}
# one sentence for a group that is told by its topics
ABOUT: dict[str, str] = {
    "also": "Also tell the doctor about: {what}.",
    # behind topics that call for it
    "no_goals": "Please set no goals yet.",
    "days": "Please see a doctor in the next few days about: {what}.",
    "weeks": "Please see a doctor within two weeks about: {what}.",
    "talk": "Worth talking about with a doctor: {what}.",
    "reading": "About these numbers: {what}.",
}
# lines to be filled in by hand, where somebody has to be called
FILL_IN: dict[str, str] = {
    "now": "Emergency number",
    "crisis": "Crisis line",
    "today": "Number to call today",
    "doctor": "Doctor's number",
}
# said in full however little room there is: a few words would hurt
ALWAYS_IN_FULL = ("self_harm", "eating_concern")
# code of a rule that is not urgent → its topic; urgent ones are always told in full
TOPICS: dict[str, str] = {
    "belly_fluid": "your belly (go today with pain, a fever or yellow skin)",
    "yellow_skin": "your skin and eyes (go today with a fever, pain or drowsiness)",
    "thirst_and_urine": "your thirst (within a few days; today if you vomit or feel drowsy)",
    "pressure_raised": "your blood pressure, which was high",
    "swelling": "the swelling",
    "uneven_body": "the changes in your body",
    "periods_stopped": "your periods, which have stopped",
    "stress_fractures": "injuries that keep coming back",
    "bmi_clearly_low": "your weight, which is low for your height",
    "bmi_low_with_loss": "your weight, which is low and has gone down",
    "bmi_low_for_illness": "your weight, which is a little low",
    "bmi_low": "your weight, which is low for your height",
    "thin_for_age": "your weight, which is low for your height",
    "low_weight_limb": "your weight, which looks low",
    "bmi_low_older": "your weight, which is low for your age",
    "bmi_light_older": "your weight (please do not try to lose any)",
    "loss_fast": "losing weight quickly without meaning to",
    "loss_with_worry": "the weight you lost",
    "height_lost": "your height and bones (you measured shorter than before)",
    "weight_and_waist": "a check-up",
    "folds_very_low": "your body fat, which is very low (do not aim lower)",
    "loss_unplanned": "losing weight without meaning to",
    "loss_large_not_asked": "losing a lot of weight in a short time",
    "loss_large_undated": "the weight you lost, if you did not plan to",
    "loss_not_asked": "losing weight, if you did not mean to",
    "loss_planned_fast": "how fast you are losing weight",
    "weakness": "feeling weak, walking slowly or falling",
    "not_well": "feeling unwell, if it does not get better",
    "weight_with_signs": "your weight and some other answers",
    "bmi_very_far_above": "a check-up for your weight",
    "bmi_far_above": "a check-up for your weight",
    "waist_six_tenths": "a check-up for your waist",
    "central_fat": "your waist",
    "fat_very_low": "your body fat, which is very low (do not aim lower)",
    "fat_near_minimum": "your body fat (please do not aim lower)",
    "lean_low_with_loss": "the weight and muscle you lost",
    "lean_low": "gaining a little muscle",
    "muscle_and_weight": "your strength",
    "muscle_signs": "your strength, and how you walk",
    "bleeding": "bruising easily",
    "do_not_pinch": "places best left alone",
    "recent_surgery": "the area of your operation",
    "belly_not_valid": "your waist (less reliable today)",
    "body_not_valid": "some methods, which do not suit you",
    "medicines": "your medicines (they can shift the range)",
    "anabolic_drugs": "what you take to build muscle (it can shift the range)",
    "strong_build": "your weight (it includes your muscle)",
}


def how_soon(code: str, level: Level) -> str:
    """Return how soon a client should act on a flag: one of ``GROUPS``."""
    return SOONER.get(code, SOON_OF_LEVEL[level])


def soonest(flags: Iterable[tuple[str, Level]]) -> str:
    """Return the soonest of several flags, each given as its code and level: one of ``GROUPS``."""
    return min((how_soon(code, level) for code, level in flags), key=GROUPS.index)


def with_when(sentence: str, soon: str) -> str:
    """Return a sentence with how soon it should be acted on, where it does not say so itself."""
    return f"{sentence} {WHEN[soon]}" if soon in WHEN else sentence


def careful_sentence(level: Level) -> str:
    """Return what a flag about the body says where numbers may harm, "" for nothing."""
    sentence = CLIENT_CAREFUL_FLAGS.get(level, "")
    return with_when(sentence, SOON_OF_LEVEL[level]) if sentence else ""

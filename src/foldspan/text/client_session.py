"""Client session: what a client hears or reads at each prompt of a session, in a language.

The trainer's own prompts are English (``text/measure.py``); these are the words for the client beside
them, each asked for by its key.
"""

from __future__ import annotations

from foldspan.protocol.plan_widths import ADAPTIVE_MINUTES
from foldspan.protocol.plans import ADAPTIVE, PLAN_BY_KEY, minutes_of
from foldspan.session.answers import Known, Prompt, self_reported_flags
from foldspan.session.pages import UNDER_ANOTHER, WITH_DETAIL
from foldspan.session.sites import chooses, guide_of, planned, sites_of_plan
from foldspan.standards.referral_rules import Level
from foldspan.text.catalogue import Language, Sentence
from foldspan.text.client_answers import meaning, shown_word
from foldspan.text.en.notices import WHEN, how_soon
from foldspan.text.measure import bared_words, list_words
from foldspan.text.questions import asked_sentence, units_of, weight_text

# questions that a page asks with yes or no, and the number behind the yes by itself
FOLLOWED_UP = {*WITH_DETAIL, *UNDER_ANOTHER} - {"sex", "age_years", "family_background"}
# how the client stands at each site, in words for the client
STANCES: dict[str, str] = {
    "weight_kg": "scale", "height_cm": "board", "chest_mm": "relaxed", "midaxillary_mm": "arm_lifted",
    "triceps_mm": "elbow_then_hang", "biceps_mm": "palm_forward", "subscapular_mm": "relaxed",
    "abdominal_mm": "belly_relaxed", "suprailiac_anterior_mm": "arm_away",
    "suprailiac_midaxillary_mm": "arm_across", "supraspinale_mm": "relaxed", "thigh_mm": "other_leg",
    "calf_mm": "foot_on_box", "chin_mm": "mouth_closed", "neck_cm": "eyes_forward",
    "chest_girth_cm": "arms_lifted", "breast_girth_cm": "arms_down", "waist_narrowest_cm": "breath",
    "waist_midpoint_cm": "breath", "waist_iliac_cm": "breath", "abdomen_navel_cm": "breath",
    "hip_cm": "feet_together", "thigh_upper_girth_cm": "both_feet", "thigh_mid_girth_cm": "both_feet",
    "knee_girth_cm": "both_feet", "calf_girth_cm": "both_feet", "ankle_girth_cm": "both_feet",
    "arm_relaxed_girth_cm": "arm_hanging", "arm_flexed_girth_cm": "fist", "forearm_girth_cm": "palm_up",
    "wrist_girth_cm": "palm_up", "elbow_breadth_cm": "elbow_bent", "knee_breadth_cm": "seated",
    "wrist_breadth_cm": "palm_down",
}  # fmt: skip


def client_sentences(prompt: Prompt, known: Known, language: Language) -> list[str]:
    """Return what a client hears at a prompt, [] where it is the trainer's own."""
    if prompt.kind == "reading":
        return (
            [language.say(f"stand.{_stance(prompt.quantity, known)}")] if prompt.turn == 1 else []
        )
    if prompt.kind == "plan":
        return [language.say("ask.plan"), *_plans(known, language)]
    return [language.say(sentence) for sentence in _asked(prompt, known, language)]


def _asked(prompt: Prompt, known: Known, language: Language) -> list[Sentence]:
    key = prompt.key
    start, _, code = key.partition(".")
    if start == "go_on":
        return [*_reasons(code, known), Sentence("ask.go_on")]
    if key == "loss_wanted":
        weight = weight_text(known.number("earlier_weight_kg") or 0.0, units_of(known), language)
        return [Sentence("ask.loss_wanted", {"weight": weight})]
    if key == "consent.store":
        return [Sentence("tell.before_consent"), Sentence("ask.consent.store")]
    if prompt.kind in ("those", "permit", "still"):
        pages = {"those": "tell.skip", "still": "ask.still"}
        opening = pages.get(prompt.kind, "tell.consent" if key == "page.consent" else "")
        return [Sentence(opening)] if opening else []
    if key in FOLLOWED_UP:
        return [Sentence(f"more.{key}")]
    sentence = asked_sentence(key, known)
    if key == "eating_concern":
        return [Sentence("tell.skip"), sentence]
    return [sentence] if sentence.key in language.sentences else []


def _reasons(code: str, known: Known) -> list[Sentence]:
    """Why a client is asked whether to go on."""
    if code == "eating_concern":
        return [Sentence("tell.eating_concern")]
    if code != "urgent":
        return [Sentence(f"no_range_why.{code}")]
    urgent = [flag for flag in self_reported_flags(known) if flag.level == "refer_urgently"]
    return [Sentence(f"flag.{flag.rule.code}") for flag in urgent]


def _plans(known: Known, language: Language) -> list[str]:
    """Every plan with its minutes and what to wear for it."""
    texts = [
        _plan_text(Sentence(f"plan.{key}"), sites_of_plan(known, key), language, key)
        for key in PLAN_BY_KEY
    ]
    return [f"{order} {text}" for order, text in enumerate(texts, start=1)]


def planned_sentence(known: Known, language: Language) -> str:
    """Return what will be measured, how long it takes and what to wear."""
    sites = planned(known)
    what = Sentence("tell.planned", {"what": [Sentence(f"site.{name}") for name in sites]})
    is_moved = known.get("consent.uncover") is not False
    plan = _plan_text(what, sites, language, is_moved=is_moved)
    return f"{plan} {language.say('tell.then_chosen')}" if chooses(known) else plan


def _plan_text(
    what: Sentence,
    sites: tuple[str, ...],
    language: Language,
    plan: str = "",
    *,
    is_moved: bool = True,
) -> str:
    """One plan, or what is planned; of one that is open in length the minutes of most people."""
    clothing = bared_words(sites, is_moved=is_moved, language=language)
    spans = ADAPTIVE_MINUTES if plan == ADAPTIVE else (minutes_of(sites),)
    span = "–".join(language.number(minutes) for minutes in spans)
    values = {"span": span, "minutes": round(spans[-1]), "clothing": clothing}
    return language.text([what, Sentence("tell.plan", values)])


def _stance(name: str, known: Known) -> str:
    is_seated = name == "thigh_mm" and guide_of(known, name).variant == "seated"
    return "seated" if is_seated else STANCES[name]


def list_rows(key: str, language: Language) -> list[str]:
    """Return the words of a list of the intake as the client says them, in English, and explained."""
    rows = []
    for word in list_words(key):
        own, means = shown_word(language, f"word.{word}"), meaning(language, word)
        named = f"{own} [{word.replace('_', ' ')}]"
        rows.append(named if means == own else f"{named}: {means}")
    return rows


def flag_sentence(code: str, level: Level, language: Language) -> str:
    """Return the sentence of a flag for the client, with how soon a doctor is needed."""
    soon = how_soon(code, level)
    said = language.say(f"flag.{code}")
    return f"{said} {language.say(f'when.{soon}')}" if soon in WHEN else said

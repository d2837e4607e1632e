"""Wording of a measuring session: questions, landmarks, what a no changes, what can be typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.protocol.effort import BARED
from foldspan.protocol.repeat_rules import (
    READ_AFTER,
    REST,
)
from foldspan.protocol.site_guide import SiteGuide, mark_at
from foldspan.quantities import BY_NAME, convert, read_value, typed_unit
from foldspan.session.answers import Known, Prompt, rules_of
from foldspan.session.sites import guide_of
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital
from foldspan.text.en.repeats import allowed_words
from foldspan.text.questions import (
    ASKED,
    BEFORE_CONSENT,
    HEADS,
    asked_sentence,
    loss_question,
    page_question,
)

QUESTIONS: dict[str, str] = {
    "finish": (
        "All sites done. Press Enter for the result. To check first, type where; to repeat a"
        " reading, back SITE"
    ),
    "consent.store": (
        "May we keep what you tell us and what we measure today? (If not, the results are"
        " shown once and not kept)"
    ),
    "guardian": "Is a parent or guardian here, and will they stay?",
    "anabolic_drugs": (
        "Anabolic drugs (testosterone and the like)? Only if the client wishes to say"
    ),
    "code": "Client code (never a name)",
    "tester": "Your own code, as the tester (Enter for none)",
    "calliper": "Your name for this calliper, the same every time (Enter for none)",
    "sex": (
        "Which equations fit best: female, male or both? (This need not be the client's"
        " gender; both gives two results)"
    ),
    "age_years": "Age in years",
    "pregnant": "Pregnant?",
    "birth_months_ago": (
        "Months since giving birth (0 for this month), or none if not in the last two years"
    ),
    "eating_concern": (
        "An eating disorder, now or in the past, or worry about eating, weight or being measured?"
    ),
    "symptoms": (
        "Have you had any of these in the last few weeks? You may skip any. Type those that"
        " apply, none, or Enter if not asked or not answered; help explains the words"
    ),
    "conditions": (
        "Do you have any of these? You may skip any. Type those that apply, none, or Enter"
        " if not asked or not answered; help explains the words"
    ),
    "medicines": (
        "Do you take any of these? You may skip any. Type those that apply, none, or Enter"
        " if not asked or not answered; help explains the words"
    ),
    "surgery_months_ago": "Months since the operation (0 for this month), or none",
    "earlier_weight_kg": "Weight a few months ago, or none if the client does not know",
    "earlier_weight_months_ago": "How many months ago was that? Enter if not known",
    "go_on": "Continue measuring today?",
    "operated": "Where was the operation: belly, chest or elsewhere",
    "periods_stopped": "No periods for three months or more, with no known reason?",
    "blood_pressure_mmhg": "A recent blood pressure, such as 142/91, or none",
    "athlete": "Trains hard for sport or strength on most days?",
    "family_background": (
        "Family background, if you wish to say (some health limits differ, and the range"
        " differs for Black adults). Type it in your own words, or none, or Enter to skip;"
        " help lists the words that limits use"
    ),
    "plan": (
        "What would you like to measure? Type one or more names or numbers, or the minutes"
        " you have (20 min)"
    ),
    "consent.witness": (
        "Would you like someone you trust, or someone of your own sex, to be here or to"
        " measure you?"
    ),
}
SITE_CARE_SENTENCE = (
    "Do not measure there. When you come to such a site, type: cannot skin. Or measure on the"
    " left and type, for example: left 18.5."
)
UNSTEADY = (
    "The three readings do not agree, so this site gets a larger error. If there is time,"
    " re-mark it and type: back {site}."
)
REASONS: dict[str, str] = {
    "urgent": (
        "This cannot wait: the client needs a doctor today, or the emergency services."
        " Measuring can wait."
    ),
    "E201": (
        "There is no adult range under 18: growing bodies need growth charts and a"
        " clinician. Only weight and height are measured, and only if both the client and the"
        " parent or guardian agree."
    ),
    "E202": (
        "These methods do not work in pregnancy. Weight and height can be measured; the"
        " midwife or doctor will monitor weight."
    ),
    "eating_concern": (
        "Measuring could do harm here. Offer not to measure today, and say who can help with"
        " worries about eating. No numbers will be shown at the end."
    ),
}
# What an answer changes, said as soon as it is given: key and answer → sentence.
CHANGES: dict[tuple[str, bool], str] = {
    ("consent.store", False): "Nothing will be saved. The results are shown once.",
    ("consent.touch", False): "The client places the tape and you read it.",
    ("consent.pinch", False): "No skinfolds will be measured.",
    ("consent.uncover", False): (
        "Waist and hip are measured over one thin layer: the published average for clothing"
        " is subtracted, and the range gets wider. Other sites under clothing are left out."
    ),
    ("consent.mark", False): "No pen: the client keeps a finger on the spot.",
    ("consent.show", False): "The results will not be shown on this screen.",
    (
        "consent.share",
        False,
    ): "Nothing is sent to a doctor; the client can take the page with them.",
    ("consent.witness", True): "Ask them in before you continue, or let them take over.",
    ("prepared.skin", False): (
        "No skinfolds on damp skin or over lotion. Wipe the skin dry, then type undo and"
        " answer y; or continue with girths only."
    ),
    ("prepared.rested", False): (
        "This can affect skinfolds and weight (studies disagree). To compare visits, choose"
        " another day."
    ),
    ("go_on", False): "The session ends here.",
    ("guardian", False): (
        "Nothing is measured without a parent or guardian. The session ends here."
    ),
    (
        "consent.writer",
        False,
    ): "Then type the numbers yourself, where nobody else can see them.",
    ("consent.chest", False): "Those sites are left out.",
}
# Neither kept nor shown: said whichever of the two came last.
NEITHER = (
    "Nothing is saved and no results are shown, so nothing from today's visit will remain. If the client"
    " would like to see the results once, type back show and answer y."
)
LEFT_OUT: dict[str, str] = {
    "no_touch": "the client prefers not to be touched",
    "no_pinching": "the client prefers no skinfolds",
    "skin_not_ready": "skin not dry",
    "bleeds_easily": "the client bruises or bleeds easily",
    "off_belly": "the belly must not be touched (hernia, stoma or an operation)",
    "off_chest": "operation on the chest",
    "chest_declined": "the client would rather not",
    "covered": "under clothing that stays on",
}
BACKGROUND_HELP = (
    "Words that published limits use: {words}. Anything else is kept as typed. With DXA as"
    " the reference method, the range changes only if the client says Black and nothing else,"
    " because most methods overestimate body fat in adults who describe themselves this way."
    " Any other background, or none, leaves the range unchanged."
)
CANNOT_WORDS: dict[str, str] = {
    "refused": "the client would rather not",
    "thick": "too thick for the calliper's jaws",
    "painful": "it hurts",
    "lift": "the fold does not lift away from the muscle",
    "skin": "broken, sore or scarred skin, or an implant",
    "skipped": "left out",
    "other": "another reason; type it after the word",
}
HELP: tuple[tuple[str, str], ...] = (
    ("undo", "undoes the last answer"),
    ("back SITE", "repeats a reading"),
    ("+ SITE, - SITE", "adds a site to the plan, or removes it"),
    ("later", "postpones this site to the end of the round; typed again there, leaves it out"),
    ("cannot WHY", "why the site cannot be measured: " + ", ".join(CANNOT_WORDS)),
    ("60+", "the skinfold is thicker than the calliper can show"),
    ("left 18.5", "measured on the left, because the right side cannot be"),
    ("note TEXT", "saves a note here"),
    ("where", "shows what is done and what comes next"),
    ("how", "shows how to find this site"),
    ("blind off", "shows earlier readings; blind on hides them"),
    ("withdraw WHAT", "withdraws a consent: touch, pinch, uncover, mark, show, share, store"),
    ("stop", "pauses here; measure --resume continues the session"),
    ("end", "ends the session with what has been measured so far"),
)
RESTS = (
    f"You have just measured this site: let the skin recover for at least {REST:.0f} seconds,"
    " then lift the skinfold again."
)
# the same for what is no fold
TAKEN_ANEW = "You have just measured this site: start again from the beginning."
BEFORE = "Before measuring. Ask in private; the client may skip any question."
# Said before the first prompt whose key begins like this.
HEADINGS: dict[str, str] = {
    "consent.store": BEFORE_CONSENT,
    "page.who": HEADS["page.who"],
    "still": HEADS["still"],
    "page.women": BEFORE,
    "eating_concern": BEFORE,
    "page.more": HEADS["page.more"],
    "plan": "What to measure.",
    "page.consent": HEADS["page.consent"],
    "page.prepared": HEADS["page.prepared"],
    "page.marks": HEADS["page.marks"],
    "mark.": HEADS["page.marks"],
}
ROUNDS = {
    1: "First round: every site once.",
    2: "Second round: every site again, without looking at the first readings.",
    3: "Third readings, where the first two differ too much.",
}


def change_sentence(key: str, value: object, known: Known) -> str:
    """Return what an answer changes, said as soon as it is given; "" where it changes nothing.

    ``known`` is the session with the answer.
    """
    start = "go_on" if key.startswith("go_on.") else key
    unkept, unseen = known.get("consent.store") is False, known.get("consent.show") is False
    if key in ("consent.store", "consent.show") and unkept and unseen:
        return NEITHER
    return CHANGES.get((start, value), "") if isinstance(value, bool) else ""


def question(prompt: Prompt, known: Known, unit: str) -> str:
    """Return what is asked, with its unit."""
    if prompt.kind == "reading":
        return f"{capital(BY_NAME[prompt.quantity].label)} [{unit}]"
    if prompt.key.startswith("mark."):
        return landmark_question(guide_of(known, prompt.quantity), known, unit)
    start = prompt.key.partition(".")[0]
    if prompt.kind in ASKED:
        return page_question(prompt, known)
    if prompt.key == "loss_wanted":
        return loss_question(known)
    key = "go_on" if start == "go_on" else prompt.key
    sentence = QUESTIONS.get(key) or ENGLISH.say(asked_sentence(key, known))
    return f"{sentence} [{unit}]" if unit and unit not in ("years", "months") else sentence


def landmark_question(guide: SiteGuide, known: Known, unit: str) -> str:
    """Return what to measure for a mark, or to press Enter when it is set."""
    done = "marked" if known.get("consent.mark") else "found, with a finger on the spot"
    if known.get("consent.touch") is False:
        done = "the client has found it"
        if guide.mark is None:
            return f"Enter when {done}"
    if guide.mark is None:
        return f"Enter when {done}"
    return f"Distance from {guide.mark.first} to {guide.mark.last} [{unit}], or Enter when {done}"


def guide_lines(guide: SiteGuide) -> tuple[str, ...]:
    """Return where a site is, which way, and how the client stands."""
    label = capital(BY_NAME[guide.name].label)
    lines = [f"{label}: {guide.where}."]
    if guide.direction:
        which = "Fold" if BY_NAME[guide.name].kind == "skinfold" else "Taken"
        lines.append(f"{which}: {guide.direction}.")
    lines.append(f"Client: {guide.posture}.")
    return (*lines, guide.tip) if guide.tip else tuple(lines)


def mark_sentence(guide: SiteGuide, typed: str) -> str:
    """Return where the mark stands, in the unit typed, rounded to what a tape shows."""
    assert guide.mark is not None
    number, unit = _as_typed(typed)
    at = mark_at(guide.mark.share, number, 0.125 if unit == "in" else 0.1)
    shown = f"{at:.3f}".rstrip("0").rstrip(".") if unit == "in" else f"{at:.1f}"
    return f"Mark at {shown} {unit} from the {guide.mark.first}."


def _as_typed(typed: str) -> tuple[float, str]:
    """A distance in the unit in which the tape was read: inches, or centimetres."""
    unit = "in" if typed_unit([typed], "cm") in ("in", "ft") else "cm"
    return convert(read_value(typed, "cm"), "cm", unit), unit


def reason_sentence(prompt: Prompt) -> str:
    """Return why the session may end here, "" where nothing speaks against going on."""
    start, _, code = prompt.key.partition(".")
    if start != "go_on":
        return ""
    if code in REASONS:
        return REASONS[code]
    what, remedy = REFUSAL_WORDS[code]
    return f"No range can be given: {what}. {remedy}"


def bared_words(
    sites: tuple[str, ...], *, is_moved: bool = True, language: Language = ENGLISH
) -> str:
    """Return what the client takes off, and what is bared, for the sites of a plan.

    Where no clothing ``is_moved`` aside, only what is free already is measured bare.
    """
    codes = dict.fromkeys(BARED[name] for name in sites)
    asks = ("nothing", "light_clothes", "shoes_off", "underwear")
    places = [language.say(f"bare.{code}") for code in codes if code not in asks]
    worn = "underwear" if "underwear" in codes else "light"
    if not places:
        return language.say("bare.clothing", worn=worn)
    key = "bare.free" if is_moved else "bare.free_already"
    return language.say(key, worn=worn, places=places)


def list_words(key: str) -> dict[str, str]:
    """Return the words of one list of the intake with their meanings."""
    lists = {"symptoms": SYMPTOMS, "conditions": CONDITIONS, "medicines": MEDICINES}
    return lists.get(key, {})


def repeats_sentence(known: Known, sites: tuple[str, ...]) -> str:
    """Return how far two readings of these sites may lie apart, "" where no rule speaks of them."""
    answers = allowed_words(**rules_of(known), sites=sites)
    return f"Take a third reading if two differ by more than: {answers}." if answers else ""


def reading_reminder() -> str:
    """Return when to read a calliper."""
    return f"Release the trigger, keep holding the fold, and read after about {READ_AFTER:.0f} seconds."


def not_taken(answers: Mapping[str, Any]) -> list[str]:
    """Return the sites that were asked for in a session and not taken, with the reason."""
    found = []
    for key, answer in answers.items():
        if isinstance(answer, dict) and "cannot" in answer:
            label = BY_NAME[key.partition(".")[2]].label
            why = f" ({answer['why']})" if answer.get("why") else ""
            found.append(f"{label}: {CANNOT_WORDS[answer['cannot']].split(';')[0]}{why}")
    return found

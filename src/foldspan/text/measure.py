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
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital
from foldspan.text.en.repeats import allowed_words
from foldspan.text.explain import BARED_WORDS
from foldspan.text.questions import (
    ASKED,
    BEFORE_CONSENT,
    HEADS,
    line_text,
    loss_question,
    page_question,
)

QUESTIONS: dict[str, str] = {
    "finish": "All sites done. Press Enter for the result; to check first, type where or back SITE",
    "consent.store": (
        "May we keep what you tell us and what we measure today? (If no, it is shown once and not kept"
        " anywhere)"
    ),
    "guardian": "Is a parent or guardian here with the client, and will they stay?",
    "anabolic_drugs": (
        "Anabolic drugs (testosterone and the like)? Only if the client wishes to say"
    ),
    "code": "Code of the client (never a name)",
    "tester": "Your own code, as the person measuring; Enter for none",
    "calliper": "Your name for this calliper, the same every time; Enter for none",
    "sex": (
        "Which equations fit best: female, male or both? (This need not be the client's gender; both"
        " shows two answers)"
    ),
    "age_years": "Age in years",
    "pregnant": "Pregnant?",
    "birth_months_ago": (
        "Months since giving birth (0 for this month); none if not in the last two years"
    ),
    "eating_concern": (
        "An eating disorder, now or in the past, or worry about eating, weight or being measured?"
    ),
    "symptoms": (
        "Have you had any of these in the last few weeks? Type those that apply, none, or Enter if not"
        " asked or not answered; help explains the words"
    ),
    "conditions": (
        "Do you have any of these? Type those that apply, none, or Enter if not asked or not answered;"
        " help explains the words"
    ),
    "medicines": (
        "Do you take any of these? Type those that apply, none, or Enter if not asked or not answered;"
        " help explains the words"
    ),
    "surgery_months_ago": "Months since the operation (0 for this month), or none",
    "earlier_weight_kg": "Weight some months ago, or none if the client does not know it",
    "earlier_weight_months_ago": "How many months ago was that? Enter if nobody knows",
    "go_on": "Go on measuring today?",
    "operated": "Where was that operation: belly, chest or elsewhere",
    "periods_stopped": "No periods for three months or more, with no known reason?",
    "blood_pressure_mmhg": "A recent blood pressure, such as 142/91, or none",
    "athlete": "Trains hard for sport or strength on most days?",
    "family_background": (
        "Family background in the client's own words, if they wish to say (some health limits differ,"
        " and for Black adults the range too); none, or Enter to skip; help shows the words that limits"
        " go by"
    ),
    "plan": (
        "What would you like to measure? One or more of these by name or number, or the minutes you"
        " have (20 min)"
    ),
    "consent.witness": (
        "Would you like somebody you trust, or somebody of your own sex, to be here or to measure you?"
    ),
}
SITE_CARE_SENTENCE = (
    "Do not measure there. At such a site type cannot skin, or measure the left side and type left and"
    " the number."
)
UNSTEADY = (
    "The three readings do not agree, so this site counts with a wider error. If there is time, mark it"
    " again and type back {site}."
)
REASONS: dict[str, str] = {
    "urgent": (
        "What the client told you cannot wait: a doctor today, or the emergency number. Measuring can."
    ),
    "E201": (
        "Under 18 there is no adult range: a growing body needs growth charts and a clinician. Only"
        " weight and height are measured, and only if both the client and the parent or guardian agree."
    ),
    "E202": (
        "None of these methods works in pregnancy. Weight and height can be measured; the midwife or"
        " doctor watches weight."
    ),
    "eating_concern": (
        "Measuring can do harm here. Offer not to measure today, and mention who can help with worries"
        " about eating. No numbers will be shown at the end."
    ),
}
# What an answer changes, said as soon as it is given: key and answer → sentence.
CHANGES: dict[tuple[str, bool], str] = {
    ("consent.store", False): "Nothing will be saved. The results are shown once.",
    ("consent.touch", False): "The client places the tape; you read it.",
    ("consent.pinch", False): "No folds will be measured.",
    ("consent.uncover", False): (
        "Waist and hip are measured over one thin layer: the published average is taken off, and the"
        " range gets wider. Other sites under clothes, if any, are left out."
    ),
    ("consent.mark", False): "No pen: the client keeps a finger on the spot.",
    ("consent.show", False): "The results will not be shown on this screen.",
    (
        "consent.share",
        False,
    ): "Nothing is sent to a doctor; the client can take the page along.",
    ("consent.witness", True): "Ask them in before you go on, or let them take over.",
    ("prepared.skin", False): (
        "No folds on damp skin or over lotion: wipe it dry, then type undo and answer y; or go on with"
        " the tape."
    ),
    ("prepared.rested", False): (
        "Folds and weight may differ after that (studies disagree). To compare visits, choose another"
        " day."
    ),
    ("go_on", False): "The session ends here.",
    ("guardian", False): "Without a parent or guardian nothing is measured. The session ends here.",
    (
        "consent.writer",
        False,
    ): "Then type the numbers yourself, where nobody else can see them.",
    ("consent.chest", False): "Those sites are left out.",
}
# Neither kept nor shown: said whichever of the two came last.
NEITHER = (
    "Nothing is saved and no results are shown, so nothing of today's visit will remain. If the client"
    " would like to see the results once, type back show and answer y."
)
LEFT_OUT: dict[str, str] = {
    "no_touch": "no touching",
    "no_pinching": "no pinching",
    "skin_not_ready": "skin not dry",
    "bleeds_easily": "the client bleeds easily: folds may bruise",
    "off_belly": "no hands or tape on the belly (hernia, stoma or an operation)",
    "off_chest": "an operation at the chest",
    "chest_declined": "the client would rather not",
    "covered": "under clothes that stay on",
}
BACKGROUND_HELP = (
    "Words that published limits go by: {words}. Anything else is kept as it is said. The range by DXA"
    " goes by it where the client says Black and nothing else: most methods read high in adults who"
    " describe themselves so. Any other background leaves the range as it is; so does none."
)
CANNOT_WORDS: dict[str, str] = {
    "refused": "the client would rather not",
    "thick": "too thick for the jaws",
    "painful": "it hurts",
    "lift": "the fold does not lift off the muscle",
    "skin": "broken, sore or scarred skin, an implant",
    "skipped": "left out",
    "other": "another reason; type it after the word",
}
HELP: tuple[tuple[str, str], ...] = (
    ("undo", "takes the last answer back"),
    ("back SITE", "asks for a reading again"),
    ("+ SITE, - SITE", "adds a site to the plan, or takes it out"),
    ("later", "asks for this site at the end of the round; typed again there, leaves it out"),
    ("cannot WHY", "the site cannot be taken: " + ", ".join(CANNOT_WORDS)),
    ("60+", "the fold is thicker than the calliper's scale goes"),
    ("left 18.5", "measured on the left, because the right side cannot be"),
    ("note TEXT", "saves a remark at this point"),
    ("where", "shows what is done and what comes next"),
    ("how", "shows again where this site is"),
    ("blind off", "shows earlier readings; blind on hides them"),
    ("withdraw WHAT", "takes back a consent: touch, pinch, uncover, mark, show, share, store"),
    ("stop", "stops here; measure --resume picks the session up again"),
    ("end", "ends the session with what has been measured so far"),
)
RESTS = (
    f"You have just measured this site: let the skin rest for at least {REST:.0f} seconds, then lift the"
    " fold again."
)
# the same for what is no fold
TAKEN_ANEW = "You have just measured this site: start afresh, as if for the first time."
BEFORE = "Before measuring. Ask in a quiet place; the client may skip any question."
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
    2: "Second round: every site again, as if for the first time.",
    3: "Third readings, where the first two are too far apart.",
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
    asked = QUESTIONS[key] if key in QUESTIONS else line_text(key, known)
    return f"{asked} [{unit}]" if unit and unit not in ("years", "months") else asked


def landmark_question(guide: SiteGuide, known: Known, unit: str) -> str:
    """Return what to measure for a mark, or to press Enter when it is set."""
    done = "marked" if known.get("consent.mark") else "found, with a finger on it"
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
    return f"The mark is {shown} {unit} from the {guide.mark.first}."


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


def bared_words(sites: tuple[str, ...], *, is_moved: bool = True) -> str:
    """Return what the client takes off, and what is bared, for the sites of a plan.

    Where no clothing ``is_moved`` aside, only what is free already is measured bare.
    """
    codes = dict.fromkeys(BARED[name] for name in sites)
    asks = ("nothing", "light_clothes", "shoes_off", "underwear")
    bare = [BARED_WORDS[code] for code in codes if code not in asks]
    worn = "underwear, shoes off" if "underwear" in codes else "light clothes, shoes off"
    how = "bare" if is_moved else "only if free already"
    return f"{worn}; {how}: {', '.join(bare)}" if bare else worn


def list_words(key: str) -> dict[str, str]:
    """Return the words of one list of the intake with their meanings."""
    lists = {"symptoms": SYMPTOMS, "conditions": CONDITIONS, "medicines": MEDICINES}
    return lists.get(key, {})


def repeats_sentence(known: Known, sites: tuple[str, ...]) -> str:
    """Return how far two readings of these sites may lie apart, "" where no rule speaks of them."""
    answers = allowed_words(**rules_of(known), sites=sites)
    return (
        f"A third reading is needed when two differ by more than this: {answers}."
        if answers
        else ""
    )


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

"""Wording of the pages of a session: what is asked before measuring, read out line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from foldspan.display_units import METRIC, UNITS, ShownUnits
from foldspan.intake.model import NONE
from foldspan.protocol.effort import INTIMATE
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, LastVisit, Prompt, shown_last_time
from foldspan.session.pages import LINE_WORDS, shown_lines
from foldspan.session.sites import chosen, guide_of
from foldspan.text.catalogue import ENGLISH, Language, Sentence
from foldspan.text.client_answers import shown_word
from foldspan.text.en.reconcile import capital

BEFORE_CONSENT = f"Tell the client: {ENGLISH.sentences['tell.before_consent']}"
ASKED: dict[str, str] = {
    "those": (
        "Which of these apply? Type their words or numbers, with the details if known"
        " ({example}); none, or Enter if not asked or not answered"
    ),
    "permit": (
        "y for yes to all, n for no to all, or type only what is refused, such as no {first}"
    ),
    "still": (
        "y if nothing has changed, n to ask everything again, or type what has changed"
        " (words or numbers{example})"
    ),
    "sites": (
        "Press Enter when all sites are marked. Type a site and its distance ({site} 33) to"
        " see where the mark goes; cannot SITE WHY to leave one out; each to go through them"
        " one by one"
    ),
}
# What may stand behind the word of a line, by the first of these that a page has.
EXAMPLES: dict[str, str] = {
    "blood_pressure_mmhg": "pressure 142/91",
    "birth_months_ago": "birth 14 months ago",
    "earlier_weight_kg": "weight 74 kg, 6 months ago",
    "surgery_months_ago": "operation 14 months ago",
    "family_background": "family south asian",
    "age_years": "age 42",
}
HEADS: dict[str, str] = {
    "page.women": "Read out. The client may skip any line.",
    "page.more": "Read out. The client may skip any line.",
    "page.consent": "Consent: read out each line. The client may say no; that only changes the plan.",
    "page.prepared": "Preparation.",
    "page.marks": "Landmarks: find and mark every site before the first reading.",
    "page.who": "Client details, as given last time.",
    "still": "What the client told you last time. Ask in private whether it is still correct.",
}
# Lines of the last visit that are not carried over, and how to tell them anew.
NOT_CARRIED: dict[str, str] = {
    "blood_pressure_mmhg": "not carried over; type a recent one, such as y, pressure 142/91",
    "earlier_weight_kg": ("not carried over; type another, such as y, weight 74 kg, 6 months ago"),
    "calliper": "no name given",
}
# What medicines change, said as soon as they are told.
MEDICINES_CHANGE: dict[str, str] = {
    "cortisone_tablets": (
        "Steroid tablets move fat to the trunk and face and thin the skin: limb"
        " skinfolds give too low a result, and the skin bruises easily."
    ),
    "hiv_medicine": (
        "HIV medicines can move fat from the limbs to the trunk: skinfolds may be misleading."
    ),
    "water_tablets": (
        "Water tablets (diuretics) change body water: weigh at the same time of day at each visit."
    ),
    "anabolic_drugs": (
        "Anabolic drugs add muscle and water: methods based on weight overestimate fat,"
        " skinfolds less so."
    ),
}


def asked_sentence(key: str, known: Known) -> Sentence:
    """Return what a client is asked, by the key of a prompt: a line of a page, or a question alone."""
    if key == "consent.chest":
        sites = set(INTIMATE) & set(chosen(known))
        is_fold = any(BY_NAME[name].kind == "skinfold" for name in sites)
        folds = is_fold and known.get("consent.pinch") is not False
        return Sentence(f"ask.{key}_folds" if folds else f"ask.{key}_girths")
    if key == "consent.touch" and not any(
        BY_NAME[name].kind in ("skinfold", "breadth") for name in chosen(known)
    ):
        return Sentence("ask.consent.touch_tape")
    return Sentence(f"ask.{key}")


def page_lines(prompt: Prompt, known: Known, language: Language = ENGLISH) -> list[tuple[str, str]]:
    """Return the lines of a page: what may be typed, and what it says to the client."""
    if prompt.kind == "still":
        last_time = shown_last_time(known, prompt.key)
        return [
            (line_word(key, language), reported_text(key, last_time, units_of(known), language))
            for key in shown_lines(prompt.words)
        ]
    if prompt.kind == "sites":
        return [_site_line(key.removeprefix("mark."), known) for key in prompt.words]
    return [
        (line_word(key, language), language.say(asked_sentence(key, known)))
        for key in prompt.words
    ]  # fmt: skip


def line_word(key: str, language: Language) -> str:
    """Return the word of a line, in English and in the language of the client."""
    word, own = LINE_WORDS[key], shown_word(language, f"line.{key}")
    return word if own.casefold() == word else f"{word} / {own}"


def without_a_pen(text: str, known: Known) -> str:
    """Return a sentence about the landmarks as it is said: where nothing is marked, they are found."""
    if known.get("consent.touch") is not False and known.get("consent.mark") is not False:
        return text
    for said, instead in (
        ("find and mark", "find"),
        ("to mark", "to find"),
        ("marked", "found"),
        ("the mark goes", "it is"),
    ):
        text = text.replace(said, instead)
    return text


def page_question(prompt: Prompt, known: Known) -> str:
    """Return what to type on a page."""
    first = prompt.words[0]
    site = next((key for key in prompt.words if "triceps" in key), first).removeprefix("mark.")
    shown = BY_NAME[site].short_name.replace("_", " ") if site in BY_NAME else ""
    example = next((EXAMPLES[key] for key in EXAMPLES if key in prompt.words), "")
    if prompt.kind == "still" and example:
        example = f", followed by what is new, such as {example}"
    sentence = ASKED[prompt.kind].format(
        first=LINE_WORDS.get(first, ""), site=shown, example=example
    )
    return without_a_pen(sentence, known) if prompt.kind == "sites" else sentence


def _site_line(name: str, known: Known) -> tuple[str, str]:
    guide = guide_of(known, name)
    text = capital(guide.where)
    if guide.mark is not None:
        text += f" (distance: {guide.mark.first} to {guide.mark.last})"
    return BY_NAME[name].short_name.replace("_", " "), f"{text}."


def reported_text(
    key: str,
    answers: Mapping[str, Any],
    units: ShownUnits = METRIC,
    language: Language = ENGLISH,
) -> str:
    """Return an answer of the last visit as it is read out, a weight in the units of the session."""
    value = answers[key]
    if value is None:
        return NOT_CARRIED[key]
    if value in (NONE, []):
        return shown_word(language, "answer.none")
    if key == "earlier_weight_kg":
        weight = weight_text(value, units, language)
        months = round(answers["earlier_weight_months_ago"])
        return language.say("told.weight", weight=weight, months=months)
    if key == "age_years":
        return language.say("told.age", age=f"{value:g}")
    if isinstance(value, bool):
        return shown_word(language, "answer.yes" if value else "answer.no")
    if isinstance(value, (list, tuple)):
        return language.listed(_known_word(str(item), language) for item in value)
    if isinstance(value, (int, float)):
        where = answers.get("operated", "") if key == "surgery_months_ago" else ""
        if not where:
            return language.say("told.since", months=round(value))
        place = shown_word(language, f"choice.{where}")
        return language.say("told.place", months=round(value), place=place)
    return _known_word(str(value), language)


def _known_word(word: str, language: Language) -> str:
    """A word that was answered, in a language; one's own words as they were typed."""
    keys = (f"{group}.{word}" for group in ("word", "choice", "background"))
    key = next((key for key in keys if key in language.sentences), "")
    return shown_word(language, key) if key else word.replace("_", " ")


def loss_question(known: Known) -> str:
    """Return the question whether a loss was wanted, with the weight that was told and its time."""
    earlier, months = (
        known.number(key) for key in ("earlier_weight_kg", "earlier_weight_months_ago")
    )
    shown = "earlier weight" if earlier is None else weight_text(earlier, units_of(known))
    ago = "" if months is None else ENGLISH.say("told.since", months=round(months))
    when = f" of {ago}" if ago else " it was before"
    return f"Weight is lower than the {shown}{when}: did the client mean to lose weight?"


def units_of(known: Known) -> ShownUnits:
    """Return the units of a session."""
    return UNITS["us"] if known.facts.get("units") == "us" else METRIC


def weight_text(kilograms: float, units: ShownUnits, language: Language = ENGLISH) -> str:
    """Return a weight with its unit, as a language writes it."""
    shown = float(f"{kilograms / units.per_mass:.4g}")
    decimals = len(f"{shown:g}".partition(".")[2])
    return f"{language.number(shown, decimals)} {units.mass}"


def known_sentence(code: str, last: LastVisit | None, codes: Iterable[str]) -> str:
    """Return whether a code is one of those of the book, said as soon as it is typed."""
    if last is not None:
        visits = "1 visit" if last.visits == 1 else f"{last.visits} visits"
        return f"{code}: in the book; last visit {last.day} ({visits} so far)."
    if code in codes:
        return f"{code}: in the book, but no finished visit yet."
    alike = ", ".join(other for other in codes if _bare(other) == _bare(code))
    if alike:
        return (
            f"{code}: a new code, but {alike} is already in the book. If that is this client,"
            " type back code."
        )
    return f"{code}: a new code."


def _bare(code: str) -> str:
    """A code without what a slip of the keys changes: cases, blanks, hyphens."""
    return "".join(character for character in code.casefold() if character.isalnum())

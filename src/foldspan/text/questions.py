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
from foldspan.text.en.reconcile import capital

BEFORE_CONSENT = (
    "Tell the client: I will ask about your health, then measure your weight, your height"
    " and the places you agree to. You may skip any question and stop at any time. Everyone"
    " who uses this record book can read what is kept in it. Nothing goes to a doctor unless"
    " you agree. You can ask us to delete it at any time."
)
# The lines of a page, by the key of the question.
LINES: dict[str, str] = {
    "pregnant": "pregnant now",
    "birth_months_ago": "gave birth in the last two years",
    "periods_stopped": "periods stopped for three months or more, with no known reason",
    "surgery_months_ago": "had an operation in the last year",
    "blood_pressure_mmhg": "has had their blood pressure taken recently and knows the result",
    "earlier_weight_kg": "knows their weight from some months ago",
    "athlete": "trains hard for sport or strength on most days",
    "anabolic_drugs": (
        "takes anabolic drugs (such as testosterone), if they wish to say: these add muscle"
        " and water, so methods based on weight overestimate fat"
    ),
    "family_background": (
        "family background, if they wish to say: some health limits differ, and the range"
        " differs for Black adults"
    ),
    "consent.touch": "May I touch you to find the sites and place the tape?",
    "consent.pinch": "May I lift folds of skin and measure them with the calliper?",
    "consent.uncover": "Is it all right to move clothing aside at the sites?",
    "consent.mark": "May I mark the skin with a pen that washes off?",
    "consent.writer": "May a second person type in the numbers I read out?",
    "consent.show": "Would you like to see the results today?",
    "consent.share": "May we send the results to a doctor if one is needed?",
    "prepared.skin": "Is your skin dry, without lotion?",
    "prepared.rested": "No hard exercise, sauna or hot bath so far today?",
}
CHEST_FOLDS = "This plan includes skinfolds on the chest, which can be left out. May I take them?"
CHEST_GIRTHS = "This plan includes the chest girth, which can be left out. May I measure it?"
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
        "Steroid tablets move fat to the trunk and face and thin the skin: limb skinfolds"
        " read too low, and the skin bruises easily."
    ),
    "hiv_medicine": (
        "HIV medicine can move fat from the limbs to the trunk: skinfolds may mislead."
    ),
    "water_tablets": (
        "Water tablets (diuretics) change body water: weigh at the same time of day at each visit."
    ),
    "anabolic_drugs": (
        "Anabolic drugs add muscle and water: methods based on weight overestimate fat,"
        " skinfolds less so."
    ),
}


def line_text(key: str, known: Known) -> str:
    """Return one line of a page, as it is read out."""
    if key == "consent.chest":
        sites = set(INTIMATE) & set(chosen(known))
        is_fold = any(BY_NAME[name].kind == "skinfold" for name in sites)
        return CHEST_FOLDS if is_fold and known.get("consent.pinch") is not False else CHEST_GIRTHS
    if key == "consent.touch" and not any(
        BY_NAME[name].kind in ("skinfold", "breadth") for name in chosen(known)
    ):
        return "May I touch you to place the tape?"
    return LINES[key]


def page_lines(prompt: Prompt, known: Known) -> list[tuple[str, str]]:
    """Return the lines of a page: what may be typed, and what it says."""
    if prompt.kind == "still":
        last_time = shown_last_time(known, prompt.key)
        return [
            (LINE_WORDS[key], reported_text(key, last_time, units_of(known)))
            for key in shown_lines(prompt.words)
        ]
    if prompt.kind == "sites":
        return [_site_line(key.removeprefix("mark."), known) for key in prompt.words]
    return [(LINE_WORDS[key], line_text(key, known)) for key in prompt.words]


def without_a_pen(text: str, known: Known) -> str:
    """Return a sentence about the landmarks as it is said: where nothing is marked, they are found."""
    if known.get("consent.touch") is not False and known.get("consent.mark") is not False:
        return text
    for said, instead in (
        ("find and mark", "find"),
        ("to mark", "to find"),
        ("marked", "found"),
        ("its mark lies", "it lies"),
        ("the mark goes", "it lies"),
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
        example = f", and what is new behind them, such as {example}"
    asked = ASKED[prompt.kind].format(first=LINE_WORDS.get(first, ""), site=shown, example=example)
    return without_a_pen(asked, known) if prompt.kind == "sites" else asked


def _site_line(name: str, known: Known) -> tuple[str, str]:
    guide = guide_of(known, name)
    text = capital(guide.where)
    if guide.mark is not None:
        text += f" (distance: {guide.mark.first} to {guide.mark.last})"
    return BY_NAME[name].short_name.replace("_", " "), f"{text}."


def reported_text(key: str, answers: Mapping[str, Any], units: ShownUnits = METRIC) -> str:
    """Return an answer of the last visit as it is read out, a weight in the units of the session."""
    value = answers[key]
    if value is None:
        return NOT_CARRIED[key]
    if key == "earlier_weight_kg" and value != NONE:
        return f"{_weight(value, units)}, {_ago(answers['earlier_weight_months_ago'])}"
    if key == "age_years":
        return f"{value:g} by now"
    if value in (NONE, []):
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(str(item).replace("_", " ") for item in value)
    if isinstance(value, (int, float)):
        where = answers.get("operated", "") if key == "surgery_months_ago" else ""
        return _ago(value) + (f" ({where})" if where else "")
    return str(value).replace("_", " ")


def loss_question(known: Known) -> str:
    """Return the question whether a loss was wanted, with the weight that was told and its time."""
    earlier, months = (
        known.number(key) for key in ("earlier_weight_kg", "earlier_weight_months_ago")
    )
    shown = "earlier weight" if earlier is None else _weight(earlier, units_of(known))
    when = " it was before" if months is None else f" of {_ago(months)}"
    return f"Weight is lower than the {shown}{when}: did the client mean to lose weight?"


def units_of(known: Known) -> ShownUnits:
    """Return the units of a session."""
    return UNITS["us"] if known.facts.get("units") == "us" else METRIC


def _weight(kilograms: float, units: ShownUnits) -> str:
    return f"{kilograms / units.per_mass:.4g} {units.mass}"


def _ago(months: float) -> str:
    """How long ago something was, as it is said."""
    if months < 0.5:
        return "this month"
    return "1 month ago" if months < 1.5 else f"{months:.0f} months ago"


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

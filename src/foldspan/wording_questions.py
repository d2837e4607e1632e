"""Wording of the pages of a session: what is asked before measuring, read out line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from foldspan.intake import NONE
from foldspan.protocol.effort import INTIMATE
from foldspan.quantities import BY_NAME
from foldspan.session_known import Known, LastVisit, Prompt, told_last_time
from foldspan.session_pages import LINE_WORDS
from foldspan.session_plan import chosen, guide_of
from foldspan.wording import capital

BEFORE_CONSENT = (
    "Tell the client: I will ask about your health, then measure weight, height and the sites that you"
    " agree to. You may skip any question, and stop at any time. Whoever works with this book can read"
    " what is kept in it; nothing goes to a doctor unless you agree. You can have it erased at any time."
)
# The lines of a page, by the key of the question.
LINES: dict[str, str] = {
    "pregnant": "pregnant now",
    "birth_months_ago": "gave birth in the last two years",
    "periods_stopped": "periods stopped for three months or more, with no known reason",
    "surgery_months_ago": "had an operation in the last year",
    "blood_pressure_mmhg": "knows a blood pressure that was taken lately",
    "earlier_weight_kg": "knows what they weighed some months ago",
    "athlete": "trains hard for sport or strength on most days",
    "anabolic_drugs": (
        "takes anabolic drugs (testosterone and the like), if they wish to say: these add muscle and"
        " water, so methods that go by weight read too high"
    ),
    "family_background": "family background, if they wish to say: some health limits differ",
    "consent.touch": "May I touch you, to find the sites and to lay the tape?",
    "consent.pinch": "May I lift folds of skin and measure them with the calliper?",
    "consent.uncover": "Is it all right to move clothing aside at the sites?",
    "consent.mark": "May I mark the skin with a pen that washes off?",
    "consent.writer": "May a second person type what I read out?",
    "consent.show": "Would you like to see the results today?",
    "consent.share": "May the results go to a doctor, should one be needed?",
    "prepared.skin": "Is your skin dry, without lotion?",
    "prepared.rested": "No hard exercise, sauna or hot bath since you got up?",
}
CHEST_FOLDS = "Folds at the chest are part of this plan and can be left out. May I take them?"
CHEST_GIRTHS = "The girth of the chest is part of this plan and can be left out. May it be taken?"
ASKED: dict[str, str] = {
    "those": "Which of these apply? Their words or numbers, none, or Enter if not asked or not answered",
    "permit": "y for yes to all, n for no to all, or the lines with a no, such as no {first}",
    "still": "y if all is still so, n to ask all anew, or what changed (words or numbers)",
    "sites": (
        "Enter when all are marked; a site and its distance shows where the mark lies ({site} 33);"
        " cannot SITE WHY; each goes through them one by one"
    ),
}
HEADS: dict[str, str] = {
    "page.women": "Read out; the client may skip any line.",
    "page.more": "Read out; the client may skip any line.",
    "page.consent": (
        "Consent: read out each line. A no is welcome; it changes the plan, nothing else."
    ),
    "page.prepared": "Preparation.",
    "page.marks": "Landmarks: find and mark every site before the first reading.",
    "still": "Told last time. Ask whether it is still so, in a quiet place.",
}
# What medicines change, said as soon as they are told.
MEDICINES_CHANGE: dict[str, str] = {
    "cortisone_tablets": (
        "Cortisone tablets move fat to the trunk and the face and thin the skin: folds read low on the"
        " limbs and bruise easily."
    ),
    "hiv_medicine": "Medicine against HIV can move fat from the limbs to the trunk: folds may mislead.",
    "water_tablets": "Water tablets shift water: weigh at the same time of day each visit.",
    "anabolic_drugs": (
        "Anabolic drugs add muscle and water: methods that go by weight read too high; folds less so."
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
        return "May I touch you, to lay the tape?"
    return LINES[key]


def page_lines(prompt: Prompt, known: Known) -> list[tuple[str, str]]:
    """Return the lines of a page: what may be typed, and what it says."""
    if prompt.kind == "still":
        told = told_last_time(known)
        return [
            (LINE_WORDS[key], told_text(key, told))
            for key in prompt.words
            if key != "earlier_weight_months_ago"
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
        ("mark lies", "site lies"),
    ):
        text = text.replace(said, instead)
    return text


def page_question(prompt: Prompt, known: Known) -> str:
    """Return what to type on a page."""
    first = prompt.words[0]
    site = next((key for key in prompt.words if "triceps" in key), first).removeprefix("mark.")
    shown = BY_NAME[site].short_name.replace("_", " ") if site in BY_NAME else ""
    asked = ASKED[prompt.kind].format(first=LINE_WORDS.get(first, ""), site=shown)
    return without_a_pen(asked, known) if prompt.kind == "sites" else asked


def _site_line(name: str, known: Known) -> tuple[str, str]:
    guide = guide_of(known, name)
    text = capital(guide.where)
    if guide.mark is not None:
        text += f" (distance: {guide.mark.first} to {guide.mark.last})"
    return BY_NAME[name].short_name.replace("_", " "), f"{text}."


def told_text(key: str, told: Mapping[str, Any]) -> str:
    """Return an answer of the last visit as it is read out."""
    value = told[key]
    if key == "earlier_weight_kg" and value != NONE:
        return f"{value:g} kg, {told['earlier_weight_months_ago']:.0f} months ago"
    if value in (NONE, []):
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(str(one).replace("_", " ") for one in value)
    if isinstance(value, (int, float)):
        return f"{value:.0f} months ago"
    return str(value).replace("_", " ")


def known_sentence(code: str, last: LastVisit | None, codes: Iterable[str]) -> str:
    """Return whether a code is one of those of the book, said as soon as it is typed."""
    if last is not None:
        visits = "1 visit" if last.visits == 1 else f"{last.visits} visits"
        return f"{code}: known, last visit {last.day} ({visits})."
    if code in codes:
        return f"{code}: known, but without a visit that was ended."
    alike = ", ".join(one for one in codes if _bare(one) == _bare(code))
    if alike:
        return f"{code}: a new code, but {alike} is in the book. If that is the one: back code."
    return f"{code}: a new code."


def _bare(code: str) -> str:
    """A code without what a slip of the keys changes: cases, blanks, hyphens."""
    return "".join(one for one in code.casefold() if one.isalnum())

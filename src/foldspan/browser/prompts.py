"""Prompts: what a page shows of a prompt: question, lines, words, plans, and how far along it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from foldspan.api.plan import expected_width
from foldspan.browser.figures import close_up, whole_figure
from foldspan.intake.rules import LISTS
from foldspan.measuring.conducted import ConductedSession
from foldspan.measuring.said import said_at_reading, said_before
from foldspan.protocol.plan_widths import ADAPTIVE_MINUTES, PLAN_WIDTHS
from foldspan.protocol.plans import ADAPTIVE, PLANS, minutes_of
from foldspan.protocol.site_guide import SiteGuide
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, Prompt, is_blind, sexes_of
from foldspan.session.pages import LINE_WORDS, WITH_DETAIL
from foldspan.session.parse_client_answers import readable_word
from foldspan.session.parse_input import ONE_SIDED, TAKEN_BACK, reasons_at
from foldspan.session.parse_numbers import unit_at
from foldspan.session.questions import script
from foldspan.session.sites import chooses, guide_of, left_out, planned, sites_of_plan
from foldspan.session.state import State, progress
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.client_answers import meaning
from foldspan.text.client_session import client_sentences
from foldspan.text.measure import (
    CANNOT_WORDS,
    LEFT_OUT,
    bared_words,
    guide_lines,
    list_words,
)
from foldspan.text.next_site import AND_THEN, expected_sentence
from foldspan.text.on_page import CHOICES, OTHER_UNITS, asked_on_page, below_on_page
from foldspan.text.questions import page_lines
from foldspan.text.tapped import tapped

# lines of a page that may have a number or words behind them: what to write there
EXAMPLES: dict[str, str] = {
    "birth_months_ago": "months ago", "surgery_months_ago": "months ago",
    "blood_pressure_mmhg": "142/91", "earlier_weight_kg": "weight",
    "family_background": "in their own words", "sex": "female, male or both", "age_years": "years",
}  # fmt: skip


@dataclass(frozen=True, slots=True, repr=False)
class Line:
    """One line of a page."""

    word: str
    """Name of its field."""
    text: str
    """What it says."""
    example: str = ""
    """What may stand behind it, "" where nothing does."""
    has_months: bool = False
    """Whether it also asks how long ago."""
    to_client: str = ""
    """What it says in the client's language, "" in English."""


@dataclass(frozen=True, slots=True, repr=False)
class PlanCard:
    """One plan to choose."""

    key: str
    what: str
    minutes: str
    width: str
    clothing: str
    sites: tuple[str, ...]
    figure: str


def turn_of(session: ConductedSession) -> str:
    """Return what names this moment of a session: how much has happened, and what is asked."""
    return f"{len(session.events)}:{session.state.prompt.key}"


def prompt_values(session: ConductedSession, language: Language = ENGLISH) -> dict[str, Any]:
    """Return what the page of a prompt shows, whatever its kind.

    In another ``language`` than English what the client hears stands there too, to read out or turn
    round.
    """
    state = session.state
    prompt, known = state.prompt, state.known
    return {
        "prompt": prompt,
        "turn": turn_of(session),
        "code": session.code,
        "question": asked_on_page(prompt, known, unit_at(state, prompt)),
        "below": below_on_page(prompt),
        "unit": unit_at(state, prompt),
        # the question of a page says by itself that it is about the plan
        "said": [] if prompt.kind == "plan" else [tapped(line) for line in said_before(state)],
        "is_kept": bool(session.keeper.visit),
        "taken_back": TAKEN_BACK,
        "can_undo": bool(state.steps),
        "plan": [BY_NAME[name].label for name in planned(known)] if known.get("plan") else [],
        "expected": expected_sentence(known),
        "steps": _stages(state),
        "language": language.code,
        "for_client": _for_client(prompt, known, language),
        **_of_kind(state, prompt, known, language),
    }


def _for_client(prompt: Prompt, known: Known, language: Language) -> list[str]:
    """What the client hears, in their language; in English the trainer's own prompts are read out."""
    if language.code == ENGLISH.code or prompt.kind == "plan":
        return []
    return client_sentences(prompt, known, language)


def _of_kind(state: State, prompt: Prompt, known: Known, language: Language) -> dict[str, Any]:
    """What only one kind of prompt shows."""
    if prompt.kind in ("those", "permit", "still"):
        return {"lines": _lines(prompt, known, language)}
    if prompt.kind == "words":
        words = list_words(prompt.key) or LISTS[prompt.key]
        if language.code != ENGLISH.code:
            words = {word: meaning(language, word) for word in words}
        return {"words": [(word, readable_word(word), meant) for word, meant in words.items()]}
    if prompt.kind == "choice":
        return {
            "choices": [(word, CHOICES.get(word, readable_word(word))) for word in prompt.words]
        }
    if prompt.kind == "plan":
        return {"cards": _cards(known)}
    if prompt.kind == "sites" or prompt.key.startswith("mark."):
        return {"sites": _sites(prompt, known)}
    return _reading(state, prompt, known) if prompt.kind == "reading" else {}


def _lines(prompt: Prompt, known: Known, language: Language) -> list[Line]:
    keys = {LINE_WORDS[key]: key for key in LINE_WORDS}
    is_english = language.code == ENGLISH.code
    in_theirs = [text for _, text in page_lines(prompt, known, language)]
    return [
        Line(
            word,
            tapped(text[:1].upper() + text[1:]),
            EXAMPLES.get(keys[word], "") if keys[word] in WITH_DETAIL else "",
            word == "weight",
            "" if is_english else theirs,
        )
        for (word, text), theirs in zip(page_lines(prompt, known), in_theirs, strict=True)
    ]


def _cards(known: Known) -> list[PlanCard]:
    """Every plan with its minutes, what it buys, what has to be bared, and its sites."""
    sexes = sexes_of(known)
    return [
        PlanCard(
            plan.key,
            plan.what[:1].upper() + plan.what[1:],
            "{} to {}".format(*ADAPTIVE_MINUTES)
            if plan.key == ADAPTIVE
            else f"{minutes_of(sites):.0f}",
            f"{max(PLAN_WIDTHS[plan.key, sex] for sex in sexes):.1f}",
            f"{bared_words(sites)}{AND_THEN if plan.key == ADAPTIVE else ''}",
            tuple(BY_NAME[name].label for name in sites),
            whole_figure(sites, plan.what),
        )
        for plan in PLANS
        for sites in [sites_of_plan(known, plan.key)]
    ]


def _sites(prompt: Prompt, known: Known) -> list[dict[str, Any]]:
    """Sites to be marked: name, words, the two landmarks where there is a distance."""
    keys = prompt.words if prompt.kind == "sites" else (prompt.key,)
    found = []
    for name in (key.removeprefix("mark.") for key in keys):
        guide = guide_of(known, name)
        label = BY_NAME[name].label
        found.append(
            {
                "name": name,
                "label": label[:1].upper() + label[1:],
                "lines": _place_lines(guide) if prompt.kind == "sites" else (),
                "mark": guide.mark,
                "short": BY_NAME[name].short_name,
                "figure": close_up(name, guide.variant),
                "reasons": [(reason, CANNOT_WORDS[reason]) for reason in reasons_at(name)],
            }
        )
    return found


def _place_lines(guide: SiteGuide) -> list[str]:
    """Where a site is, under its name: without the name itself."""
    first, *rest = guide_lines(guide)
    where = first.partition(": ")[2]
    return [where[:1].upper() + where[1:], *rest]


def _reading(state: State, prompt: Prompt, known: Known) -> dict[str, Any]:
    """A reading: how far along, what comes next, how to take it; never what was read before."""
    done, whole = progress(state)
    quantity, guide = BY_NAME[prompt.quantity], guide_of(known, prompt.quantity)
    other_unit, in_other_unit = OTHER_UNITS.get(unit_at(state, prompt), ("", ""))
    coming = [
        BY_NAME[asks.quantity].label
        for asks in script(known)
        if asks.kind == "reading"
        and asks.key not in known.answers
        and asks.key != prompt.key
        # what an adaptive plan will choose comes before the second round
        and (asks.turn == prompt.turn or not chooses(known))
    ]
    return {
        "number": done + 1,
        "whole": whole,
        "round": prompt.turn,
        "rests": prompt.rests,
        "how": said_at_reading(prompt),
        "guide": _place_lines(guide),
        "figure": close_up(guide.name, guide.variant),
        "coming": coming[:3],
        "other_unit": other_unit,
        "in_other_unit": in_other_unit,
        "is_fold": quantity.kind == "skinfold",
        "has_side": prompt.quantity in ONE_SIDED,
        "is_blind": is_blind(known, prompt),
        "reasons": [(reason, CANNOT_WORDS[reason]) for reason in reasons_at(prompt.quantity)],
        "shown": [] if is_blind(known, prompt) else _earlier(known, prompt),
    }


def _earlier(known: Known, prompt: Prompt) -> list[str]:
    """Readings of the same site, where nothing is to be hidden."""
    return [
        str(known.reading(turn, prompt.quantity).get("typed", ""))
        for turn in range(1, prompt.turn)
        if known.value(turn, prompt.quantity) is not None
    ]


def _stages(state: State) -> list[tuple[str, str]]:
    """Where a session is: each stage with ``done``, ``now`` or ``later``."""
    key = state.prompt.key
    order = ("Before measuring", "Plan", "Consent", "Landmarks", "Readings", "Result")
    if key.startswith("mark.") or key == "page.marks":
        now = 3
    elif key[:2] in ("1.", "2.", "3.") or key in ("loss_wanted", "finish"):
        now = 4
    elif key == "plan":
        now = 1
    elif key.startswith(("consent.", "page.consent", "prepared", "page.prepared", "calliper")):
        now = 0 if key == "consent.store" else 2
    else:
        now = 5 if key == "done" else 0
    return [
        (name, "done" if place < now else "now" if place == now else "later")
        for place, name in enumerate(order)
    ]


def left_out_lines(known: Known) -> list[str]:
    """Return what was left out of the plan, with the reason."""
    return [
        f"Left out ({LEFT_OUT[code]}): {'; '.join(BY_NAME[name].label for name in gone)}."
        for code, gone in left_out(known).items()
    ]


def width_to_expect(known: Known) -> str:
    """Return the width of the range that the plan may be expected to give, "" where there is none."""
    sites = planned(known)
    widths = [width for sex in sexes_of(known) if (width := expected_width(sites, sex)) is not None]
    return f"{max(widths):.1f}" if widths else ""

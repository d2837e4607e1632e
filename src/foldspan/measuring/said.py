"""Said: what a session says before a prompt and after an answer, for every face in the same words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from foldspan.intake.word_search import says_nothing
from foldspan.measuring.conducted import LineOutcome
from foldspan.protocol.site_guide import FOLD_TECHNIQUE, TAPE_TECHNIQUE
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, Prompt, is_unsteady
from foldspan.session.events import Answer, AskedAgain, NextChosen, Undone
from foldspan.session.sites import SITE_CARE, guide_of
from foldspan.session.state import State
from foldspan.text.measure import (
    HEADINGS,
    RESTS,
    ROUNDS,
    SITE_CARE_SENTENCE,
    TAKEN_ANEW,
    UNSTEADY,
    change_sentence,
    guide_lines,
    mark_sentence,
    reading_reminder,
    reason_sentence,
)
from foldspan.text.next_site import next_lines
from foldspan.text.questions import MEDICINES_CHANGE, without_a_pen
from foldspan.visit.client import background_remarks

WAITS = "{code} has an unfinished session from {day}."


def headings_of(prompt: Prompt, known: Known) -> dict[str, str]:
    """Return what heads a prompt and those like it: what tells it from others → how it is said."""
    return {
        text: without_a_pen(text, known) if start in ("page.marks", "mark.") else text
        for start, text in HEADINGS.items()
        if prompt.key.startswith(start)
    }


def said_before(state: State) -> list[str]:
    """Return what has to be known before the prompt of a session is answered."""
    prompt, known = state.prompt, state.known
    # what a plan chose as it went comes after the first readings, and was said already
    is_chosen = prompt.quantity in known.words("next")
    lines = [] if is_chosen else [*headings_of(prompt, known).values()]
    if reason := reason_sentence(prompt):
        lines.append(reason)
    if prompt.key.startswith("mark."):
        lines += guide_lines(guide_of(known, prompt.quantity))
    return lines


def technique_of(prompt: Prompt) -> str:
    """Return how a reading is taken, "" where nothing has to be said of it."""
    kind = BY_NAME[prompt.quantity].kind
    if kind == "skinfold":
        return FOLD_TECHNIQUE if prompt.turn == 1 else reading_reminder()
    return TAPE_TECHNIQUE if kind == "girth" else ""


def rest_of(prompt: Prompt) -> str:
    """Return what comes between two readings of one site in a row, "" where nothing does."""
    if not prompt.rests:
        return ""
    return RESTS if BY_NAME[prompt.quantity].kind == "skinfold" else TAKEN_ANEW


def said_at_reading(prompt: Prompt) -> list[str]:
    """Return what belongs to a reading: its round, how to take it, and whether the skin has to rest."""
    lines = (ROUNDS[prompt.turn], technique_of(prompt), rest_of(prompt))
    return [line for line in lines if line]


def said_after(outcome: LineOutcome) -> list[str]:
    """Return what an answer changes, said as soon as it is given."""
    if outcome.problems:
        return []
    waits = [WAITS.format(code=outcome.after.known.get("code"), day=day) for day in outcome.waiting]
    known = [outcome.known] * bool(outcome.known)
    return [*waits, *known, *said_changes(outcome), *said_next(outcome.chosen, outcome.now)]


def said_next(chosen: NextChosen | None, state: State) -> list[str]:
    """Return what an adaptive plan chose, and what to expect of it; ``state`` is the session with it."""
    return [] if chosen is None else next_lines(chosen, state.known)


def said_changes(outcome: LineOutcome) -> list[str]:
    """Return what one answer changes: what it entails, and how the session goes on."""
    return [*_changes(outcome)]


def _changes(outcome: LineOutcome) -> Iterator[str]:
    event = outcome.parsed.moves
    if isinstance(event, Undone | AskedAgain):
        yield "Undone."
    for key, value in outcome.answers.items():
        yield from _change(key, value, outcome.after)
    for key in outcome.answers:
        turn, _, name = key.partition(".")
        if turn == "3" and is_unsteady(outcome.after.known, name):
            yield UNSTEADY.format(site=BY_NAME[name].short_name)


def _change(key: str, value: Answer, state: State) -> Iterator[str]:
    """What one answer changes."""
    known = state.known
    if sentence := change_sentence(key, value, known):
        yield sentence
    if key.startswith("mark.") and isinstance(value, Mapping) and "typed" in value:
        yield mark_sentence(guide_of(known, key.removeprefix("mark.")), str(value["typed"]))
    if key == "family_background" and isinstance(value, str) and not says_nothing(value):
        yield from background_remarks(value)
    if key == "conditions" and known.reported(*SITE_CARE):
        yield SITE_CARE_SENTENCE
    for word in [key] if value is True else value if isinstance(value, list) else []:
        if word in MEDICINES_CHANGE:
            yield MEDICINES_CHANGE[str(word)]

"""Said: what a session says before a prompt and after an answer, for every face in the same words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from foldspan.intake.word_search import says_nothing
from foldspan.measuring.conducted import Heard
from foldspan.protocol.site_guide import FOLD_TECHNIQUE, TAPE_TECHNIQUE
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Prompt, is_unsteady
from foldspan.session.events import Amended, Answer, Answered, AskedAgain, PageAnswered, Undone
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


def said_before(state: State) -> list[str]:
    """Return what has to be known before the prompt of a session is answered."""
    prompt, known = state.prompt, state.known
    lines = [
        without_a_pen(text, known) if start in ("page.marks", "mark.") else text
        for start, text in HEADINGS.items()
        if prompt.key.startswith(start)
        # what a plan chose as it went comes after the first readings, and was said already
        and prompt.quantity not in known.words("next")
    ]
    if reason := reason_sentence(prompt):
        lines.append(reason)
    if prompt.key.startswith("mark."):
        lines += guide_lines(guide_of(known, prompt.quantity))
    return lines


def said_at_reading(prompt: Prompt) -> list[str]:
    """Return what belongs to a reading: its round, how to take it, and whether the skin has to rest."""
    kind = BY_NAME[prompt.quantity].kind
    lines = [ROUNDS[prompt.turn]]
    if kind == "skinfold":
        lines.append(FOLD_TECHNIQUE if prompt.turn == 1 else reading_reminder())
    elif kind == "girth":
        lines.append(TAPE_TECHNIQUE)
    if prompt.rests:
        lines.append(RESTS if kind == "skinfold" else TAKEN_ANEW)
    return lines


def said_after(heard: Heard) -> list[str]:
    """Return what an answer changes, said as soon as it is given."""
    if heard.problems:
        return []
    lines = [*heard.remarks, *_changes(heard)]
    return lines if heard.chosen is None else [*lines, *next_lines(heard.chosen, heard.after.known)]


def _changes(heard: Heard) -> Iterator[str]:
    event = heard.parsed.moves
    if isinstance(event, Undone | AskedAgain):
        yield "Undone."
    if not isinstance(event, Answered | Amended | PageAnswered):
        return
    values = event.values if isinstance(event, PageAnswered) else {event.key: event.value}
    for key, value in values.items():
        yield from _change(key, value, heard.after)
    name = event.key.partition(".")[2]
    if event.key.startswith("3.") and is_unsteady(heard.after.known, name):
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

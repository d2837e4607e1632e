"""Parse, going back: which answer is taken back, by the name of its site or of its question."""

from __future__ import annotations

import re

from foldspan.intake.from_tree import joined_word
from foldspan.measurement.site_names import sites_named
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Prompt
from foldspan.session.events import AskedAgain, Undone
from foldspan.session.pages import LINE_WORDS
from foldspan.session.parsed import ParsedLine, again
from foldspan.session.questions import script
from foldspan.session.state import State


def back_to(state: State, text: str) -> ParsedLine:
    """Return what ``back`` means: the last answer, or the latest one of the site that is named.

    Every label that ``where`` shows, every name and every unique beginning is understood, with the
    number of a reading behind it where one is meant (``back triceps 1``).
    """
    given = [prompt for prompt in script(state.known) if prompt.key in state.known.answers]
    if not text:
        return (
            ParsedLine(moves=Undone())
            if given
            else again("E113", "there is no answer yet", "Answer the question.")
        )
    if text.lower() == "plan" and state.known.get("plan"):  # asked only while there is none
        return ParsedLine(moves=AskedAgain("plan"))
    name, turn = text, 0
    if numbered := re.fullmatch(r"(.*?)[\s_]*([123])", text):
        name, turn = numbered.group(1), int(numbered.group(2))
    among = tuple(dict.fromkeys(prompt.quantity for prompt in given if prompt.quantity))
    sites = sites_named(name, among)
    found = [
        prompt for prompt in given if prompt.quantity in sites[:1] and turn in (0, prompt.turn)
    ]
    if len(sites) == 1 and found:
        return ParsedLine(moves=AskedAgain(found[-1].key))
    if not sites and (questions := _questions(given, joined_word(text))):
        return ParsedLine(moves=AskedAgain(questions[-1].key))
    if len(sites) > 1:
        labels = "; ".join(BY_NAME[site].label for site in sites)
        return again("E115", "fits several sites", f"Type more of the name: {labels}.", text)
    remedy = "Type back and the name of a site, such as back triceps; where shows the names."
    if sites_named(name):
        return again("E115", "not answered yet", remedy, text)
    return again("E115", "no answer by that name", remedy, text)


def _questions(given: list[Prompt], word: str) -> list[Prompt]:
    """Questions that are no site, by their key or the last part of it, else by a beginning."""
    names = [
        (
            prompt,
            {prompt.key, prompt.key.rpartition(".")[2], LINE_WORDS.get(prompt.key, prompt.key)},
        )
        for prompt in given
        if not prompt.quantity
    ]
    exact = [prompt for prompt, forms in names if word in forms]
    begun = [prompt for prompt, forms in names if any(form.startswith(word) for form in forms)]
    return exact or (begun if len(begun) == 1 else [])

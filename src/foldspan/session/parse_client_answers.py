"""Parse client answers: what a typed line means at a question about the client, before measuring."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from foldspan.intake.from_tree import joined_word
from foldspan.intake.model import NONE
from foldspan.intake.pressure_text import highest_pair, pressures_in
from foldspan.intake.rules import LISTS, are_crossed, is_pressure
from foldspan.intake.word_search import WordsRead, near_words, says_nothing, the_word, words_in
from foldspan.session.answers import Prompt
from foldspan.session.checks import not_the_same
from foldspan.session.parsed import ParsedLine, again, answer, back_once
from foldspan.session.state import State
from foldspan.visit.keys import LONGEST_CODE

YES, NO = ("y", "yes"), ("n", "no")


def _word(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    refused = _not_plain(text)
    if refused is not None:
        return refused
    looks_like_a_name = re.fullmatch(r"[^\W\d_]{2,}[ ,]+[^\W\d_]{2,}", text) is not None
    if prompt.key in ("code", "tester") and looks_like_a_name and not stands:
        remedy = "Use a code of your own, such as K-014. If it is a code, type it again."
        return back_once("E121", "looks like a name; names are not stored", remedy)
    return answer(prompt, text)


def _yes_no(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    if text.lower() in (*YES, *NO):
        return answer(prompt, text.lower() in YES)
    if prompt.is_optional and says_nothing(text):
        return answer(prompt, False)
    return again("E113", "neither yes nor no", "Type y or n.", text)


def _choice(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    if prompt.is_optional and says_nothing(text):
        return answer(prompt, NONE)
    typed = joined_word(text)
    near = [word for word in prompt.words if word.startswith(typed)]
    if typed in prompt.words or len(near) == 1:
        word = typed if typed in prompt.words else near[0]
        other = None if stands else not_the_same(state.known, prompt.key, word)
        return answer(prompt, word) if other is None else ParsedLine(problem=other, asks_back=True)
    return again("E113", "not one of the words", f"Type one of {', '.join(prompt.words)}.", text)


def _words(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    known = LISTS[prompt.key]
    if says_nothing(text):
        return answer(prompt, [])
    # a bare "steroid" is asked back: in a gym it means something else
    read = words_in(text, known, reads_old=False)
    if read.elsewhere:
        remedy = "That has its own question. Type words from this list, or none."
        return again("E113", f"{readable_words(read.elsewhere)}: not in this list", remedy, text)
    if read.denied:
        what = f"{readable_words(read.denied)}: you typed that this does not apply"
        return again("E113", what, "Type only what applies, or none.", text)
    if read.rest:
        return _not_understood(known, read)
    return answer(prompt, list(read.words))


def _not_understood(known: Mapping[str, str], read: WordsRead) -> ParsedLine:
    """Ask back what is not a word of the list, by the names of those that may be meant."""
    if the_word(read.rest[0]) and not the_word(read.rest[0], reads_old=False):
        remedy = (
            "Type cortisone tablets if that is right, or none; a later question asks about"
            " anabolic drugs."
        )
        return again(
            "E113", "could mean corticosteroid tablets or anabolic drugs", remedy, read.rest[0]
        )
    near = near_words(read.rest[0], known)
    remedy = "Type words separated by commas, none, or help for their meaning."
    meant = ""
    if near:
        question = f"Did you mean {' or '.join(map(readable_word, near))}?"
        # a yes is enough where one word alone is near
        if len(near) == len(read.rest) == 1:
            meant = readable_words((*read.words, *near))
            question += " Type y if so."
        remedy = f"{question} {remedy}"
    return replace(again("E113", "not in this list", remedy, read.rest[0]), meant=meant)


def readable_word(word: str) -> str:
    """Return a word of the intake as it is said."""
    return word.replace("_", " ")


def readable_words(words: Iterable[str]) -> str:
    """Return several words of the intake as they are said."""
    return ", ".join(map(readable_word, words))


def _pressure(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    if prompt.is_optional and says_nothing(text):
        return answer(prompt, NONE)
    upper, lower = highest_pair(pressures_in(text)) or (0.0, 0.0)
    if not (is_pressure(lower) and is_pressure(upper)) or are_crossed(upper, lower):
        return again("E101", "not a blood pressure", "Type it as 142/91, or none.", text)
    return answer(prompt, [upper, lower])


def _background(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """Family background in any words, as in a visit file; what is used of it is said."""
    if says_nothing(text):
        return answer(prompt, NONE)
    refused = _not_plain(text)
    return answer(prompt, text) if refused is None else refused


def _not_plain(text: str) -> ParsedLine | None:
    """Why a text cannot be kept in one line, None where it can."""
    if not text.isprintable():
        return again(
            "E121", "contains characters that cannot be stored", "Type letters and digits only."
        )
    if len(text) > LONGEST_CODE:
        return again("E121", "too long", f"Type up to {LONGEST_CODE} characters.")
    return None


ANSWER_PARSERS: dict[str, Callable[[State, Prompt, str, bool], ParsedLine]] = {
    "word": _word, "yes_no": _yes_no, "choice": _choice, "words": _words, "pressure": _pressure,
    "background": _background,
}  # fmt: skip

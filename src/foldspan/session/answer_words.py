"""Answer words: what is typed in the client's language, in the words that a session reads.

Only words change: whatever is typed in English stays as it is, and the events are the same in every
language.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from foldspan.session.answers import Prompt
from foldspan.session.pages import LINE_WORDS, shown_lines
from foldspan.session.parse_input import COMMANDS
from foldspan.session.parse_page import ALL, BETWEEN, EXCEPT, NO, YES
from foldspan.session.parsed import ParsedLine, again

_PIECE = re.compile(r"[^\W_]+")
# letters from which on the beginning of a line's word stands for it
SHORTEST = 3
Phrase = tuple[str, ...]


@dataclass(frozen=True, slots=True, repr=False)
class AnswerWords:
    """Words of one language, as phrases → the English word for each.

    ``lines`` go to the keys of their questions; ``none`` says that nothing applies, ``fillers`` are
    words around a number that English puts elsewhere, or not at all; ``between`` change nothing between
    the lines of a page, and behind ``excepting`` the other answer holds.
    """

    yes: frozenset[Phrase] = frozenset()
    no: frozenset[Phrase] = frozenset()
    none: frozenset[Phrase] = frozenset()
    fillers: frozenset[Phrase] = frozenset()
    every: frozenset[Phrase] = frozenset()
    between: frozenset[Phrase] = frozenset()
    excepting: frozenset[Phrase] = frozenset()
    times: Mapping[Phrase, str] = field(default_factory=dict)
    choices: Mapping[Phrase, str] = field(default_factory=dict)
    backgrounds: Mapping[Phrase, str] = field(default_factory=dict)
    lists: Mapping[Phrase, str] = field(default_factory=dict)
    lines: Mapping[Phrase, str] = field(default_factory=dict)


def phrase_of(text: str) -> Phrase:
    """Return the words of a text without accents, capitals and signs.

    >>> phrase_of("S'il vous plaît")
    ('s', 'il', 'vous', 'plait')
    """
    bare = unicodedata.normalize("NFKD", text.casefold().replace("œ", "oe"))
    return tuple(_PIECE.findall("".join(sign for sign in bare if not unicodedata.combining(sign))))


def in_english(prompt: Prompt, line: str, words: AnswerWords) -> str | ParsedLine:
    """Return a typed line in the words that a session reads, or why it has to be asked back.

    Commands and whatever is not among the words stay as they were typed.
    """
    text = " ".join(line.split())
    phrase = phrase_of(text)
    is_command = bool(phrase) and text.split()[0].lower() in COMMANDS
    if not phrase or is_command or prompt.key.startswith("mark."):
        return line
    if prompt.kind in ("those", "permit", "still"):
        return _on_a_page(prompt, text, phrase, words)
    if prompt.kind == "choice":
        return _choice(prompt, text, phrase, words)
    if prompt.kind in ("yes_no", "words") and phrase in words.yes:
        return "y"
    if prompt.kind == "yes_no" and phrase in words.no:
        return "n"
    if prompt.kind in ("yes_no", "words", "number", "pressure", "background"):
        if prompt.is_optional and phrase in words.none:
            return "none"
        if prompt.kind == "words":
            return _replaced(text, words.lists)
        if prompt.kind == "number":
            return _replaced(text, {**words.times, **dict.fromkeys(words.fillers, "")})
        if prompt.kind == "background":  # whole only: "not white" must not turn into white
            return words.backgrounds.get(phrase, text)
    return line


def _choice(prompt: Prompt, text: str, phrase: Phrase, words: AnswerWords) -> str | ParsedLine:
    if text.lower() in prompt.words:
        return text
    joined = " ".join(phrase)
    meant = {
        word
        for said, word in words.choices.items()
        if word in prompt.words and " ".join(said).startswith(joined)
    }
    if phrase in words.choices and words.choices[phrase] in prompt.words:
        return words.choices[phrase]
    if len(meant) > 1:
        return again("E113", "fits several words", "Type more letters of the word.", text)
    return meant.pop() if meant else text


def _on_a_page(prompt: Prompt, text: str, phrase: Phrase, words: AnswerWords) -> str:
    is_consent = prompt.kind == "permit"
    if phrase in words.yes:
        return "y"
    if not is_consent and phrase in words.none and prompt.kind == "those":
        return "none"
    if phrase in words.no:
        return "n"
    said: dict[Phrase, str] = _lines(shown_lines(prompt.words), words)
    if is_consent:
        said = dict.fromkeys(words.between, "") | said
        said |= dict.fromkeys(words.no, "no") | dict.fromkeys(words.every, ALL)
        said |= dict.fromkeys(words.excepting, EXCEPT[0])
    else:
        said |= {**words.times, **words.backgrounds, **words.choices}
        said |= dict.fromkeys(words.none, "none") | dict.fromkeys(words.fillers, "")
    return _replaced(text, said | dict.fromkeys(words.yes, "y"))


def _lines(keys: Iterable[str], words: AnswerWords) -> dict[Phrase, str]:
    """The words of the lines of a page, and every beginning of one that no other begins with."""
    own = {said[0]: key for said, key in words.lines.items() if key in keys}
    taken = {*YES, *NO, ALL, *BETWEEN, *EXCEPT, *LINE_WORDS.values()}
    begun: dict[str, set[str]] = {}
    for word, key in own.items():
        for length in range(SHORTEST, len(word)):
            begun.setdefault(word[:length], set()).add(key)
    short = {
        beginning: key
        for beginning, (key, *others) in begun.items()
        if not others and beginning not in taken
    }
    return {(word,): LINE_WORDS[key] for word, key in {**short, **own}.items()}


def _replaced(text: str, said: Mapping[Phrase, str]) -> str:
    """Put the English word for every phrase, the longest first; all else stays as typed."""
    found = list(_PIECE.finditer(text))
    pieces = [phrase_of(match.group()) for match in found]
    most = max(map(len, said), default=0)
    parts: list[str] = []
    place = end = 0
    while place < len(found):
        for length in range(min(most, len(found) - place), 0, -1):
            phrase = tuple(word for piece in pieces[place : place + length] for word in piece)
            if phrase in said:
                parts += [text[end : found[place].start()], said[phrase]]
                end = found[place + length - 1].end()
                place += length
                break
        else:
            place += 1
    return " ".join("".join([*parts, text[end:]]).split())

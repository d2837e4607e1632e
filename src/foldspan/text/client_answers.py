"""Client answers: the words of a language that answer the questions of a session, from its catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from foldspan.session.answer_words import AnswerWords, Phrase, phrase_of
from foldspan.session.answers import Prompt
from foldspan.text.catalogue import ANSWER_KEYS, LANGUAGES, Language

# units of time as a session reads them
TIMES = ("days", "weeks", "months", "years")


def alternatives(language: Language, key: str) -> tuple[str, ...]:
    """Return the words of a key that mean the same; the first is the one that is shown.

    A word of a list comes with its meaning, which may be typed as well.
    """
    sentence = language.sentences[key]
    between = ":" if key.startswith("word.") else ","
    return tuple(word.strip() for word in sentence.split(between, 1 if between == ":" else -1))


def shown_word(language: Language, key: str) -> str:
    """Return the word of a key that is shown."""
    return alternatives(language, key)[0]


def meaning(language: Language, word: str) -> str:
    """Return what a word of a list means, as a client reads it."""
    return alternatives(language, f"word.{word}")[-1]


@cache
def answer_words(code: str) -> AnswerWords:
    """Return the words of a language by its code; of English none, as a session reads English."""
    language = LANGUAGES[code]
    if code == "en":
        return AnswerWords()

    def only(name: str) -> frozenset[Phrase]:
        return frozenset(map(phrase_of, alternatives(language, f"answer.{name}")))

    def group(prefix: str) -> dict[Phrase, str]:
        return {
            phrase: word.replace("_", " ") for phrase, word in _phrases(language, prefix)
        }  # fmt: skip

    return AnswerWords(
        yes=only("yes"), no=only("no"), none=only("none"), fillers=only("ago"), every=only("all"),
        between=only("between"), excepting=only("except"),
        times={phrase: name for name in TIMES for phrase in only(name)},
        choices=group("choice."), backgrounds=group("background."), lists=group("word."),
        lines=dict(_phrases(language, "line.")),
    )  # fmt: skip


def _phrases(language: Language, prefix: str) -> Iterator[tuple[Phrase, str]]:
    for key in ANSWER_KEYS:
        if key.startswith(prefix):
            for said in alternatives(language, key):
                yield phrase_of(said), key.removeprefix(prefix)


def answers_shown(prompt: Prompt, language: Language) -> str:
    """Return what may be typed in a language beside the English words; "" for what has none."""
    named = {
        "yes_no": ("answer.yes", "answer.no"),
        "permit": ("answer.yes", "answer.no"),
        "still": ("answer.yes", "answer.no"),
        "choice": tuple(f"choice.{word}" for word in prompt.words),
    }.get(prompt.kind, ())
    takes_none = prompt.is_optional and not prompt.key.startswith("mark.")
    if takes_none and prompt.kind in ("those", "words", "number", "pressure", "background"):
        named = (*named, "answer.none")
    return _in_pairs(language, named)


def background_words(language: Language) -> str:
    """Return the family backgrounds that a limit or the range goes by, in a language and in English."""
    return _in_pairs(language, [key for key in ANSWER_KEYS if key.startswith("background.")])


def _in_pairs(language: Language, keys: Iterable[str]) -> str:
    english = LANGUAGES["en"]
    return ", ".join(f"{shown_word(language, key)} = {shown_word(english, key)}" for key in keys)

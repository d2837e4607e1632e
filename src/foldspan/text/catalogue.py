"""Text catalogue: every sentence of the pages by its key, in each language, with its numbers and days.

One catalogue a language. A sentence is asked for by its key and its values; it is one message of
``text/message.py``, never put together from pieces.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from foldspan.quantities import BY_NAME, MEASURED
from foldspan.session.pages import LINE_WORDS, UNDER_ANOTHER
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.text.de.answers import GERMAN_ANSWERS
from foldspan.text.de.changes import GERMAN_CHANGES
from foldspan.text.de.client import GERMAN_SENTENCES
from foldspan.text.de.notices import GERMAN_NOTICES
from foldspan.text.de.page import GERMAN_PAGE
from foldspan.text.de.spoken import GERMAN_SPOKEN
from foldspan.text.de.together import GERMAN_TOGETHER
from foldspan.text.en.answers import ENGLISH_ANSWERS
from foldspan.text.en.client import (
    CLIENT_BOTH_SEXES,
    CLIENT_BOTH_SEXES_WHY,
    CLIENT_CAREFUL,
    CLIENT_CAREFUL_END,
    CLIENT_CAREFUL_FLAGS,
    CLIENT_CAREFUL_WHY,
    CLIENT_CAUTIONS,
    CLIENT_END,
    CLIENT_NEXT,
    CLIENT_NO_RANGE,
    CLIENT_NO_RANGE_ASK,
    CLIENT_NO_RANGE_WHY,
    CLIENT_OPENING,
    CLIENT_OUTSIDE,
    CLIENT_REASONS,
    CLIENT_STOP,
    CLIENT_VERDICTS,
    CLIENT_WHY_RANGE,
    client_site,
)
from foldspan.text.en.client_page import CLIENT_PAGE
from foldspan.text.en.flag_words import FLAG_WORDS
from foldspan.text.en.health import BAND_WORDS
from foldspan.text.en.letter import LETTER
from foldspan.text.en.notices import ABOUT, FILL_IN, TITLES, TOPICS, WHEN
from foldspan.text.en.reconcile import FAMILY_NAMES
from foldspan.text.en.spoken import ENGLISH_SPOKEN
from foldspan.text.en.staff_pages import STAFF_PAGES
from foldspan.text.en.together import ENGLISH_TOGETHER
from foldspan.text.en.trainer_sheet import TRAINER_SHEET
from foldspan.text.es.answers import SPANISH_ANSWERS
from foldspan.text.es.changes import SPANISH_CHANGES
from foldspan.text.es.client import SPANISH_SENTENCES
from foldspan.text.es.notices import SPANISH_NOTICES
from foldspan.text.es.page import SPANISH_PAGE
from foldspan.text.es.spoken import SPANISH_SPOKEN
from foldspan.text.es.together import SPANISH_TOGETHER
from foldspan.text.fr.answers import FRENCH_ANSWERS
from foldspan.text.fr.changes import FRENCH_CHANGES
from foldspan.text.fr.client import FRENCH_SENTENCES
from foldspan.text.fr.notices import FRENCH_NOTICES
from foldspan.text.fr.page import FRENCH_PAGE
from foldspan.text.fr.spoken import FRENCH_SPOKEN
from foldspan.text.fr.together import FRENCH_TOGETHER
from foldspan.text.message import Amount, parsed, said

if TYPE_CHECKING:
    from babel import Locale

# what is compared from visit to visit without any equation
CHANGED = tuple(name for name in MEASURED if BY_NAME[name].kind in ("skinfold", "girth"))


class Sentence(NamedTuple):
    """A sentence by its key, with the values that stand in it."""

    key: str
    values: Mapping[str, Any] = {}


@dataclass(frozen=True, slots=True)
class Language:
    """One language: ``code`` as in BCP 47, and its sentences by key."""

    code: str
    """Its code of BCP 47."""
    sentences: Mapping[str, str]
    """Its sentences by key."""
    locales: Mapping[str, str] = field(default_factory=dict)
    """System of units → locale that decides how numbers and days are written."""
    semicolon: str = "; "
    """What parts things in a row that hold commas themselves."""
    first_of_month: str = "1"
    """How the first day of a month is written."""

    def say(self, sentence: Sentence | str, **values: Any) -> str:
        """Return a sentence; values that are themselves said are put in their words first.

        Raises
        ------
        KeyError
            For a key that the catalogue does not hold.
        """
        key, inner = (
            (sentence, values) if isinstance(sentence, str) else (sentence.key, sentence.values)
        )
        words = {name: self._words(value) for name, value in inner.items()}
        return said(parsed(self.sentences[key]), words, self)

    def _words(self, value: Any) -> Any:
        if isinstance(value, Sentence):
            return self.say(value)
        if isinstance(value, list | tuple) and not isinstance(value, Amount):
            return self.listed(dict.fromkeys(str(self._words(part)) for part in value))
        return value

    def listed(self, parts: Iterable[str]) -> str:
        """Return things in a row: "a, b and c"; those that are rows themselves parted by semicolons."""
        from babel.lists import format_list

        every = list(parts)
        if len(every) < 2:
            return "".join(every)
        locale = self._locale("metric")
        signs = (",", ";", _between_two(str(locale)))
        if any(sign in part for part in every for sign in signs):
            return self.semicolon.join(every)
        return str(format_list(every, "standard", locale))

    def plural(self, number: Decimal) -> str:
        """Return the plural form of a number in this language."""
        return str(self._locale("metric").plural_form(number))

    def text(self, sentences: Iterable[Sentence]) -> str:
        """Return sentences as one text; what two of them say alike is said once."""
        return " ".join(dict.fromkeys(self.say(sentence) for sentence in sentences))

    def number(self, value: float, digits: int = 0, *, signed: bool = False) -> str:
        """Return a number as it is written in this language."""
        from babel.numbers import format_decimal

        pattern = "0" + ("." + "0" * digits if digits else "")
        if signed:
            pattern = f"+{pattern};-{pattern}"
        # as print would round it: babel rounds halves of the decimal that a float is not
        exact = float(f"{value:.{digits}f}") + 0.0
        written = str(format_decimal(exact, pattern, locale=self._locale("metric")))
        # a minus is as wide as a plus, and nought has neither
        return written.replace("-", "\u2212") if exact else written.removeprefix("+")

    def day(self, day: datetime.date, units: str = "metric") -> str:
        """Return a day in words: 4 March 2026, March 4, 2026, 4. März 2026 or 1er mars 2026."""
        from babel.dates import format_date

        return self._ordinal(day, str(format_date(day, "long", locale=self._locale(units))))

    def short_day(self, day: datetime.date, units: str = "metric") -> str:
        """Return a day in two short lines, as under a picture: 4 Mar, 2026 below it."""
        from babel.dates import format_skeleton

        short = str(format_skeleton("MMMd", day, locale=self._locale(units)))
        return f"{self._ordinal(day, short)}\n{day.year}"

    def _ordinal(self, day: datetime.date, written: str) -> str:
        # the common locale data has a plain 1 where French writes 1er
        starts = day.day == 1 and written.startswith("1 ")
        return self.first_of_month + written.removeprefix("1") if starts else written

    def _locale(self, units: str) -> Locale:
        return _parsed_locale(self.locales.get(units, self.code))


@cache
def _parsed_locale(name: str) -> Locale:
    # each function of babel would parse the name again
    from babel import Locale

    return Locale.parse(name)


@cache
def _between_two(locale: str) -> str:
    """Return what stands between two things in a row: " and ", " und "."""
    from babel.lists import format_list

    return str(format_list(["\n", "\n"], "standard", locale)).strip("\n")


def _english() -> dict[str, str]:
    families = {f"family.{name}": words for name, words in FAMILY_NAMES.items()}
    listed: tuple[tuple[str, Mapping[str, str]], ...] = (
        ("verdict", CLIENT_VERDICTS),
        ("reason", {key or "none": words for key, words in CLIENT_REASONS.items()}),
        ("caution", CLIENT_CAUTIONS),
        ("no_range_why", CLIENT_NO_RANGE_WHY),
        ("elsewhere", CLIENT_OUTSIDE),
        ("flag", {code: words[1] for code, words in FLAG_WORDS.items()}),
        ("careful_flag", CLIENT_CAREFUL_FLAGS),
        ("topic", TOPICS),
        ("notice", TITLES),
        ("when", WHEN),
        ("about", ABOUT),
        ("fill_in", FILL_IN),
        ("site", {name: client_site(name) for name in MEASURED}),
        ("changed", {name: client_site(name) for name in CHANGED}),
        ("band", BAND_WORDS),
    )
    single = {
        "opening": CLIENT_OPENING,
        "why_range": CLIENT_WHY_RANGE,
        "next": CLIENT_NEXT,
        "end": CLIENT_END,
        "no_range": CLIENT_NO_RANGE,
        "no_range_ask": CLIENT_NO_RANGE_ASK,
        "both_sexes": CLIENT_BOTH_SEXES,
        "both_sexes_why": CLIENT_BOTH_SEXES_WHY,
        "stop": CLIENT_STOP,
        "careful": CLIENT_CAREFUL,
        "careful_why": CLIENT_CAREFUL_WHY,
        "careful_end": CLIENT_CAREFUL_END,
    }
    named = {f"{part}.{key}": words for part, lines in listed for key, words in lines.items()}
    return (
        single
        | named
        | families
        | CLIENT_PAGE
        | ENGLISH_TOGETHER
        | ENGLISH_SPOKEN
        | _english_answers()
    )


def _english_answers() -> dict[str, str]:
    """Return the words that answer a session; "black" says nothing to limits, yet moves the range."""
    lines = {key: word for key, word in LINE_WORDS.items() if key not in UNDER_ANOTHER}
    words = {word: f"{word.replace('_', ' ')}: {means}" for word, means in ALL_WORDS.items()}
    backgrounds = {word: word.replace("_", " ") for word in (*BACKGROUNDS, "black")}
    listed = (("line", lines), ("word", words), ("background", backgrounds))
    named = {f"{part}.{key}": said for part, group in listed for key, said in group.items()}
    return ENGLISH_ANSWERS | named


CLIENT_KEYS: tuple[str, ...] = tuple(_english())
"""Every sentence that a client reads or hears, on a page or in a session: what a language has to say."""
ANSWER_KEYS: tuple[str, ...] = tuple(_english_answers())
"""Those of them that are typed as answers."""
ENGLISH = Language(
    "en", _english() | STAFF_PAGES | LETTER | TRAINER_SHEET, {"metric": "en_GB", "us": "en_US"}
)
GERMAN = Language(
    "de",
    GERMAN_SENTENCES
    | GERMAN_NOTICES
    | GERMAN_CHANGES
    | GERMAN_PAGE
    | GERMAN_TOGETHER
    | GERMAN_SPOKEN
    | GERMAN_ANSWERS,
    {"metric": "de_DE", "us": "de_DE"},
)
SPANISH = Language(
    "es",
    SPANISH_SENTENCES
    | SPANISH_NOTICES
    | SPANISH_CHANGES
    | SPANISH_PAGE
    | SPANISH_TOGETHER
    | SPANISH_SPOKEN
    | SPANISH_ANSWERS,
    {"metric": "es_ES", "us": "es_ES"},
)
FRENCH = Language(
    "fr",
    FRENCH_SENTENCES
    | FRENCH_NOTICES
    | FRENCH_CHANGES
    | FRENCH_PAGE
    | FRENCH_TOGETHER
    | FRENCH_SPOKEN
    | FRENCH_ANSWERS,
    {"metric": "fr_FR", "us": "fr_FR"},
    semicolon="\u00a0; ",
    first_of_month="1er",
)
LANGUAGES: dict[str, Language] = {
    language.code: language for language in (ENGLISH, GERMAN, SPANISH, FRENCH)
}

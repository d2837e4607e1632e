"""Every language says all that a client's page can say, with the same values and in its own words."""

from __future__ import annotations

import datetime
import re

import pytest

import foldspan
from foldspan.text.catalogue import (
    CLIENT_KEYS,
    ENGLISH,
    FRENCH,
    GERMAN,
    LANGUAGES,
    SPANISH,
    Language,
    Sentence,
)
from foldspan.text.client_message import client_words
from foldspan.text.message import names_in

OTHERS = [language for language in LANGUAGES.values() if language.code != "en"]
# names and signs that are the same word in both languages
ALIKE_IN = {"fr": {"page.day", "page.contact"}, "es": {"line.plan"},
            "de": {"standard.who"}}  # fmt: skip
ALIKE = {
    "picture.span",
    "careful_flag.advise",
}


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.code)
def test_a_language_says_what_english_says_and_nothing_else(language: Language) -> None:
    assert set(language.sentences) == set(CLIENT_KEYS)


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.code)
def test_the_same_values_stand_in_every_sentence(language: Language) -> None:
    for key in CLIENT_KEYS:
        assert names_in(language.sentences[key]) == names_in(ENGLISH.sentences[key]), key


@pytest.mark.parametrize("language", OTHERS, ids=lambda language: language.code)
def test_nothing_is_left_in_english(language: Language) -> None:
    same = {key for key in CLIENT_KEYS if language.sentences[key] == ENGLISH.sentences[key]}
    assert same <= ALIKE | ALIKE_IN.get(language.code, set())


def test_a_sentence_that_is_not_there_is_an_error_and_no_gap() -> None:
    with pytest.raises(KeyError):
        GERMAN.say("no.such_sentence")
    with pytest.raises(KeyError):
        ENGLISH.say("opening", low=20)  # a value is missing


def test_values_are_said_in_the_language_of_the_sentence() -> None:
    said = Sentence("next", {"what": [Sentence("site.hip_cm"), Sentence("site.waist_iliac_cm")]})
    assert "your hips and your waist" in ENGLISH.say(said)
    german = GERMAN.say(said)
    assert "Hüfte und " in german
    assert "Taille" in german
    assert "hip" not in german
    assert "algo más: la cadera y la cintura." in SPANISH.say(said)


def test_what_two_sentences_say_alike_is_said_once() -> None:
    twice = [Sentence("flag.bmi_far_above"), Sentence("flag.bmi_very_far_above")]
    assert ENGLISH.text(twice) == ENGLISH.say(twice[0])


def test_numbers_and_days_are_written_as_the_language_does() -> None:
    # as the Unicode common locale data has it
    assert GERMAN.number(71.3, 1) == SPANISH.number(71.3, 1) == "71,3"
    assert ENGLISH.number(71.3, 1) == "71.3"
    assert ENGLISH.number(-1.25, 1, signed=True) == "\u22121.2"
    assert ENGLISH.number(2.0, 1, signed=True) == "+2.0"
    day = datetime.date(2026, 3, 4)
    assert ENGLISH.day(day) == "4 March 2026"
    assert ENGLISH.day(day, "us") == "March 4, 2026"
    assert GERMAN.day(day) == "4. März 2026"
    assert SPANISH.day(day) == SPANISH.day(day, "us") == "4 de marzo de 2026"
    assert ENGLISH.short_day(day, "us") == "Mar 4\n2026"
    assert GERMAN.short_day(day) == "4. März\n2026"
    assert SPANISH.short_day(day) == "4 mar\n2026"
    assert FRENCH.number(71.3, 1) == "71,3"
    assert FRENCH.day(day) == "4 mars 2026"
    assert FRENCH.short_day(day) == "4 mars\n2026"


def test_french_writes_the_first_of_a_month_as_an_ordinal() -> None:
    first, tenth = datetime.date(2026, 1, 1), datetime.date(2026, 1, 10)
    assert FRENCH.day(first) == "1er janvier 2026"
    assert FRENCH.short_day(first) == "1er janv.\n2026"
    assert FRENCH.day(tenth) == "10 janvier 2026"
    assert ENGLISH.day(first) == "1 January 2026"
    assert GERMAN.day(first) == "1. Januar 2026"


def test_french_signs_are_never_parted_from_their_words() -> None:
    """As typeset in France: a no-break space before two-part signs and inside the quotes."""
    parted = re.compile(r"(?<![\u00a0])[;:?!%»]|«(?!\u00a0)")
    for key, sentence in FRENCH.sentences.items():
        if key != "picture.axis.fat_percent":  # "(% du poids)" begins with its sign
            assert not parted.search(sentence), key
        assert "'" not in sentence, key  # the typographic apostrophe throughout
        # neither a vowel behind a word that drops its own, nor a blank twice
        assert not re.search(r"(?<!-)\b(?:de|que|le|la|ne|se) [aeiouyéèêà]", sentence), key
        assert "  " not in sentence, key


@pytest.mark.parametrize("value", [0.04, -0.04, 0.0])
def test_nothing_is_a_minus_nought(value: float) -> None:
    assert ENGLISH.number(value, 1) == "0.0"


def test_the_client_of_explain_can_be_talked_to_in_german() -> None:
    found = foldspan.explain(foldspan.Visit.from_file("examples/visit.toml"))
    likely = found.result.fat_percent.range_80
    assert likely is not None
    low, high = round(likely[0]), round(likely[1])
    opening = f"Ihr Körperfett liegt wahrscheinlich zwischen {low} und {high}\u00a0%."
    assert client_words(found, GERMAN).startswith(opening)
    assert client_words(found).startswith(f"Your body fat is probably between {low}% and {high}%")


def test_no_sentence_judges_a_body_or_orders_anybody_about() -> None:
    """Wording after NICE NG246 and the joint statement on stigma of 2020: people first, no blame."""
    judging = re.compile(
        r"\b(overweight|obes\w+|skinny|flab\w*|ideal|normal|bad|fail\w*|lazy|must|goal weight|"
        r"übergewicht\w*|adipös\w*|fettleibig\w*|dünn|normal\w*|schlecht|versag\w*|müssen abnehmen|"
        r"sobrepeso|gord\w+|flac\w+|fracas\w+|perez\w+|debe|tiene que|"
        r"surpoids|obès\w*|obési\w*|gros(?:se)?s?|idéa\w*|anorma\w*|mauvais\w*|échec|échou\w*|devez)\b",
        re.IGNORECASE,
    )
    for language in LANGUAGES.values():
        for key in CLIENT_KEYS:
            assert not judging.search(language.sentences[key]), f"{language.code} {key}"

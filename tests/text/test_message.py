"""Messages: what a pattern says, and that every language has the patterns it needs."""

from __future__ import annotations

import ast
import re
from decimal import Decimal
from pathlib import Path

import pytest
from babel import Locale

from foldspan.text.catalogue import (
    CLIENT_KEYS,
    ENGLISH,
    FRENCH,
    GERMAN,
    LANGUAGES,
    SPANISH,
    Language,
)
from foldspan.text.message import Amount, Choice, names_in, parsed, parts_of, said

WHO = "{who, select, she {she} other {they}}"
WEEKS = "{weeks, plural, =0 {now} one {in # week} other {in # weeks}}, " + WHO
EVERY = list(LANGUAGES.values())
# what is typed or named, and is no sentence
WORDS = ("answer.", "choice.", "word.", "line.", "background.")


@pytest.mark.parametrize(
    "weeks, who, expected",
    [(0, "she", "now, she"), (1, "he", "in 1 week, they"), (8, "she", "in 8 weeks, she")],
)
def test_a_pattern_is_chosen_by_number_and_by_word(weeks: int, who: str, expected: str) -> None:
    assert said(parsed(WEEKS), {"weeks": weeks, "who": who}, ENGLISH) == expected


def test_a_choice_may_hold_another_and_values_of_its_own() -> None:
    message = (
        "{since, select, day {Since {day},}"
        " other {Over {n, plural, one {# visit} other {# visits}},}} so"
    )
    assert said(parsed(message), {"since": "day", "day": "4 May"}, ENGLISH) == "Since 4 May, so"
    assert said(parsed(message), {"since": "all", "n": 3}, ENGLISH) == "Over 3 visits, so"
    assert names_in(message) == {"since", "day", "n"}
    assert (
        said(parsed("No. # in {n}"), {"n": 2}, ENGLISH) == "No. # in 2"
    )  # a number sign by itself


@pytest.mark.parametrize(
    "message",
    ["{", "}", "a } b", "{a, plural, one {x}}", "{a, select, b {x} other {y}", "{a b}",
     "{a, list, other {x}}", "{a, plural, one other {x}}", "{}", "{a, select, {x} other {y}}"],
)  # fmt: skip
def test_a_pattern_that_does_not_close_is_refused(message: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011
        parsed(message)


def test_a_value_that_is_missing_or_no_number_is_an_error_without_the_value() -> None:
    with pytest.raises(KeyError):
        said(parsed(WEEKS), {"weeks": 2}, ENGLISH)
    with pytest.raises(TypeError, match="not str") as error:
        said(parsed(WEEKS), {"weeks": "81.9", "who": "she"}, ENGLISH)
    assert "81.9" not in str(error.value)


def test_plurals_go_by_what_is_written() -> None:
    """As the plural rules of the common locale data: 1.0 is many in English, 1,5 is one in French."""
    points = "{n, plural, one {# one} other {# many}}"
    expected = {
        (language.code, number): said(parsed(points), {"n": Amount(number, 1)}, language)
        for language in (ENGLISH, GERMAN, SPANISH, FRENCH)
        for number in (1.0, 1.5, 2.0)
    }
    assert expected["en", 1.0] == "1.0 many"
    assert expected["de", 1.0] == "1,0 many"
    assert expected["es", 1.0] == "1,0 one"
    assert expected["es", 1.5] == "1,5 many"
    assert expected["fr", 1.5] == "1,5 one"
    assert expected["fr", 2.0] == "2,0 many"


def test_things_in_a_row_are_joined_as_the_language_joins_them() -> None:
    assert ENGLISH.listed(["a", "b", "c"]) == "a, b and c"
    assert GERMAN.listed(["a", "b", "c"]) == "a, b und c"
    assert SPANISH.listed(["a", "b"]) == "a y b"
    assert FRENCH.listed(["a", "b", "c"]) == "a, b et c"
    assert FRENCH.listed(["a, x", "b"]) == "a, x\u00a0; b"
    assert ENGLISH.listed(["a"]) == "a"
    assert ENGLISH.listed(["a, x"]) == "a, x"
    assert ENGLISH.listed(["weight and height", "waist"]) == "weight and height; waist"
    assert GERMAN.listed(["Gewicht und Größe", "Taille"]) == "Gewicht und Größe; Taille"
    assert ENGLISH.listed(["sand", "land"]) == "sand and land"
    # "y" becomes "e" before a vowel of its sound, which format_list does not know: nothing begins so
    lists = ("site.", "topic.", "bare.", "page.", "measure.", "family.")
    named = [words for key, words in SPANISH.sentences.items() if key.startswith(lists)]
    assert not [words for words in named if re.match(r"(?:i|hi|í|hí)(?!e)", words.casefold())]


@pytest.mark.parametrize("language", EVERY, ids=lambda language: language.code)
def test_every_plural_has_the_forms_that_its_language_knows(language: Language) -> None:
    rule = Locale.parse(language.code).plural_form
    numbers = [*range(1001), *(Decimal(tenths) / 10 for tenths in range(1000))]
    needed = {rule(number) for number in numbers}
    assert needed >= {"one", "other"}
    plurals = 0
    for key in CLIENT_KEYS:
        if key.startswith(WORDS):
            continue
        for part in parts_of(parsed(language.sentences[key])):
            if isinstance(part, Choice) and part.kind == "plural":
                plurals += 1
                forms = {form for form, _ in part.variants if not form.startswith("=")}
                assert forms == needed, key
    assert plurals > 15


@pytest.mark.parametrize("language", EVERY, ids=lambda language: language.code)
def test_the_same_words_are_chosen_between_in_every_language(language: Language) -> None:
    """Whoever selects by ``down`` must not find ``bajado``."""
    for key in CLIENT_KEYS:
        words = [_selected(each, key) for each in (language, ENGLISH)]
        assert words[0] == words[1], key


def _selected(language: Language, key: str) -> dict[str, set[str]]:
    if key.startswith(WORDS):
        return {}
    return {
        part.name: {word for word, _ in part.variants}
        for part in parts_of(parsed(language.sentences[key]))
        if isinstance(part, Choice) and part.kind == "select"
    }


@pytest.mark.parametrize("language", EVERY, ids=lambda language: language.code)
def test_no_count_of_things_stands_outside_a_plural(language: Language) -> None:
    """A number before a noun that has a singular would say "1 visits"."""
    # never one of them: dots of a filled zone of twenty, and people out of twenty
    # either, or lists of words
    always_many = (
        "picture.trend",
        "zones.",
        "page.maybe",
        "page.share_maybe",
        "page.chance",
        "picture.in_100",
    )
    counts = {"count", "visits", "weeks", "points", "minutes", "months", "chance", "first"}
    for key in CLIENT_KEYS:
        if key.startswith((*WORDS, *always_many)):
            continue
        parts = list(parts_of(parsed(language.sentences[key])))
        plural = {part.name for part in parts if isinstance(part, Choice)}
        bare = {part.name for part in parts if not isinstance(part, Choice)} & counts
        assert bare <= plural or key.startswith("picture.real"), key


def test_no_sentence_of_a_client_is_glued_in_code() -> None:
    """Neither ``+`` nor a comma between what is said: lists and plurals are the language's own."""
    rooms = [*Path("src/foldspan/pages").glob("*.py"), *Path("src/foldspan/text").glob("*.py")]
    checked, glued = 0, []
    for path in rooms:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and _is_said(node):
                checked += 1
            inner: list[ast.expr] = []
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
                inner = [node.left, node.right]
            elif isinstance(node, ast.JoinedStr):
                inner = [part.value for part in node.values if isinstance(part, ast.FormattedValue)]
            if any(isinstance(call, ast.Call) and _is_said(call) for call in inner):
                glued.append((path.name, ast.unparse(node)))
    assert checked > 60
    # two whole sentences, one behind the other
    assert {name for name, _ in glued} <= {"pictures.py", "client_session.py"}, glued
    assert all(" {" in text for _, text in glued), glued


def _is_said(call: ast.Call) -> bool:
    return isinstance(call.func, ast.Attribute) and call.func.attr == "say"

"""Intake words are understood as they are printed, explained, and said every day."""

from __future__ import annotations

import pytest

from foldspan import FoldspanError, Visit
from foldspan.intake.rules import LISTS
from foldspan.intake.word_search import near_words, says_nothing, words_in
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.standards.intake_vocabulary import ALL_WORDS, EVERYDAY, OLD_WORDS, OWN_LINES
from foldspan.standards.intake_vocabulary_abroad import ABROAD
from foldspan.text.measure import list_words

PRINTED = [(name, word) for name in LISTS for word in LISTS[name]]


def at(name: str) -> State:
    """A session at the question of one list."""
    state = State().after("begun", {"tester": "T-01", "repeat_rule": "2mm"})
    answers = {"consent.store": True, "code": "K-071", "sex": "male", "age_years": 40.0}
    for key, value in (answers | dict.fromkeys(("eating_concern", *LISTS))).items():
        if key == name:
            return state
        state = state.after("answer", {"key": key, "value": value})
    raise AssertionError(name)


@pytest.mark.parametrize(("name", "word"), PRINTED)
def test_every_word_is_taken_as_it_is_printed(name: str, word: str) -> None:
    """Blanks split words before: 15 of 22 symptoms were refused when typed alone."""
    state = at(name)
    for line in (
        word, word.replace("_", " "), word.replace("_", "-").upper(), word.replace("_", ""),
        f" {word.title()}s " if not word.endswith("s") else word, list_words(name)[word],
        f"has {word.replace('_', '  ')},",
    ):  # fmt: skip
        parsed = parse_line(state, line)
        assert parsed.event == "answer", (line, parsed.problem)
        assert parsed.body == {"key": name, "value": [word]}, line


def test_a_whole_list_typed_as_it_is_printed_is_the_whole_list() -> None:
    for name, words in LISTS.items():
        for between in (", ", " ", "; ", "/"):
            line = between.join(words).replace("_", " ")
            assert parse_line(at(name), line).body == {"key": name, "value": list(words)}


@pytest.mark.parametrize(
    "phrase",
    [
        (word, sentence)
        for table in (EVERYDAY, ABROAD)
        for word, said in table.items()
        for sentence in said
    ],
)
def test_everyday_words_mean_one_word_each(phrase: tuple[str, str]) -> None:
    word, said = phrase
    read = words_in(said, {**ALL_WORDS, **OWN_LINES})
    assert (read.words, read.is_plain) == ((word,), True)


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ("edema", "oedema"), ("Hypertension", "high_blood_pressure"), ("T2DM", "diabetes"),
        ("Type-2 diabetes", "diabetes"), ("haemophilia", "haemophilia"), ("amputations", "limb_loss"),
        ("hemophilia", "haemophilia"), ("suicidal", "thoughts_of_self_harm"),
        ("swollen legs", "swelling"), ("swollen leg", "one_leg_swollen"), ("lymphedema", "lymphoedema"),
    ],
)  # fmt: skip
def test_spellings_that_forms_hold(said: str, word: str) -> None:
    assert words_in(said).words == (word,)


def test_what_is_denied_or_not_understood_is_handed_back() -> None:
    read = words_in("no chest pain, gallstones and diabetes; falls?")
    assert read.words == ("diabetes", "falls")
    assert read.denied == ("chest_pain",)
    assert read.rest == ("gallstones", "?")
    assert words_in("family history of diabetes").rest == ("family",)
    assert words_in("pregnant", LISTS["conditions"]).elsewhere == ("pregnant",)
    assert not words_in("pain of chest and").words
    for text in ("-", "??", "\ufffd", "the"):
        assert words_in(text).rest == (text,)


def test_nothing_is_said_in_several_ways() -> None:
    assert all(map(says_nothing, ("no", "None", "none of these", "nothing", "N")))
    assert not any(map(says_nothing, ("no chest pain", "", "normal", "not asked")))


@pytest.mark.parametrize(
    ("line", "named"),
    [("pain", ("chest pain", "joint pain")), ("chset pain", ("chest pain",)), ("falss", ("falls",))],
)  # fmt: skip
def test_a_near_miss_is_asked_back_by_name(line: str, named: tuple[str, ...]) -> None:
    parsed = parse_line(at("symptoms"), line)
    assert not parsed.event
    assert parsed.problem is not None
    assert all(name in parsed.problem.remedy for name in named)
    assert bool(parsed.meant) == (len(named) == 1)
    if parsed.meant:
        taken = parse_line(at("symptoms"), "y", meant=parsed.meant)
        assert taken.body == {"key": "symptoms", "value": [named[0].replace(" ", "_")]}


def test_a_bare_steroid_is_asked_back_and_an_old_one_still_reads() -> None:
    """In a gym the word means something else than in the books of earlier versions."""
    for line in ("steroid", "Steroids", "blood thinner, steroids"):
        parsed = parse_line(at("medicines"), line)
        assert not parsed.event
        assert parsed.problem is not None
        assert "cortisone tablets" in parsed.problem.remedy
        assert "anabolic drugs" in parsed.problem.remedy
    assert near_words("steroid", {*ALL_WORDS, *OWN_LINES}) == (
        "cortisone_tablets",
        "anabolic_drugs",
    )
    assert OLD_WORDS["steroid"] == "cortisone_tablets"
    tree = {
        "client": {"sex": "male", "age_years": 40},
        "mass_height": {"weight_kg": 80, "height_cm": 180},
        "intake": {"medicines": ["steroid"]},
    }
    visit = Visit.from_dict(tree)
    assert visit.intake.words == ("cortisone_tablets",)
    (warning,) = visit.warnings
    assert (warning.code, "medicines" in warning.where) == ("W128", True)
    assert "read as corticosteroid tablets" in warning.what
    assert "anabolic_drugs = true" in warning.remedy
    plain = tree | {"intake": {"medicines": ["cortisone tablets", "oral steroids"]}}
    assert Visit.from_dict(plain).warnings == ()
    old = at("medicines").after("answer", {"key": "medicines", "value": ["steroid"]})
    assert old.known.reported("cortisone_tablets") == ("cortisone_tablets",)


def test_a_file_reads_the_same_words_and_loses_none() -> None:
    tree = {
        "client": {"sex": "male", "age_years": 40},
        "mass_height": {"weight_kg": 80, "height_cm": 180},
        "intake": {"symptoms": ["Chest pain", "walks slowly, Falls"], "conditions": "T2DM"},
    }
    words = ("chest_pain", "slow", "falls", "diabetes")
    assert Visit.from_dict(tree).intake.words == words
    tree["intake"] = {"symptoms": ["falls, hiccups"], "conditions": ["chest pain"]}
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree)
    unread = [problem.given for problem in caught.value.problems if problem.code == "E113"]
    assert unread == ["hiccups", "chest_pain"]


@pytest.mark.parametrize(
    "text",
    ["no chest pain", "denies chest pain", "chest pain: no", "chest pain: 0", "chest pain? no",
    "chest pain N", "chest pain denied", "chest pain (none)",
     "without any chest pain", "keine Brustschmerzen", "Brustschmerzen verneint",
     "pas de douleur thoracique"],
)  # fmt: skip
def test_a_no_is_never_read_as_a_yes(text: str) -> None:
    assert (words_in(text).words, words_in(text).denied) == ((), ("chest_pain",))


@pytest.mark.parametrize(
    "text",
    ["chest pain, no fever", "denies fever, has chest pain", "denies fever; chest pain",
    "chest pain: yes",
     "chest pain = 1", "no fever but chest pain", "chest pain not improving",
     "kein Fieber, aber Brustschmerzen", "chest pain without fever"],
)  # fmt: skip
def test_a_no_is_said_of_its_own_word_only(text: str) -> None:
    assert words_in(text).words == ("chest_pain",)


def test_who_denies_denies_the_whole_list() -> None:
    read = words_in("Patient denies any chest pain, shortness of breath or fainting; swollen legs")
    assert read.denied == ("chest_pain", "breathless_at_rest", "fainting")
    assert read.words == ("swelling",)

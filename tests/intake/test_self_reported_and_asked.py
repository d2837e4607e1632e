"""What a client told, was asked and answered none, or was never asked: letter, reconcile, JSON, FHIR."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

import foldspan
from fhir_checks import check, fhir_of, observations
from foldspan.intake.model import QUESTIONS
from foldspan.results.flag_grounds import weight_changed
from foldspan.results.intake_answers import answers_of
from foldspan.standards.intake_vocabulary import ALL_WORDS, OWN_LINES
from foldspan.standards.referral_rules import RULES
from foldspan.text.en.self_reported import QUESTION_NAMES, SELF_REPORTED_WORDS
from foldspan.text.self_reported import answer_words, weight_words

Run = Callable[..., tuple[int, str, str]]
SELF_REPORTED: dict[str, Any] = {
    "symptoms": ["falls", "weak"],
    "conditions": ["high_blood_pressure"],
    "medicines": ["blood_thinner"],
    "earlier_weight_kg": 76.5,
    "earlier_weight_date": "2025-10-04",
    "loss_wanted": False,
}
TREE: dict[str, Any] = {
    "client": {"code": "W-041", "sex": "female", "age_years": 71},
    "visit": {"date": "2026-03-04", "tester": "T-02"},
    "mass_height": {"weight_kg": 71.3, "height_cm": 158.2},
    "girths_cm": {"waist_midpoint": 96.0},
}
NONE: dict[str, Any] = {
    "symptoms": [],
    "conditions": [],
    "medicines": [],
    "eating_concern": False,
    "surgery_months_ago": "none",
}


def visit_of(intake: Mapping[str, Any], **more: Any) -> foldspan.Visit:
    return foldspan.Visit.from_dict(TREE | more | {"intake": dict(intake)})


def letter_of(visit: foldspan.Visit) -> str:
    page = foldspan.report(visit, reader="clinician", agreed_to_share=True).to_dict()["page"]
    return json.dumps(page, ensure_ascii=False)


def test_every_word_and_question_has_its_words() -> None:
    assert set(SELF_REPORTED_WORDS) == {*ALL_WORDS, *OWN_LINES}
    assert set(QUESTION_NAMES) == {*QUESTIONS, "grip_kg"}
    assert all(
        words[0].islower() and not words.endswith(".") for words in SELF_REPORTED_WORDS.values()
    )


def test_the_letter_names_what_was_told_and_not_the_list_of_a_rule() -> None:
    letter = letter_of(visit_of(SELF_REPORTED))
    for words in (
        "known high blood pressure",
        "blood thinner",
        "weaker than before",
        "a fall in the last year",
        "76.5 kg about 5 months earlier (October 2025), 71.3 kg on 4 March 2026: 6.8% less; the loss"
        " was not intended",
    ):
        assert words in letter
    # what the same rules could have found as well
    for words in (
        "snoring",
        "knee or hip pain",
        "diabetes",
        "clotting disorder",
        "bruising",
        "walking slow",
    ):
        assert words not in letter


@pytest.mark.parametrize("word", sorted(ALL_WORDS))
def test_no_flag_names_another_word_than_was_told(word: str) -> None:
    """One word at a time: the clinician's sentences name it, and no other of the same rule."""
    home = next(
        name
        for name, known in (
            ("symptoms", foldspan_words("SYMPTOMS")),
            ("conditions", foldspan_words("CONDITIONS")),
            ("medicines", foldspan_words("MEDICINES")),
        )
        if word in known
    )
    flags = foldspan.health(visit_of({home: [word]})).flags
    rules = {rule.code: rule for rule in RULES}
    for flag in flags:
        said = rules[flag.code].intake_words
        if said:
            assert SELF_REPORTED_WORDS[word].lower() in flag.for_clinician.lower()
        for other in {*said} - {word}:
            assert SELF_REPORTED_WORDS[other].lower() not in flag.for_clinician.lower()


def foldspan_words(name: str) -> dict[str, str]:
    from foldspan.standards import intake_vocabulary

    found: dict[str, str] = getattr(intake_vocabulary, name)
    return found


def test_told_none_and_not_asked_are_three_things(run: Run, tmp_path: Path) -> None:
    states = {
        answer.question: answer.state for answer in answers_of(visit_of(NONE | SELF_REPORTED))
    }
    assert states["symptoms"] == states["earlier_weight_kg"] == "told"
    assert states["eating_concern"] == states["surgery_months_ago"] == "none"
    assert states["blood_pressure_mmhg"] == states["pregnant"] == "not_asked"
    path = tmp_path / "visit.json"
    path.write_text(json.dumps(TREE | {"intake": NONE}), encoding="utf-8")
    shown = " ".join(run("reconcile", str(path))[1].split())
    assert "Answered none or no: worry about eating, symptoms, conditions, medicines," in shown
    assert "Not asked or not answered: pregnancy, recent birth," in shown
    tree = json.loads(run("reconcile", str(path), "--json")[1])
    assert set(tree["answered_none"]) == set(NONE)
    assert not set(tree["answered_none"]) & set(tree["not_asked"])
    for reader in ("trainer", "clinician"):
        page = foldspan.report(visit_of(NONE), reader=reader).to_dict()["page"]
        assert "Answered none or no: worry about eating, symptoms" in json.dumps(page)
    nothing = letter_of(foldspan.Visit.from_dict(TREE))
    assert "No health questions were answered" in nothing
    assert "Not asked or not answered" not in nothing


def test_a_background_that_no_limit_goes_by_was_told_all_the_same() -> None:
    for stated, words in (
        ("Breton", "in the client's own words"),
        ("south_asian", "South Asian"),
    ):
        client = TREE["client"] | {"family_background": stated}
        visit = visit_of({}, client=client)
        (found,) = (
            answer for answer in answers_of(visit) if answer.question == "family_background"
        )
        assert found.state == "told"
        assert words in answer_words(found, visit)
        assert "Breton" not in answer_words(found, visit)


def test_it_survives_the_book_and_its_exports(run: Run, tmp_path: Path) -> None:
    path, book = tmp_path / "visit.json", str(tmp_path / "book.sqlite")
    path.write_text(json.dumps(TREE | {"intake": NONE}), encoding="utf-8")
    wanted = run("reconcile", str(path))[1]
    assert run("records", "import", str(path), "--book", book)[0] == 0
    out = str(tmp_path / "visit.toml")
    assert run("records", "export", "W-041", "--visit", "1", "-o", out, "--book", book)[0] == 0
    assert run("reconcile", out)[1] == wanted
    assert run("reconcile", "W-041:1", "--book", book)[1] == wanted


def test_fhir_says_which(tmp_path: Path) -> None:
    tree = fhir_of(visit_of(NONE | SELF_REPORTED), reader="clinician")
    check(tree)
    asked = {
        observation["code"]["text"].partition(": ")[2]: observation
        for observation in observations(tree)
        if observation["category"][0]["coding"][0]["code"] == "survey"
    }
    assert asked["symptoms"]["valueString"] == "weaker than before; a fall in the last year"
    assert asked["worry about eating"]["valueString"] == "answered none or no"
    absent = asked["anabolic drugs"]["dataAbsentReason"]["coding"][0]["code"]
    assert absent == "not-asked"
    # the client's own copy is no questionnaire
    client = fhir_of(visit_of(NONE | SELF_REPORTED), reader="client")
    assert not [
        observation
        for observation in observations(client)
        if "asked before" in observation["code"]["text"]
    ]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "76.5 kg about 5 months earlier (October 2025), 71.3 kg on 4 March 2026: 6.8% less;"
         " the loss was not intended"),
        ({"loss_wanted": True}, "; the loss was intended"),
        ({"loss_wanted": None}, "; whether it was intended is not recorded"),
        ({"earlier_weight_date": "2026-02-18"}, "76.5 kg about 2 weeks earlier (February 2026)"),
        ({"earlier_weight_kg": 65.0, "loss_wanted": None}, "71.3 kg on 4 March 2026: 9.7% more"),
        ({"earlier_weight_kg": None, "earlier_weight_date": None, "loss_wanted": None}, ""),
    ],
)  # fmt: skip
def test_weight_then_and_now(changes: Mapping[str, Any], words: str) -> None:
    intake = {
        name: line for name, line in (SELF_REPORTED | dict(changes)).items() if line is not None
    }
    found = weight_words(visit_of(intake))
    assert words in found
    assert bool(words) == bool(found)
    grounds = [ground.text for ground in weight_changed(visit_of(intake))]
    assert not re.search(r"\bNone\b", " ".join([found, *grounds]))


def test_a_letter_in_pounds_has_no_kilograms() -> None:
    visit = visit_of(SELF_REPORTED | {"grip_kg": 12.0})
    page = foldspan.report(visit, reader="clinician", units="us").to_dict()["page"]
    text = json.dumps(page)
    assert "168.7 lb about 5 months earlier (October 2025), 157.2 lb on March 4, 2026" in text
    assert "Grip strength: 26.5 lb" in text
    assert not re.search(r"\d kg(?!/m)", text)
    assert "157.2 lb on March 4, 2026: 6.8% less; the loss was not intended" in text
    assert "weak grip" in text.lower()

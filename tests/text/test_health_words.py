"""Words of the health part: respectful, never a diagnosis, and whoever is referred meets a clinician.

The list of words never used follows NICE NG246 (do not blame), the DAPA toolkit (neutral words) and
Rubino F and others, Nat Med 2020;26:485-497 (stigma harms; abstract read); the list itself is ours.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import example_visits
from foldspan.api.explain import explain
from foldspan.cli.printed.explain import client_page, clinician_lines, trainer_page
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.standards.referral_rules import REFUSALS, RULE_BY_CODE, RULES
from foldspan.text.en.client import (
    CLIENT_CAREFUL,
    CLIENT_CAREFUL_END,
    CLIENT_CAREFUL_FLAGS,
    CLIENT_NO_RANGE_WHY,
    CLIENT_STOP,
)
from foldspan.text.en.flag_words import FLAG_WORDS
from foldspan.text.en.health import APART_SENTENCES, BAND_WORDS, HEALTH_REMARKS, MEASURE_SEES
from foldspan.text.en.reconcile import CAUTIONS, REFUSAL_WORDS
from foldspan.visit.model import Visit

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
SOUND = [str(path) for path in example_visits.SOUND]
NEVER = re.compile(
    r"\b(overweight|obes\w+|skinny|scrawny|fatt\w+|flab\w*|chubby|plump|ideal\w*|abnormal\w*|"
    r"normal weight|bad|fail\w*|cheat\w*|laz\w+|greed\w*|guilt\w*|shame\w*|blame\w*|unhealthy|"
    r"suffer\w*|victim\w*|patient\w*|compliance|non-compliant|should lose|must lose|need to lose|"
    r"too fat|too thin|disease risk|you have (?!not had|lost|strong|questions|a\b)\w+|diagnosed)\b",
    re.IGNORECASE,
)
CLINICIAN = re.compile(
    r"\b(doctor|clinician|dietitian|midwife|emergency number|crisis line|falls clinic|"
    r"eating-disorder service)\b"
)
# names of illnesses that no sentence may give to anybody; known ones may be told at intake
ILLNESS = re.compile(
    r"\b(anorexi\w+|bulimi\w+|diabet\w+|hypertension|sarcop\w+|malnutrition|malnourished|cancer|"
    r"thrombosis|clot|heart attack|lipodystrophy|metabolic syndrome|depress\w+|an(a)?emi\w+)\b",
    re.IGNORECASE,
)
SENTENCES = [
    *(text for pair in FLAG_WORDS.values() for text in pair),
    *BAND_WORDS.values(), *HEALTH_REMARKS.values(), *MEASURE_SEES.values(),
    *APART_SENTENCES.values(), *CAUTIONS.values(), *ALL_WORDS.values(),
    *(text for pair in REFUSAL_WORDS.values() for text in pair), *CLIENT_NO_RANGE_WHY.values(),
    CLIENT_CAREFUL, CLIENT_CAREFUL_END, CLIENT_STOP, *CLIENT_CAREFUL_FLAGS.values(),
    *(text for rule in RULES for text in (rule.when,)),
    *(text for standard in ALL_STANDARDS
      for text in (standard.name, standard.population, standard.note)),
]  # fmt: skip


def test_words_that_are_never_used() -> None:
    assert [(found[0], text) for text in SENTENCES for found in NEVER.finditer(text)] == []
    assert NEVER.search("You should lose weight")  # the list itself works
    assert NEVER.search("an obese patient")


def test_no_sentence_gives_an_illness_to_anybody() -> None:
    said = [text for pair in FLAG_WORDS.values() for text in pair] + list(BAND_WORDS.values())
    assert [(found[0], text) for text in said for found in ILLNESS.finditer(text)] == []


def test_whoever_is_referred_meets_a_clinician_and_the_urgent_ones_today() -> None:
    assert set(FLAG_WORDS) == set(RULE_BY_CODE)
    soon = re.compile(r"\b(today|tomorrow|same day|now|emergency number)\b")
    for rule in RULES:
        trainer, client = FLAG_WORDS[rule.code]
        assert trainer.endswith(".")
        assert client.endswith(".")
        if rule.level.startswith("refer"):
            assert CLINICIAN.search(trainer), rule.code
            assert CLINICIAN.search(client), rule.code
        if rule.level == "refer_urgently":
            assert soon.search(trainer), rule.code
            assert soon.search(client), rule.code
        assert not re.search(r"\d", client), rule.code


def test_who_gets_no_range_hears_why_and_from_whom_to_ask() -> None:
    for refusal in REFUSALS:
        assert refusal.problem in CLIENT_NO_RANGE_WHY
        assert CLINICIAN.search(" ".join(REFUSAL_WORDS[refusal.problem])), refusal.problem


def visit(**intake: object) -> Visit:
    return Visit.from_dict(
        {
            "client": {"sex": "female", "age_years": 24},
            "mass_height": {"weight_kg": 48.0, "height_cm": 167.0},
            "skinfolds_mm": {"triceps": 9.0, "thigh": 13.0, "suprailiac_anterior": 6.5},
            "girths_cm": {"waist_midpoint": 62.0},
            "intake": {"eating_concern": True} | intake,
            "outside_results": [{"method": "bioimpedance", "fat_percent": 21.0, "weight_kg": 48.3}],
        }
    )


BODY = re.compile(r"\b(weight is|low for|fat|muscle|waist|large|thin|percent|range|strong)\b")


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
@pytest.mark.parametrize("outside", [True, False])
@pytest.mark.parametrize(
    "intake",
    [
        {}, {"periods_stopped": True}, {"symptoms": ["stress_fractures", "fainting"]},
        {"weight_lost_kg": 6.0, "earlier_weight_months_ago": 2, "loss_wanted": True},
        {"weight_lost_kg": 6.0, "earlier_weight_months_ago": 1, "loss_wanted": False},
        {"conditions": ["dialysis"]}, {"birth_months_ago": 2},
    ],
)  # fmt: skip
def test_careful_words_hold_no_number_and_say_nothing_of_the_body(
    reference_method: str, outside: bool, intake: dict[str, object]
) -> None:
    careful = visit(**intake)
    explanation = explain(careful, reference_method=reference_method, include_outside=outside)
    page = client_page(explanation)
    assert not re.search(r"\d", page)
    assert not BODY.search(page)
    assert CLINICIAN.search(page)
    assert explanation.result.health.careful
    if explanation.result.has_range:  # the others keep the numbers
        assert re.search(r"\d%", trainer_page(careful, explanation))
        assert re.search(r"\d%", clinician_lines(explanation))
        assert explanation.result.to_dict()["bands"]


def test_where_a_doctor_is_needed_today_the_client_reads_nothing_else() -> None:
    tree = {
        "client": {"sex": "male", "age_years": 50},
        "mass_height": {"weight_kg": 82.0, "height_cm": 178.0},
        "intake": {"symptoms": ["chest_pain"]},
    }
    page = client_page(explain(Visit.from_dict(tree)))
    assert not re.search(r"\d", page)
    assert len(page.split()) < 40
    assert "call the emergency number now" in " ".join(page.split())


@pytest.mark.parametrize("path", SOUND)
def test_every_example_shows_flags_and_bands_in_eighty_columns(run: Run, path: str) -> None:
    code, out, _ = run("reconcile", path, "--all")
    assert code == 0
    assert "\nFlags\n" in out
    assert "\nHealth categories, with probabilities\n" in out
    assert "This is a screening estimate, not a diagnosis." in out
    assert [line for line in out.splitlines() if len(line) > 80] == []


def test_flags_that_refer_stand_before_the_range(run: Run) -> None:
    out = run("reconcile", str(EXAMPLES / "told_at_intake.toml"))[1]
    assert out.index("Refer soon:") < out.index("Body fat: ")
    out = run("reconcile", str(EXAMPLES / "visit.toml"))[1]
    assert out.index("Body fat: ") < out.index("\nFlags\n")


def test_what_a_client_reads_of_flags_is_plain() -> None:
    """The reading grade of the client's page, sentence by sentence."""
    faults = importlib.import_module("cli.test_cli_explain").reading_faults
    sentences = [
        *(client for _, client in FLAG_WORDS.values()), CLIENT_CAREFUL, CLIENT_CAREFUL_END,
        *CLIENT_CAREFUL_FLAGS.values(), *CLIENT_NO_RANGE_WHY.values(),
    ]  # fmt: skip
    assert [(found, text) for text in sentences if (found := faults(text))] == []

"""Results hold codes and parameters; sentences come last, when they are asked for."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, get_args

import pandas as pd
import pytest

import foldspan
from foldspan.explanation.findings import FINDING_CODES
from foldspan.problems import Problem
from foldspan.results.spoken import SpokenFinding, SpokenFlag
from foldspan.standards.card import Status
from foldspan.standards.referral_rules import RULES
from foldspan.text.en.reconcile import CAUTIONS

# where the JSON of an answer holds sentences
IN_WORDS = {
    "text", "for_client", "for_clinician", "remarks", "cautions", "health_remarks",
    "standards_apart", "notes",
}  # fmt: skip


def visit(**changes: Any) -> foldspan.Visit:
    tree: dict[str, Any] = {
        "client": {"sex": "female", "age_years": 66, "ancestry": "black"},
        "visit": {"date": "2026-03-04"},
        "mass_height": {"weight_kg": 95.0, "height_cm": 160.0},
        "skinfolds_mm": {"triceps": [14.0, 22.0], "subscapular": 16.0},
        "girths_cm": {"waist_midpoint": 79.0, "calf_girth": 30.0},
        "how_taken": {"over_clothing": ["waist_midpoint"], "left_side": ["triceps"]},
        "intake": {
            "symptoms": ["weak"], "eating_concern": True, "blood_pressure_mmhg": "150/95",
            "earlier_weight_kg": 104.0, "earlier_weight_date": "2025-11-01", "loss_wanted": False,
            "grip_kg": 12.0,
        },
    }  # fmt: skip
    return foldspan.Visit.from_dict(tree | changes, accept_unusual=True)


FULL = visit()
EARLIER = visit(
    visit={"date": "2025-11-01"}, mass_height={"weight_kg": 104.0, "height_cm": 165.0}, intake={}
)
OPEN = visit(client={"sex": "both", "age_years": 66})
YOUNG = visit(client={"sex": "male", "age_years": 15})
THIN = visit(mass_height={"weight_kg": 38.0, "height_cm": 160.0}, intake={})
PEOPLE = pd.DataFrame({
    "sex": "male", "age_years": range(30, 50), "weight_kg": range(70, 90), "height_cm": 178.0,
    "reference_fat_percent": range(15, 35),
})  # fmt: skip


@cache
def screened() -> foldspan.Screening:
    """A table with columns of every kind: read, passed, not known, without a code or a height."""
    with TemporaryDirectory() as folder:
        table = Path(folder) / "day.csv"
        table.write_text("sex;age_years;weight_kg;shoe\nfemale;41;71,3;38\n", encoding="utf-8")
        return foldspan.screen_table(str(table), f"{folder}/out.csv")


ANSWERS = {
    "result": foldspan.reconcile(FULL),
    "by sex": foldspan.reconcile(OPEN),
    "no range": foldspan.reconcile(YOUNG),
    "thin": foldspan.reconcile(THIN),
    "health": foldspan.health(FULL),
    "change": foldspan.change(EARLIER, FULL),
    "explanation": foldspan.explain(FULL),
    "calibration": foldspan.calibrate(PEOPLE, reference_method="density", as_printed=True),
    "screening": screened(),
}


def strings(tree: Any) -> Iterator[str]:
    """Every text in a part of a tree."""
    if isinstance(tree, str):
        yield tree
    elif isinstance(tree, Mapping):
        for part in tree.values():
            yield from strings(part)
    elif isinstance(tree, list | tuple):
        for part in tree:
            yield from strings(part)


def sentences(tree: Any) -> Iterator[str]:
    """Every text of a tree that stands where sentences do."""
    if isinstance(tree, Mapping):
        for name, part in tree.items():
            yield from strings(part) if name in IN_WORDS else sentences(part)
    elif isinstance(tree, list | tuple):
        for part in tree:
            yield from sentences(part)


def held(answer: Any) -> Iterator[str]:
    """Every text in the fields of an answer, and of all that they hold; a problem says what it is."""
    if isinstance(answer, str):
        yield answer
    elif isinstance(answer, Problem | date):
        return
    elif dataclasses.is_dataclass(answer):
        for field in dataclasses.fields(answer):
            yield from held(getattr(answer, field.name))
    elif isinstance(answer, Mapping):
        for name, part in answer.items():
            yield from (*held(name), *held(part))
    elif isinstance(answer, list | tuple):
        for part in answer:
            yield from held(part)


@pytest.mark.parametrize("name", ANSWERS)
def test_no_field_of_an_answer_holds_a_sentence(name: str) -> None:
    """What its JSON says in words stands in no field: it is made of codes when it is asked for."""
    tree = ANSWERS[name].to_dict()
    # how sure a limit is stands in words, as its card has it
    said = {text for text in sentences(tree) if " " in text} - set(get_args(Status))
    assert len(said) >= 3
    kept = {text for text in held(ANSWERS[name]) if " " in text}
    assert sorted(said & kept) == []
    assert [text for text in kept if text.endswith(".")] == []


def test_the_walk_sees_what_is_said() -> None:
    """The examples say something of every kind, and a planted sentence is found."""
    result = ANSWERS["result"]
    assert {"third_reading_missing", "over_clothing", "left_side"} <= {
        finding.code for finding in result.findings
    }
    grounds = {ground.code for flag in result.flags for ground in flag.grounds}
    assert {"bmi", "weight", "blood_pressure", "told"} <= grounds
    assert result.health.contradictions
    assert ANSWERS["thin"].health.remark_codes
    assert [ground.code for flag in ANSWERS["change"].flags for ground in flag.grounds if
            ground.code == "height"]  # fmt: skip
    planted = dataclasses.replace(result, caution_codes=result.cautions)
    assert set(result.cautions) <= set(held(planted))


def test_every_code_has_its_sentence() -> None:
    for code in FINDING_CODES:
        if code not in (
            "reference_method",
            "unsure_readings",
            "site_correction",
        ):  # reasons of a pair only
            assert SpokenFinding(code, 1.0, ("skinfold", "girth")).text.endswith(".")
    for rule in RULES:
        flag = SpokenFlag(rule.code, 1.0)
        assert all(text.endswith(".") for text in (flag.text, flag.for_client, flag.for_clinician))
    result = dataclasses.replace(ANSWERS["result"], caution_codes=tuple(CAUTIONS))
    assert result.to_dict()["cautions"] == list(CAUTIONS.values())

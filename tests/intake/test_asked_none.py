"""Asked and answered none is kept apart from not asked, in files and in sessions."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from foldspan import Visit
from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.intake.model import QUESTIONS, Intake
from foldspan.results.intake_answers import answers_of

NONES: dict[str, tuple[str, Any]] = {
    **dict.fromkeys(("pregnant", "athlete"), ("client", False)),
    "family_background": ("client", "none"),
    **dict.fromkeys(("symptoms", "conditions", "medicines"), ("intake", [])),
    **dict.fromkeys(("eating_concern", "periods_stopped", "anabolic_drugs"), ("intake", False)),
    **dict.fromkeys(
        ("surgery_months_ago", "birth_months_ago", "blood_pressure_mmhg", "earlier_weight_kg"),
        ("intake", "none"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", QUESTIONS)
def test_asked_and_answered_none_is_not_the_same_as_not_asked(name: str) -> None:
    section, none = NONES[name]
    bare: dict[str, Any] = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    }
    assert Visit.from_dict(bare).intake.answered_none == ()
    for entry in (none, "none", ["none"]) if none == [] else (none,):
        tree = bare | {section: bare.get(section, {}) | {name: entry}}
        visit = Visit.from_dict(tree)
        assert visit.intake.answered_none == (name,)
        assert visit.intake.words == ()
        assert visit.intake.is_given == (section == "intake")
        assert replace(visit.intake, answered_none=(), is_given=False) == Intake()


@pytest.mark.parametrize("name", INTAKE_KEYS)
def test_a_line_that_holds_nothing_was_not_asked(name: str) -> None:
    """As a form writes it that was never filled in: ``null`` in JSON."""
    client: dict[str, Any] = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 71.3},
    }
    assert Visit.from_dict(client | {"intake": {name: None}}).intake == Intake()
    intake = Visit.from_dict(client | {"intake": {"symptoms": ["falls"]} | {name: None}}).intake
    assert intake.is_given == (name != "symptoms")
    assert not intake.answered_none


def test_a_number_that_is_nought_is_not_none() -> None:
    """An operation of this month is 0 months ago."""
    tree = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 71.3},
        "intake": {"surgery_months_ago": 0, "birth_months_ago": 14},
    }
    intake = Visit.from_dict(tree).intake
    assert (intake.surgery_months_ago, intake.answered_none) == (0.0, ())


@pytest.mark.parametrize("name", QUESTIONS)
@pytest.mark.parametrize("sex", ["female", "male"])
def test_none_answers_any_question_without_a_warning(name: str, sex: str) -> None:
    """Also what books of earlier versions hold: a background of "none" is no background of words."""
    section, _ = NONES[name]
    client = {"sex": sex, "age_years": 41, "ancestry": "white"}
    tree: dict[str, Any] = {
        "client": client,
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    }
    visit = Visit.from_dict(tree | {section: tree.get(section, {}) | {name: "none"}})
    assert visit.warnings == ()
    assert visit.client.family_background == ""
    (found,) = (answer for answer in answers_of(visit) if answer.question == name)
    assert found.state == "none"

"""What is shown is what was typed, in the unit typed: at every door and in every check."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
import tomli_w

from foldspan.external.consistency import Sheet, check_sheet
from foldspan.measurement.plausibility import span_problem
from foldspan.problems import Problem
from foldspan.quantities import BY_NAME, read_value
from foldspan.session.checks import _decimal_hint
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.tables.repeats import read_repeats
from foldspan.text.explain import sheet_sentences
from measure_driver import FACTS, MAN, script_of

Run = Callable[..., tuple[int, str, str]]
US = MAN | {
    name: f"{value} {name[-2:]}"
    for name, value in MAN.items()
    if name.endswith(("_cm", "_kg")) and isinstance(value, str)
}


def state_at(name: str, *, turn: int = 1, units: str = "us") -> State:
    """A session of an invented man that has come to a reading, or to a question called ``name``."""
    answers, facts = US if units == "us" else MAN, FACTS | {"units": units}
    state = State().after("begun", facts)
    asked_back = ""
    for typed in script_of(answers, {"units": units}):
        prompt = state.prompt
        is_reading = prompt.kind == "reading" and prompt.quantity == name and prompt.turn == turn
        if is_reading or prompt.key == name:
            return state
        parsed = parse_line(state, typed.line, asked_back=asked_back)
        asked_back = " ".join(typed.line.split()) if parsed.asks_back else ""
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
    raise AssertionError(f"{name} is never asked")


def said(name: str, line: str, **where: Any) -> Problem:
    problem = parse_line(state_at(name, **where), line).problem
    assert problem is not None
    return problem


@pytest.mark.parametrize("line", ["62.3", "62.3 lb", "62,3"])
def test_pounds_that_are_kilograms_are_told_as_typed(line: str) -> None:
    """The trial's weight: it was answered "given: 28.25880465, write 28.25880465 st"."""
    words = said("weight_kg", line).sentence(show_given=True)
    assert f"(you entered: {line})" in words
    assert f'kilograms: write "{line.split()[0]} kg"' in words
    assert "28.2" not in words
    assert " kg, which" not in words  # the span is in pounds as well


# what speaks against a reading → the site, what is typed there, and at which reading
OBJECTIONS: dict[str, tuple[str, str, int]] = {
    "not possible": ("weight_kg", "31.5", 1),
    "very unusual": ("weight_kg", "64", 1),
    "decimal point": ("waist_midpoint_cm", "3.405", 1),
    "rarely go together": ("waist_midpoint_cm", "55.5", 1),
    "another reading": ("waist_midpoint_cm", "41.25", 2),
}


@pytest.mark.parametrize("what", OBJECTIONS)
def test_every_check_of_the_session_shows_what_was_typed(what: str) -> None:
    name, line, turn = OBJECTIONS[what]
    problem = said(name, line, turn=turn)
    words = problem.sentence(show_given=True)
    assert f"(you entered: {line})" in words
    value = read_value(f"{line} {'lb' if name == 'weight_kg' else 'in'}", BY_NAME[name].unit)
    assert f"{value:g}"[:5] not in words
    assert line not in problem.sentence()  # nor ever in what may be logged


def test_the_decimal_point_is_moved_in_the_number_typed() -> None:
    assert "was it 3.9?" in _decimal_hint(99.06, BY_NAME["triceps_mm"], "male", "39 in")


@pytest.mark.parametrize(
    ("typed", "name", "meant"),
    [
        ("62.3 lb", "weight_kg", "62.3 kg"),
        ("12 lb", "weight_kg", "12 st"),
        ("80 st", "weight_kg", "80 kg"),
        ("80 in", "waist_midpoint_cm", "80 cm"),
        ("66", "height_cm", "66 in"),
        ("171 in", "height_cm", "171 cm"),
    ],
)
def test_a_file_is_answered_in_its_own_units(
    typed: str, name: str, meant: str, tmp_path: Path, run: Run
) -> None:
    tree: dict[str, Any] = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    }
    section = "girths_cm" if "waist" in name else "mass_height"
    key = name.removesuffix("_cm") if "waist" in name else name
    tree.setdefault(section, {})[key] = typed
    path = tmp_path / "visit.toml"
    path.write_text(tomli_w.dumps(tree))
    code, _, err = run("reconcile", str(path))
    words = " ".join(err.split())
    assert code == 2
    assert f"(you entered: {typed})" in words
    assert f'write "{meant}"' in words


def test_what_holds_two_numbers_gets_no_wrong_advice() -> None:
    value = read_value("5 ft 66 in", "cm")
    problem = span_problem(
        value, BY_NAME["height_cm"], "female", "x", accept_unusual=False, typed="5 ft 66 in"
    )
    assert problem is not None
    assert problem.given == "5 ft 66 in"
    assert "looks like" not in problem.remedy


def test_a_table_of_repeats_is_answered_as_typed() -> None:
    frame = pd.DataFrame({"code": ["a"], "weight_kg_1": ["62.3 lb"], "weight_kg_2": ["157 lb"]})
    found = [
        problem
        for problem in read_repeats(frame).problems
        if problem.code in ("E102", "E103", "W103")
    ]
    assert [repeat.given for repeat in found] == ["62.3 lb"]


# sheets ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sheet", "names", "unit"),
    [
        (Sheet(None, 47.6, 128.7, 80.0), ("fat_mass", "fat_free_mass"), "lb"),
        (Sheet(27.0, 47.6, 128.7, 80.0), ("fat_mass", "fat_free_mass"), "lb"),
        (Sheet(27.0, 47.6, None, 80.0), ("fat_mass",), "lb"),
        (Sheet(27.0, 21.6, 128.8, 80.0), ("fat_free_mass",), "lb"),
        (Sheet(27.0, 21.6, 58.4, 176.4), ("weight",), "lb"),
        (Sheet(27.0, 21.6, 58.4, 12.6), ("weight",), "st"),
    ],
)
def test_masses_in_another_unit_are_named(sheet: Sheet, names: tuple[str, ...], unit: str) -> None:
    check = check_sheet(sheet)
    assert check.adds_up is False
    assert (check.in_other_unit, check.other_unit) == (names, unit)
    words = " ".join(sheet_sentences(check))
    assert {"lb": "pounds", "st": "stone"}[unit] in words
    assert "No single correction" not in words
    assert check.out in ("", "weight", *names)


@pytest.mark.parametrize(
    "sheet",
    [Sheet(27.0, 21.6, 58.4, 80.0), Sheet(27.0, 21.6, 61.4, 80.0), Sheet(27.0, 58.4, 21.6, 80.0)],
    ids=["sound", "one digit", "exchanged"],
)
def test_other_faults_are_not_taken_for_units(sheet: Sheet) -> None:
    assert check_sheet(sheet).other_unit == ""


def test_the_trial_s_sheet(run: Run) -> None:
    words = ("explain", "--sheet", "--fat-mass", "47.6", "--lean-mass", "128.7", "--weight", "80")
    _, out, _ = run(*words)
    assert "Fat mass and fat-free (lean) mass look like pounds" in " ".join(out.split())
    _, out, _ = run(*words, "--json")
    assert json.loads(out)["in_other_unit"] == ["fat_mass", "fat_free_mass"]

"""What an option takes: numbers, several words, words that are known; and helps that show them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import typer.main

from foldspan.cli import app
from screen_desk import Run

EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = str(EXAMPLES / "visit.toml")
TABLE = str(EXAMPLES / "clinic_day.csv")


@pytest.mark.parametrize(
    "words, sentences",
    [
        (["measure", "--step", "abc"], ["--step: not a number (you entered: abc)", "--step 0.5"]),
        (["measure", "--step=abc"], ["--step: not a number (you entered: abc)"]),
        (["screen", TABLE, "-o", "x.csv", "--workers", "2.5"], ["--workers: not a whole number"]),
        (["explain", VISIT, "--pair", "skinfold,girth"], ["not a comma: --pair skinfold girth."]),
        (["explain", VISIT, "--pair", "skinfold"], ["Write --pair FIRST SECOND"]),
        (["explain", VISIT, "--pair", "skinfold", "--json"], ["--pair: needs 2 values"]),
        (
            ["reconcile", VISIT, "--reference-method", "water"],
            ["--reference-method: ", "(you entered: water)", "Use density"],
        ),
        (
            ["calibrate", TABLE, "--reference-method", "water"],
            ["--reference-method: ", "(you entered: water)", "Use density"],
        ),
        (["reconcile", VISIT, "--conversion", "siri"], ["--conversion: ", "entered: siri)", "siri1961"]),
    ],
)  # fmt: skip
def test_an_option_says_what_it_takes(words: list[str], sentences: list[str], run: Run) -> None:
    code, out, said = run(*words)
    assert (code, out) == (2, "")
    assert said.count("[E501]") == 1
    for part in sentences:
        assert part in said


def test_numbers_and_pairs_as_they_should_be_pass(run: Run, tmp_path: Path) -> None:
    assert run("explain", VISIT, "--pair", "skinfold", "girth")[0] == 0
    assert run("screen", TABLE, "-o", str(tmp_path / "out.csv"), "--workers", "1")[0] != 2


def _commands(group: Any, before: tuple[str, ...] = ()) -> dict[tuple[str, ...], Any]:
    found: dict[tuple[str, ...], Any] = {}
    for name, command in group.commands.items():
        inner = getattr(command, "commands", None)
        found |= _commands(command, (*before, name)) if inner else {(*before, name): command}
    return found


COMMANDS = _commands(typer.main.get_command(app))


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_help_shows_every_unit_in_brackets(words: tuple[str, ...], run: Run) -> None:
    """Square brackets are marks of the printer of helps, which swallows what it takes for one."""
    _, shown, _ = run(*words, "--help")
    for param in COMMANDS[words].params:
        for unit in ("[mm]", "[%]", "[cm]", "[kg]", "[cluster]"):
            if unit in (param.help or "").replace("\\[", "["):
                assert unit in shown

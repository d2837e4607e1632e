"""The same option twice: every command, every option of one value."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
import typer.main

from foldspan.cli import app
from foldspan.cli.parsing.given_once import OnceCommand, check_given_once
from foldspan.cli.parsing.option_values import given_options
from foldspan.problems import FoldspanError
from screen_desk import Run

EXAMPLES = Path(__file__).parents[2] / "examples"


def _commands(group: Any, before: str = "") -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            found |= _commands(command, f"{before}{name} ")
        else:
            found[f"{before}{name}"] = command
    return found


def check(command: Any, words: list[str]) -> None:
    check_given_once(given_options(command.params, words))


COMMANDS = _commands(typer.main.get_command(app))
# every option of one value, by each of its names
OPTIONS = [
    (name, option, other)
    for name, command in COMMANDS.items()
    for param in command.params
    if param.opts[0].startswith("-") and not param.multiple and not param.is_flag
    for option in param.opts
    for other in param.opts
]
FLAGS = [
    (name, param.opts[0], param.secondary_opts[0])
    for name, command in COMMANDS.items()
    for param in command.params
    if param.secondary_opts
]


def test_every_command_looks_at_its_words_first() -> None:
    assert all(isinstance(command, OnceCommand) for command in COMMANDS.values())
    assert {"screen", "records export"} <= set(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_an_option_with_two_values_is_refused(command: str, run: Run) -> None:
    """By whatever name and in whatever form; the first command line of each is run as a whole."""
    mine = [(name, other) for where, name, other in OPTIONS if where == command]
    for name, other in mine:
        joined = f"{other}=7" if other.startswith("--") else f"{other}7"
        for words in ([name, "6", other, "7"], ["x", name, "6", joined, "y"]):
            with pytest.raises(FoldspanError, match="given twice") as caught:
                check(COMMANDS[command], words)
            assert [problem.code for problem in caught.value.problems] == ["E501"]
        check(COMMANDS[command], [name, "6", other, "6"])  # the same twice says nothing else
        check(COMMANDS[command], [name, "6", "--", other, "7"])
    if mine:
        code, _, said = run(*command.split(), mine[0][0], "6", mine[0][1], "7")
        assert (code, "given twice" in said, "[E501]" in said) == (2, True, True)


@pytest.mark.parametrize("command, said, unsaid", FLAGS)
def test_a_flag_said_and_unsaid_is_refused(command: str, said: str, unsaid: str) -> None:
    with pytest.raises(FoldspanError, match="contradict each other"):
        check(COMMANDS[command], [said, unsaid])
    check(COMMANDS[command], [said, said])


def test_a_pair_with_two_second_words_is_refused() -> None:
    with pytest.raises(FoldspanError, match="given twice"):
        check(COMMANDS["explain"], ["--pair", "skinfold", "girth", "--pair", "skinfold", "bmi"])
    check(COMMANDS["explain"], ["--pair", "skinfold", "girth", "--pair", "skinfold", "girth"])


def test_what_may_be_repeated_is(run: Run) -> None:
    words = ["--map", "a=b", "--map", "c=d", "--unit", "a=cm", "--unit", "c=in"]
    check(COMMANDS["screen"], ["t.csv", *words])


def test_an_empty_value_is_told(run: Run, tmp_path: Path) -> None:
    """A variable of the shell that is not set must not drop an output in silence."""
    table = tmp_path / "day.csv"
    shutil.copy(EXAMPLES / "clinic_day.csv", table)
    out = str(tmp_path / "o.csv")
    code, _, said = run("screen", str(table), "-o", out, "--referrals", "")
    assert (code, "--referrals: is empty" in said) == (2, True)
    assert not Path(out).exists()


def test_two_targets_write_neither(run: Run, tmp_path: Path) -> None:
    first, second = tmp_path / "a.json", tmp_path / "b.json"
    visit = str(EXAMPLES / "visit.toml")
    code, _, said = run("report", visit, "-o", str(first), f"--out={second}")
    assert (code, "-o and --out: given twice" in said) == (2, True)
    assert not first.exists()
    assert not second.exists()


def test_fewer_processes_than_none_are_told_what_may_be_said(run: Run, tmp_path: Path) -> None:
    words = ["screen", str(EXAMPLES / "clinic_day.csv"), "-o", str(tmp_path / "o.csv")]
    code, _, said = run(*words, "--workers", "-3")
    assert (code, "1 or more, or 0" in said, "[E501]" in said) == (2, True, True)

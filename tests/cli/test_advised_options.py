"""Every option that an error advises exists on the commands that can raise the error."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import typer.main

import foldspan
from foldspan.cli import app

PACKAGE = Path(foldspan.__file__).parent
COMMANDS = [name for name in typer.main.get_command(app).commands if name != "records"]  # type: ignore[attr-defined]
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]+")
# a command that a text names before the option: measure --resume
ELSEWHERE = re.compile(rf"\b({'|'.join([*COMMANDS, 'records'])})\b[^.;]*?--[a-z-]+")


@cache
def tree_of(name: str) -> ast.Module:
    path = PACKAGE / Path(*name.split("."))
    path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def used_by(name: str) -> frozenset[str]:
    """Modules that one imports, also inside its functions, and not for types alone."""
    types = {
        id(below)
        for node in ast.walk(tree_of(name))
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING"
        for below in ast.walk(node)
    }
    found = set()
    for node in ast.walk(tree_of(name)):
        if isinstance(node, ast.ImportFrom) and id(node) not in types and node.module:
            room, *below = node.module.split(".")
            if room == "foldspan":
                home = ".".join(below)
                found |= {home, *(f"{home}.{name.name}".lstrip(".") for name in node.names)}
    here = {
        module
        for module in found
        if (PACKAGE / Path(*module.split("."))).with_suffix(".py").is_file()
    }
    return frozenset(here)


def reached(command: str) -> set[str]:
    found, waiting = set(), [f"cli.{command}"]
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += used_by(module)
    return found


@cache
def advised(name: str) -> frozenset[tuple[str, str]]:
    """Options that texts of a module advise, and the command they name, "" for the one that runs."""
    found = set()
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree_of(name))
        if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    # what an option is called where it is made is no advice
    made = {
        id(below)
        for node in ast.walk(tree_of(name))
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in ("Option", "Argument")
        for below in ast.walk(node)
    }
    for node in ast.walk(tree_of(name)):
        if isinstance(node, ast.JoinedStr):
            text = "".join(
                value.value if isinstance(value, ast.Constant) else "…" for value in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        # a sentence: an option alone names where something stands
        if id(node) in docs or id(node) in made or " " not in text.strip():
            continue
        other = ELSEWHERE.search(text)
        for option in OPTION.findall(text):
            named = other is not None and option in other[0]
            found.add((option, other[1] if other is not None and named else ""))
    return frozenset(found)


def options_of(command: str) -> set[str]:
    group: Any = typer.main.get_command(app)
    chosen = group.commands[command]
    some = chosen.commands.values() if hasattr(chosen, "commands") else [chosen]
    params = [param for each in some for param in each.params]
    return {"--help", *(name for param in params for name in (*param.opts, *param.secondary_opts))}


# Modules that a command loads for another part of them: what they advise, and why the command never
# says it. Whatever is not written down here fails.
NOT_SAID: dict[tuple[str, str], tuple[str, str]] = {
    ("cli.printed.equations", "--as-printed"): (
        "equations",
        "no advice: it says where an equation enters a range",
    ),
    ("cli.printed.health", "--all"): (
        "change explain measure",
        "bands are listed by reconcile alone",
    ),
    ("cli.screen_map", "--before"): (
        "calibrate precision",
        "they compare with no earlier table; names of columns are read alike",
    ),
    ("tables.csv.head", "--unit"): (
        "measure report",
        "they read no table; letters share the module",
    ),
    ("records.visits", "--reading"): (
        "change explain measure precision reconcile report serve",
        "a correction is made by records correct",
    ),
    ("text.tapped", "--reading"): ("serve", "what a page says instead of it stands beside it"),
    ("practice.settings", "--local"): ("precision", "it judges no range"),
    ("files.output", "--force"): (
        "change explain measure reconcile serve",
        "they write no file; measure says its own remedy before",
    ),
    ("export.report", "--for"): ("measure screen serve", "they write pages, and no figure alone"),
    ("estimation.settings", "--as-printed"): ("equations precision", "they judge no range"),
    ("estimation.settings", "--local"): ("equations precision", "they judge no range"),
    ("estimation.settings", "--reference-method"): ("equations precision", "they judge no range"),
    ("screening.run.partitioned", "--force"): ("measure", "a folder of parts is written by screen"),
    ("screening.run.partitioned", "--resume"): (
        "calibrate precision report",
        "a folder of parts is written by screen",
    ),
    ("screening.run.processes", "--workers"): (
        "calibrate measure precision report",
        "workers are started by screen",
    ),
    ("measurement.plausibility", "--accept-unusual"): (
        "calibrate equations measure precision serve",
        "unusual readings are used there as they are, or asked back",
    ),
    ("measurement.between_sites", "--accept-unusual"): (
        "calibrate equations measure precision serve",
        "unusual readings are used there as they are, or asked back",
    ),
    ("tables.columns", "--map"): ("measure report", "they read no table"),
    ("tables.columns", "--unit"): ("measure report", "they read no table"),
    ("tables.column_names", "--map"): ("measure report", "they read no table"),
    ("tables.column_names", "--unit"): ("measure report", "they read no table"),
    ("text.en.screen", "--accept-unusual"): ("calibrate measure precision", "a summary of screen"),
    ("text.en.screen", "--map"): ("measure report", "a summary of screen"),
    ("text.en.screen", "--unit"): ("measure report", "a summary of screen"),
    ("text.en.screen", "--resume"): ("calibrate precision report", "a summary of screen"),
}


@pytest.mark.parametrize("command", COMMANDS)
def test_what_an_error_advises_can_be_said(command: str) -> None:
    mine = options_of(command)
    missing = {
        f"{module}: {option} {other}".strip()
        for module in reached(command)
        for option, other in advised(module)
        if option not in (options_of(other) if other else mine)
        and command not in NOT_SAID.get((module, option), ("", ""))[0].split()
    }
    assert not missing


def test_the_walk_finds_what_is_advised() -> None:
    """It would be worth nothing if it read no texts: the advice that once had no option is found."""
    assert ("--unit", "") in advised("tables.columns") | advised("tables.column_names")
    assert "tables.columns" in reached("calibrate")
    assert {"--unit", "--map", "--map-file"} <= options_of("calibrate") & options_of("precision")


def test_helps_show_defaults_in_one_style() -> None:
    """All in typer's brackets, none within the sentence; a 0 that stands for nothing is not shown."""
    top = typer.main.get_command(app)
    commands = [*top.commands.values(), *top.commands["records"].commands.values()]  # type: ignore[attr-defined]
    options = [option for command in commands for option in command.params]
    helps = [getattr(option, "help", None) or "" for option in options]
    assert len(helps) > 150
    assert [text for text in helps if re.search(r"\bdefault\b", text, re.IGNORECASE)] == []
    bare = {
        option.name for option in options
        if option.default == 0 and option.default is not False
        and getattr(option, "show_default", None) is True
    }  # fmt: skip
    assert bare == {"workers"}  # its help says what 0 means

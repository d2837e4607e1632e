"""The Tab key completes commands, options and their words; and help fits narrow terminals."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
import typer

from foldspan.cli import _commands, app
from foldspan.cli.parsing.completion import HELP

COMPLETED = [
    ("re", ["reconcile", "report", "records"]),
    ("reconcile some.toml --ref", ["--reference-method"]),
    ("reconcile some.toml --reference-method ", ["density", "dxa"]),
    ("report some.toml --for c", ["client", "clinician"]),
    ("records ex", ["export"]),
    # half a line of which foldspan would complain were it sent
    ("reconcile some.toml --book x --book y --al", ["--all"]),
]
PROGRAM = "import sys; sys.argv[0] = 'foldspan'; from foldspan.cli import main; main()"


@pytest.mark.parametrize(("line", "wanted"), COMPLETED, ids=[line for line, _ in COMPLETED])
def test_the_shell_is_told_what_may_come(line: str, wanted: list[str]) -> None:
    words = f"foldspan {line}"
    asked = {"_FOLDSPAN_COMPLETE": "complete_bash", "COMP_WORDS": words,
             "COMP_CWORD": str(len(words.split(" ")) - 1)}  # fmt: skip
    ran = subprocess.run([sys.executable, "-c", PROGRAM], env={**os.environ, **asked},
                         capture_output=True, text=True)  # fmt: skip
    assert ran.stderr == ""
    assert ran.stdout.split() == wanted


def commands(group: Any, name: str = "") -> Iterator[tuple[str, Any]]:
    """Every command with its words, groups too."""
    yield name, group
    for inner, command in getattr(group, "commands", {}).items():
        yield from commands(command, f"{name} {inner}".strip())


NAMES = [name for name, _ in commands(_commands())]


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("name", NAMES)
def test_help_fits_the_terminal_and_every_option_stands_there_whole(
    name: str, width: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.setenv("TERMINAL_WIDTH", str(width))
    with pytest.raises(SystemExit):
        typer.main.get_command(app)([*name.split(), "--help"], prog_name="foldspan")
    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines())) <= width
    listed = shown.partition("Commands:")[2].splitlines()
    assert not [line for line in listed if line.endswith("...")]  # nothing cut short
    assert chr(92) not in shown  # no mark of another way to print
    for param in dict(commands(_commands()))[name].params:
        for option in param.opts:
            assert not option.startswith("--") or re.search(rf"{option}(?![-\w])", shown), option


def test_completion_speaks_our_words() -> None:
    own = {param.opts[0]: param.help for param in _commands().params}
    assert {name: own[name] for name in HELP} == HELP

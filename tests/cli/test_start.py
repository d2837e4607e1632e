"""What a command does before and after its work, and leaves as it was."""

from __future__ import annotations

import gc
import subprocess
import sys
from collections.abc import Callable

import pytest
import typer

Run = Callable[..., tuple[int, str, str]]


@pytest.mark.parametrize(
    ("words", "collects"),
    [
        (("equations", "--conversions"), False),
        (("explain", "examples/visit.toml"), False),
        (("precision", "examples/repeats.csv"), True),
    ],
)
def test_only_short_commands_leave_garbage_where_it_is(
    words: tuple[str, ...], collects: bool, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    while_it_prints: list[bool] = []
    monkeypatch.setattr(typer, "echo", lambda *_, **__: while_it_prints.append(gc.isenabled()))
    run(*words)
    assert set(while_it_prints) == {collects}
    assert gc.isenabled()


def test_no_add_on_sees_what_a_client_tells() -> None:
    """The library that checks visits would hand every one of them to add-ons that happen to be there."""
    code = (
        "from foldspan.cli import main\n"
        "import importlib.metadata\n"
        "def looked_for(**_): raise SystemExit('looked for')\n"
        "importlib.metadata.entry_points = looked_for\n"
        "main()"
    )
    words = [sys.executable, "-c", code, "reconcile", "examples/visit.toml"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr

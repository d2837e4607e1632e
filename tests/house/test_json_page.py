"""The page of the JSON explains every key that commands print for the examples."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import example_visits
from foldspan.cli.doc_pages.json_page import page
from foldspan.results.result import SCHEMA_VERSION

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
Run = Callable[..., tuple[int, str, str]]
# section → key → what its column "is" says
SECTIONS = {
    name: dict(re.findall(r"^\| `(\w+)` \| (.*?) \|", text, re.MULTILINE))
    for name, text in re.findall(r'<a id="(\w+)"></a>\n(.*?)(?=<a id=|\Z)', PAGE, re.DOTALL)
}
TIMES = {"by key: ": 1, "by two keys: ": 2, "by three keys: ": 3}


def unexplained(name: str, tree: dict[str, Any]) -> Iterator[str]:
    """Keys of a tree that its section, or that of what stands inside, does not have."""
    for key, value in tree.items():
        told = SECTIONS[name].get(key)
        if told is None:
            yield f"{name}: {key}"
        elif link := re.search(r"^(.*?)\[.*?\]\(#(\w+)\)$", told):
            for inner in inside(value, TIMES.get(link[1], 0)):
                yield from unexplained(link[2], inner)


def inside(value: Any, depth: int) -> list[dict[str, Any]]:
    if depth:
        return [one for inner in value.values() for one in inside(inner, depth - 1)]
    return value if isinstance(value, list) else [value] if isinstance(value, dict) else []


def test_the_page_is_made_from_the_examples_and_the_fields() -> None:
    assert page(ROOT / "examples") == PAGE  # if not: python tests/house/renew.py


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_every_key_of_a_range_is_explained(run: Run, path: Path) -> None:
    code, out, _ = run("reconcile", str(path), "--json")
    assert code == 0
    assert list(unexplained("reconcile", json.loads(out))) == []


LATER = ["examples/visit.toml", "examples/visit_later.toml"]
SHEET = ["--sheet", "--fat-percent", "27", "--fat-mass", "21.6", "--weight", "80"]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("explain", ["explain", "examples/disagreement.toml"]),
        ("explain", ["explain", "examples/outside_results.toml"]),
        ("sheet", ["explain", *SHEET]),
        ("change", ["change", *LATER]),
        ("precision", ["precision", "examples/repeats.csv"]),
        ("screen", ["screen", "examples/clinic_day.csv", "-o", "{folder}/out.csv"]),
        (
            "screen",
            [
                "screen",
                "examples/clinic_day.csv",
                "-o",
                "{folder}/out.csv",
                "--before",
                "examples/clinic_day_before.csv",
            ],
        ),
        ("equations", ["equations", "sloan1967_male"]),
    ],
)
def test_every_key_that_a_command_prints_is_explained(
    run: Run, tmp_path: Path, name: str, words: list[str]
) -> None:
    given = [
        word.format(folder=tmp_path).replace("examples/", f"{ROOT}/examples/") for word in words
    ]
    code, out, _ = run(*given, "--json")
    assert code in (0, 3)
    assert list(unexplained(name, json.loads(out))) == []


def test_every_key_of_a_page_is_explained(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "page.json"
    visits = [str(ROOT / one) for one in LATER]
    assert run("report", *visits, "-o", str(path))[0] == 0
    assert list(unexplained("report", json.loads(path.read_text(encoding="utf-8")))) == []


def test_a_key_that_nobody_explains_is_found() -> None:
    assert list(unexplained("range", {"estimate": 1.0, "made_up": 2.0})) == ["range: made_up"]


def test_no_help_and_no_docstring_names_another_version() -> None:
    """Comments may name the one before, whose names are still read."""
    for path in (ROOT / "src").rglob("*.py"):
        for line in path.read_text(encoding="utf-8").splitlines():
            named = re.findall(r"schema version (\d)", line)
            if not line.lstrip().startswith("#"):
                assert set(named) <= {str(SCHEMA_VERSION)}, f"{path.name}: {line}"

"""The page of the JSON and its schemas: current, and every real output keeps to them."""

from __future__ import annotations

import copy
import json
import re
import shutil
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

import example_visits
from api import json_outputs
from foldspan.api.schemas.published import RESULTS, SHAPES
from foldspan.cli.doc_pages.json_page import COMMANDS, keys_of, page, schemas
from foldspan.results.result import SCHEMA_VERSION

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "schemas"
BOOK = ROOT / "tests" / "records" / "earlier" / "book_0_6.sqlite"
Run = Callable[..., tuple[int, str, str]]
Tree = dict[str, Any]
LATER = ["examples/visit.toml", "examples/visit_later.toml"]
SHEET = ["--sheet", "--fat-percent", "27", "--fat-mass", "21.6", "--weight", "80"]


@cache
def published(name: str) -> Tree:
    tree: Tree = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return tree


@cache
def checker(name: str) -> Any:
    return jsonschema_rs.Draft202012Validator(published(name))


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Tree]]:
    """Name of a result → real ones."""
    found: dict[str, list[Tree]] = defaultdict(list)
    for given in (
        json_outputs.of_the_examples(),
        json_outputs.of_the_catalogue(),
        json_outputs.of_tables(tmp_path_factory.mktemp("tables")),
    ):
        for name, tree in given:
            found[name].append(json_outputs.strict(tree))
    return found


def test_the_page_and_the_schemas_are_made_from_the_shapes_and_the_fields() -> None:
    """If not: python tests/house/renew.py."""
    assert page() == (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    kept = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.iterdir()}
    assert schemas() == kept


@pytest.mark.parametrize("name", RESULTS)
def test_a_schema_is_one(name: str) -> None:
    tree = published(name)
    assert tree["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert jsonschema_rs.meta.is_valid(tree)
    assert tree["$id"].endswith(f":{name}")
    assert tree["additionalProperties"] is False
    assert all(part["additionalProperties"] is False for part in tree.get("$defs", {}).values())


def test_every_output_of_the_examples_keeps_to_its_schema(outputs: dict[str, list[Tree]]) -> None:
    assert set(outputs) == set(RESULTS) - {"clients", "client"}  # which the commands below print
    for name, trees in outputs.items():
        for tree in trees:
            checker(name).validate(tree)


def test_every_key_is_met_in_the_examples(outputs: dict[str, list[Tree]]) -> None:
    """A key that never turns up would be described without anybody having seen it."""
    found: dict[str, set[str]] = {}
    for name, trees in outputs.items():
        for tree in trees:
            json_outputs.met(name, tree, found)
    of_books = {"clients", "client", "client_line", "kept_visit", "event"}
    missing = {
        name: set(keys_of(name)) - found.get(name, set()) for name in SHAPES if name not in of_books
    }
    assert {name: keys for name, keys in missing.items() if keys} == {}


def test_results_for_visits_at_random_keep_to_their_schemas() -> None:
    count = 0
    for name, tree in json_outputs.of_random_visits():
        checker(name).validate(json_outputs.strict(tree))
        count += tree["fat_percent"]["estimate"] is not None
    assert count >= json_outputs.RANDOM  # of two for each visit, most have a range


def spoilt(tree: Tree) -> Iterator[tuple[str, Tree]]:
    """Yield a tree with one thing wrong: at its first level, and in the first mapping inside."""
    for place in _places(tree):
        for what in ("added", "missing", "of another kind"):
            wrong = copy.deepcopy(tree)
            here = wrong
            for step in place:
                here = here[step]
            key = next(iter(here))
            if what == "added":
                here["made_up"] = 1.0
            elif what == "missing":
                del here[key]
            else:
                here[key] = {"made": "up"}
            yield f"{what} at {place}", wrong


def _places(tree: Tree) -> Iterator[tuple[Any, ...]]:
    yield ()
    for key, value in tree.items():
        if key in ("fat_percent", "counts", "page", "change", "misfit") and isinstance(value, dict):
            yield (key,)
        if isinstance(value, list) and value and isinstance(value[0], dict):
            yield (key, 0)


@pytest.mark.parametrize("name", sorted(set(RESULTS) - {"clients", "client"}))
def test_a_planted_fault_is_refused(outputs: dict[str, list[Tree]], name: str) -> None:
    for tree in (outputs[name][0], outputs[name][-1]):
        assert checker(name).is_valid(tree)
        for what, wrong in spoilt(tree):
            assert not checker(name).is_valid(wrong), what
        if "schema_version" in tree:
            assert not checker(name).is_valid(tree | {"schema_version": SCHEMA_VERSION + 1})


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_what_reconcile_prints_keeps_to_its_schema(run: Run, path: Path) -> None:
    code, out, _ = run("reconcile", str(path), "--json")
    assert code == 0
    checker("reconcile").validate(json.loads(out))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("reconcile", ["reconcile", "examples/faulty.toml"]),
        ("explain", ["explain", "examples/faulty.toml"]),
        ("explain", ["explain", "examples/disagreement.toml"]),
        ("explain", ["explain", "examples/outside_results.toml"]),
        ("sheet", ["explain", *SHEET]),
        ("change", ["change", *LATER]),
        ("precision", ["precision", "examples/repeats.csv"]),
        ("screen", ["screen", "examples/clinic_day.csv", "-o", "{folder}/out.csv"]),
        ("equations", ["equations", "sloan1967_male"]),
        ("conversion", ["equations", "siri1961"]),
        ("clients", ["records", "list", "--book", "{folder}/book.sqlite"]),
        ("client", ["records", "show", "K-202", "--book", "{folder}/book.sqlite"]),
        ("client", ["records", "show", "K-014", "--visit", "1", "--book", "{folder}/book.sqlite"]),
    ],
)
def test_what_a_command_prints_keeps_to_its_schema(
    run: Run, tmp_path: Path, name: str, words: list[str]
) -> None:
    shutil.copy(BOOK, tmp_path / "book.sqlite")
    given = [
        word.format(folder=tmp_path).replace("examples/", f"{ROOT}/examples/") for word in words
    ]
    code, out, _ = run(*given, "--json")
    assert (code in (0, 3)) is ("faulty" not in given[1])
    checker(name).validate(json.loads(out))


def test_what_is_written_as_json_keeps_to_its_schema(run: Run, tmp_path: Path) -> None:
    path, group, day = tmp_path / "page.json", tmp_path / "group.json", "examples/clinic_day.csv"
    assert run("report", *(str(ROOT / path) for path in LATER), "-o", str(path))[0] == 0
    checker("report").validate(json.loads(path.read_text(encoding="utf-8")))
    words = ["screen", str(ROOT / day), "-o", str(tmp_path / "out.csv")]
    assert run(*words, "--group-summary", str(group))[0] in (0, 3)
    checker("group").validate(json.loads(group.read_text(encoding="utf-8")))


def test_every_command_that_has_json_is_on_the_page() -> None:
    """A command is known by its name; of the book there are two that print it."""
    given = set()
    for path in (ROOT / "src" / "foldspan" / "cli").glob("*.py"):
        if re.search(r"AsJson = False|\"--json\"", path.read_text(encoding="utf-8")):
            given.add(path.stem)
    assert given - {"options", "measure"} == {
        command.split()[1] for command in COMMANDS.values() if command.split()[1] != "report"
    }


def test_no_help_and_no_docstring_names_another_version() -> None:
    """Comments may name the one before, whose names are still read."""
    for path in (ROOT / "src").rglob("*.py"):
        for line in path.read_text(encoding="utf-8").splitlines():
            named = re.findall(r"schema version (\d)", line)
            if not line.lstrip().startswith("#"):
                assert set(named) <= {str(SCHEMA_VERSION)}, f"{path.name}: {line}"

"""Files of schema version 1 still open, and say the same; made by foldspan 0.7.0, kept as they were."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import foldspan
from screen_desk import Run

KEPT = Path(__file__).parent / "version_1"
VISIT = str(KEPT / "visit.toml")
# docs/CHANGELOG.md, schema version 2
RENAMED = {
    "scale": "reference_method", "lean_mass_kg": "fat_free_mass_kg", "families": "methods",
    "family": "method", "likely": "range_80", "wide": "range_95",
}  # fmt: skip


@pytest.fixture
def book(tmp_path: Path) -> str:
    """A copy of the kept book: to open one may write in it."""
    return str(shutil.copy(KEPT / "book.sqlite", tmp_path / "book.sqlite"))


def renamed(tree: Any) -> Any:
    """A tree of version 1 with the names of version 2."""
    if isinstance(tree, dict):
        return {RENAMED.get(key, key): renamed(value) for key, value in tree.items()}
    return [renamed(value) for value in tree] if isinstance(tree, list) else tree


def in_words(tree: Any) -> Any:
    """A tree without its numbers: keys, words and marks."""
    if isinstance(tree, dict):
        return {key: in_words(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [in_words(value) for value in tree]
    return None if isinstance(tree, int | float) and not isinstance(tree, bool) else tree


def test_a_visit_file_gives_the_answer_that_it_gave() -> None:
    visit = foldspan.Visit.from_file(VISIT)
    assert (visit.reference_fat_percent, visit.reference_method) == (24.0, "dxa")
    assert visit.outside_results[0].sheet.fat_free_mass == 61.3
    before = json.loads((KEPT / "answer.json").read_text(encoding="utf-8"))
    expected = renamed(before) | {"schema_version": 2}
    now = foldspan.reconcile(visit, include_outside=True).to_dict()
    assert in_words({key: now[key] for key in expected}) == in_words(expected)
    # the model has learnt since (docs/CHANGELOG.md, Numbers): the range is where it was, not to a digit
    for name in ("range_80", "range_95"):
        pairs = zip(now["fat_percent"][name], expected["fat_percent"][name], strict=True)
        assert all(abs(end - before) < 1.0 for end, before in pairs)


def test_a_visit_written_again_has_the_new_names_and_is_the_same(tmp_path: Path) -> None:
    visit = foldspan.Visit.from_file(VISIT)
    tree = visit.to_dict()
    assert tree["visit"]["reference_method"] == "dxa"
    assert "reference_scale" not in tree["visit"]
    assert foldspan.Visit.from_dict(tree) == visit


def test_all_but_fat_is_given_once_under_either_name() -> None:
    tree = foldspan.Visit.from_file(VISIT).to_dict()
    (sheet,) = tree["outside_results"]
    mass = sheet.pop("fat_free_mass_kg")
    for name in ("fat_free_mass_kg", "lean_mass_kg"):
        again = tree | {"outside_results": [sheet | {name: mass}]}
        assert foldspan.Visit.from_dict(again).outside_results[0].sheet.fat_free_mass == mass
    twice = sheet | {"fat_free_mass_kg": mass, "lean_mass_kg": 58.1}
    with pytest.raises(foldspan.FoldspanError, match="E122"):
        foldspan.Visit.from_dict(tree | {"outside_results": [twice]})


def test_a_book_opens_and_its_visits_are_reconciled(book: str, run: Run) -> None:
    assert run("records", "list", "--book", book)[1].count("K-") == 2
    for visit in ("K-31", "K-202"):
        code, out, err = run("reconcile", visit, "--book", book, "--json")
        assert (code, err) == (0, "")
        assert json.loads(out)["fat_percent"]["range_80"]


def test_an_export_is_taken_in(run: Run, tmp_path: Path) -> None:
    place = str(tmp_path / "new.sqlite")
    code, _, err = run("records", "import", str(KEPT / "client.json"), "--book", place)
    assert code == 0, err
    assert "differs" not in err
    out = run("records", "export", "K-31", "--book", place, "--visit", "1")[1]
    assert json.loads(out)["visits"][0]["as_it_stands"]["visit"]["reference_fat_percent"] == 24.0


def test_a_local_correction_is_read_as_it_was(run: Run) -> None:
    correction = foldspan.read_correction(KEPT / "our_site.toml")
    assert (correction.reference_method, correction.people) == ("density", 60)
    learnt = correction.by_sex["male"]
    assert (learnt.families, learnt.offset, learnt.spread) == (
        ("mass_height",),
        (-1.161,),
        (0.687,),
    )
    assert run("reconcile", VISIT, "--local", str(KEPT / "our_site.toml"))[0] == 0


def test_a_table_keeps_its_column_of_references(run: Run) -> None:
    people = pd.read_csv(KEPT / "people.csv")
    new = people.rename(columns={"reference_scale": "reference_method"})
    judged = [foldspan.calibrate(table).to_dict() for table in (people, new)]
    assert judged[0] == judged[1]
    assert judged[0]["counts"]["judged"] == len(people)


@pytest.mark.parametrize(
    ("before", "now"),
    [
        (["reconcile", VISIT, "--scale", "density"], ["--reference-method", "density"]),
        (["reconcile", VISIT, "--scale=density"], ["--reference-method=density"]),
        (["equations", "--family", "girth"], ["--method", "girth"]),
    ],
)
def test_an_option_may_be_given_by_its_earlier_name(
    before: list[str], now: list[str], run: Run
) -> None:
    words = [word for word in before if not word.startswith(("--", "density", "girth"))]
    assert run(*before) == run(*words, *now)


def test_both_names_of_an_option_with_two_values_are_refused(run: Run) -> None:
    code, _, err = run("reconcile", VISIT, "--scale", "dxa", "--reference-method", "density")
    assert code == 2
    assert "--reference-method: given twice" in err

"""``foldspan.Book``: the book from Python says what the commands say, and each fault has its code."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import foldspan
from screen_desk import Run

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def path(tmp_path: Path) -> str:
    return str(tmp_path / "book.sqlite")


@pytest.fixture
def book(path: str) -> Iterator[foldspan.Book]:
    with foldspan.Book.open(path) as opened:
        yield opened


def visit() -> foldspan.Visit:
    return foldspan.Visit.from_file(str(EXAMPLES / "visit.toml"))


def test_a_visit_comes_out_as_it_went_in(book: foldspan.Book) -> None:
    given = visit()
    assert book.add(given) == 1
    (kept,) = book.visits("K-014")
    assert kept.visit is not None
    assert kept.visit.to_dict() == given.to_dict()
    assert foldspan.reconcile(kept.visit).to_dict() == foldspan.reconcile(given).to_dict()
    assert (kept.number, kept.day, kept.has_ended) == (1, given.day and given.day.isoformat(), True)
    assert book.clients() == ("K-014",)


def test_the_commands_see_what_was_added_and_corrected(run: Run, path: str) -> None:
    with foldspan.Book.open(path) as book:
        book.add(visit())
        book.correct("K-014", 1, "triceps", "13.1", reading=1, who="T-02", why="slip")
        (kept,) = book.visits("K-014")
        exported = book.export("K-014")
    assert kept.visit is not None
    assert kept.visit.sites["triceps_mm"].readings[0] == 13.1
    assert [(correction.who, correction.why) for correction in kept.corrections] == [
        ("T-02", "slip")
    ]
    assert exported == json.loads(run("records", "export", "K-014", "--book", path)[1])


def test_a_mapping_is_kept_as_it_was_typed(book: foldspan.Book) -> None:
    tree = {
        "client": {"code": "K-2", "sex": "female", "age_years": 41},
        "girths_cm": {"waist_midpoint": "32 1/2 in"},
    }
    book.add(tree)
    assert book.export("K-2")["visits"][0]["as_it_stands"]["girths_cm"] == tree["girths_cm"]


def test_withdrawing_takes_every_visit_out(book: foldspan.Book) -> None:
    book.add(visit())
    book.add(foldspan.Visit.from_file(str(EXAMPLES / "visit_later.toml")))
    assert book.withdraw("K-014") == 2
    assert book.clients() == ()


def test_each_fault_has_its_code(book: foldspan.Book, tmp_path: Path) -> None:
    book.add(visit())
    line: dict[str, Any] = {"who": "T-02", "why": "slip"}
    faults = {
        "E122": lambda: book.add(visit()),
        "E120": lambda: book.add({"client": {"sex": "male", "age_years": 40},
                                  "mass_height": {"weight_kg": 80}}),
        "E706": lambda: book.visits("K-9"),
        "E115": lambda: book.correct("K-014", 1, "nose", "1", **line),
        "E111": lambda: book.add({"client": {"age_years": 4}, "mass_height": {"weight_kg": 20}}),
    }  # fmt: skip
    for code, act in faults.items():
        with pytest.raises(foldspan.FoldspanError) as caught:
            act()
        assert caught.value.problems[0].code == code
    for act in (
        lambda: book.withdraw("K-9"),
        lambda: book.export("K-9"),
        lambda: book.correct("K-014", 2, "tester", "T-03", **line),
    ):
        with pytest.raises(foldspan.FoldspanError) as caught:
            act()
        assert caught.value.problems[0].code == "E706"
    with (
        pytest.raises(foldspan.FoldspanError) as caught,
        foldspan.Book.open(tmp_path / "none.sqlite", begins=False),
    ):
        pass
    assert caught.value.problems[0].code == "E301"


def test_nothing_of_a_client_shows_in_a_repr(book: foldspan.Book) -> None:
    book.add(visit())
    assert "K-014" not in repr(book)
    assert "readings" not in repr(book.visits("K-014"))

"""Both faces: the same answers in the browser and at the terminal lead to the same record."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from browser_hand import hand_at
from foldspan.records.book import Book
from measure_driver import MAN, lines_for, script_of, surroundings
from program_starts import run_to_its_end

WOMAN = {"sex": "female", "age_years": "33", "pregnant": "n", "periods_stopped": "n"}
SESSIONS: dict[str, dict[str, Any]] = {
    "three folds": {},
    "a woman with seven": {**WOMAN, "plan": "seven", "birth_months_ago": "none"},
    "no touch": {"consent.touch": "n"},
    "tape only, no pen": {"plan": "tape", "consent.mark": "n"},
    "symptoms": {"symptoms": "fainting, fever", "conditions": "diabetes", "medicines": "none"},
    "two plans in words": {"plan": "three tape"},
    "an earlier weight": {"earlier_weight_kg": "88", "earlier_weight_months_ago": "6"},
    "a third reading": {"1.triceps_mm": "11.5", "2.triceps_mm": "15.5", "3.triceps_mm": "12.5"},
    "both sexes": {**WOMAN, "sex": "both", "plan": "quick"},
    "nothing kept": {"consent.store": "n"},
    "a plan that chooses": {"plan": "adaptive"},
    "a plan that chooses, in words": {**WOMAN, "plan": "adaptive + hip - triceps"},
}


def events(path: Path) -> list[tuple[str, dict[str, Any]]]:
    """Every event of the one visit of a book, without the times of its beginning."""
    with Book.opened(str(path)) as book:
        visits = book.all_visits()
        found = [(event.kind, dict(event.body)) for row, _ in visits for event in book.events(row)]
    for _, body in found:
        for time in ("day", "time"):
            body.pop(time, None)
    return found


@pytest.mark.parametrize("name", SESSIONS)
def test_the_same_answers_give_the_same_events(name: str, tmp_path: Path) -> None:
    answers = MAN | SESSIONS[name]
    there, here = tmp_path / "terminal.sqlite", tmp_path / "browser.sqlite"
    lines = lines_for(there, answers)
    run_to_its_end(
        ["measure", "--book", str(there)], typed="\n".join([*lines, ""]), folder=tmp_path,
        environment=surroundings(tmp_path),
    )  # fmt: skip
    with hand_at(here) as hand:
        hand.begin()
        hand.walk(answers)
    assert events(here) == events(there)
    assert (len(events(here)) > 10) == (name != "nothing kept")
    assert len(script_of(answers)) > 10


def test_a_book_of_the_browser_is_a_book(tmp_path: Path) -> None:
    """Sealed row by row as every other, and readable by its owner only."""
    with hand_at(tmp_path / "b.sqlite") as hand:
        hand.begin()
        hand.walk(MAN)
    assert (tmp_path / "b.sqlite").stat().st_mode & 0o077 == 0
    with sqlite3.connect(tmp_path / "b.sqlite") as raw:
        assert raw.execute("SELECT count(*) FROM event WHERE digest = ''").fetchone() == (0,)

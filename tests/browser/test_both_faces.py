"""Both faces: the same answers in the browser and at the terminal lead to the same record."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from browser_hand import hand_at
from foldspan.measuring.settings import session_settings
from foldspan.quantities import BY_NAME
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
    run = run_to_its_end(
        ["measure", "--book", str(there)], typed="\n".join([*lines, ""]), folder=tmp_path,
        environment=surroundings(tmp_path),
    )  # fmt: skip
    with hand_at(here) as hand:
        hand.begin()
        hand.walk(answers)
    assert events(here) == events(there)
    assert (len(events(here)) > 10) == (name != "nothing kept")
    assert len(script_of(answers)) > 10
    shown = " ".join(run.stderr.split())
    assert ("Expected width of the 80% range: " in shown) == ("chooses" in name)
    assert ("No other site is expected" in shown) == ("chooses" in name)


def test_the_page_of_a_chosen_site_shows_the_width_and_no_reading(tmp_path: Path) -> None:
    answers = MAN | {"plan": "adaptive"}
    with hand_at(tmp_path / "b.sqlite") as hand:
        hand.begin()
        hand.walk(answers, until="plan")
        assert "3 measurements, then one at a time" in hand.said
        hand.walk(answers, until="1.waist_midpoint_cm")
        hand.answer(answers)
        (site,) = hand.state.known.words("next")
        assert f"Next: {BY_NAME[site].label}. " in hand.said
        assert "before the first reading" not in hand.said
        hand.walk(answers, until=f"1.{site}")
        page = hand.said
        assert "Expected width of the 80% range: " in page
        assert not [line for line in ("80.4", "179.5", "86.5") if line in page]
        assert "Weight" not in page.partition("Next: ")[2].partition("How to measure it")[0]


def test_a_session_taken_up_goes_by_what_was_asked_for_when_it_began(tmp_path: Path) -> None:
    """Before, a server started anew judged it by its own settings; the terminal never did."""
    book, asked = tmp_path / "b.sqlite", {"reference_method": "density", "as_printed": True}
    with hand_at(book, settings=session_settings(asked, None), asked_for=asked) as hand:
        hand.begin()
        hand.walk(MAN, until="2.thigh_mm")
    with hand_at(book) as hand:
        hand.go("/session/v1")
        hand.walk(MAN)
        said = hand.said
        assert "Reference method: underwater weighing" in said
    with hand_at(book) as hand:  # and so does its result whenever it is looked at
        hand.go("/session/v1/result")
        assert hand.said == said
    with hand_at(book, asked_for={"reference_method": "dxa"}) as hand:  # until something else is
        hand.go("/session/v1/result")
        assert "Reference method: DXA" in hand.said


def test_a_book_of_the_browser_is_a_book(tmp_path: Path) -> None:
    """Sealed row by row as every other, and readable by its owner only."""
    with hand_at(tmp_path / "b.sqlite") as hand:
        hand.begin()
        hand.walk(MAN)
    assert (tmp_path / "b.sqlite").stat().st_mode & 0o077 == 0
    with sqlite3.connect(tmp_path / "b.sqlite") as raw:
        assert raw.execute("SELECT count(*) FROM event WHERE digest = ''").fetchone() == (0,)

"""What a client's records hold beside the visits is read in one way for both faces."""

from __future__ import annotations

from pathlib import Path

import pytest

from browser_hand import hand_at, words_of
from foldspan.measuring.beside import beside_visits
from foldspan.measuring.outcome import outcome_of_row
from foldspan.records.book import Book
from foldspan.records.tester_error import own_errors_of, repeats_of
from foldspan.records.visits import kept_visits, take_in
from measure_driver import MAN
from screen_desk import Run

CODE = str(MAN["code"])
LATER = {
    "client": {"code": CODE, "sex": "male", "age_years": 34.0},
    "visit": {"date": "2026-11-01", "tester": "T-05"},
    "mass_height": {"weight_kg": 79.0, "height_cm": 179.5},
    "intake": {"eating_concern": True},
}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A session with shared results and skin that was not dry, and a later visit with a worry."""
    place = tmp_path / "book.sqlite"
    with hand_at(place) as hand:
        hand.begin()
        hand.walk(MAN | {"prepared.skin": "n"})
        assert hand.address.endswith("/result"), hand.said
    with Book.opened(str(place)) as opened:
        take_in(opened, CODE, LATER, "2026-11-01T10:00:00")
    return place


def test_a_page_about_an_earlier_visit_heeds_what_was_told_later(book: Path) -> None:
    with Book.read(str(book)) as opened:
        later, first = sorted(kept_visits(opened, CODE), key=lambda kept: kept.state is not None)
        assert later.state is None
        assert not first.tree.get("intake", {}).get("eating_concern")
        outcome = outcome_of_row(opened, first.row, lambda _: {})
    assert outcome.beside.is_careful
    assert outcome.beside == beside_visits([later, first], first)
    assert (
        outcome.page("client").document.parts == outcome.page("client", careful=True).document.parts
    )


def test_earlier_visits_carry_the_testers_own_errors(tmp_path: Path) -> None:
    place = tmp_path / "book.sqlite"
    sites = {"triceps": [11.0, 14.0], "chest": [12.0, 15.5], "thigh": [17.0, 21.0]}
    with Book.opened(str(place)) as opened:
        for number in range(48):
            code, day = f"K-{number % 24:03}", f"2026-{number // 24 + 5:02}-01"
            visit = LATER["visit"] | {"date": day, "calliper": "ring"}
            tree = LATER | {"skinfolds_mm": sites, "intake": {}, "visit": visit}
            take_in(opened, code, tree | {"client": LATER["client"] | {"code": code}}, day)
        first, last = sorted(kept_visits(opened, "K-000"), key=lambda kept: kept.day)
        own = own_errors_of(repeats_of(opened), first)
        assert own, "the book has too few repeats to tell anything"
        outcome = outcome_of_row(opened, last.row, lambda _: {})
    (earlier,) = outcome.earlier
    assert earlier == first.visit(own)
    assert earlier != first.visit()


def test_both_faces_tell_how_the_client_was_prepared_and_what_was_planned(
    book: Path, run: Run, tmp_path: Path
) -> None:
    out = tmp_path / "page.html"
    code, _, errors = run("report", f"{CODE}:1", "--book", str(book), "-o", str(out))
    assert code == 0, errors
    at_terminal = words_of(out.read_text("utf-8"))
    with hand_at(book) as hand:
        hand.go("/visit/1/page?for=trainer&as=html")
        in_browser = hand.said
    for said in (at_terminal, in_browser):
        assert "Plan three skinfolds and the waist" in said
        assert "damp or with lotion" in said

"""A tester's own errors from the book: from other visits only, and for folds with one calliper only."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from foldspan.measurement.accepted_values import OwnError
from foldspan.records.book import Book
from foldspan.records.tester_error import own_errors_of, repeats_of
from foldspan.records.visits import kept_visits, take_in


def tree(code: str, calliper: str, triceps: list[float], waist: list[float]) -> dict[str, Any]:
    return {
        "client": {"code": code, "sex": "female", "age_years": 41.0},
        "visit": {"date": "2026-03-04", "tester": "T-02", "calliper": calliper},
        "mass_height": {"weight_kg": [71.3], "height_cm": [168.2]},
        "skinfolds_mm": {"triceps": triceps},
        "girths_cm": {"waist_midpoint": waist},
    }


def own(path: Path, calliper: str, triceps: list[float], waist: list[float]) -> dict[str, OwnError]:
    """Own errors for one more visit, after ten clients read with the blue calliper."""
    with Book.opened(str(path)) as book:
        for number in range(10):
            code = f"K-{number:03}"
            take_in(book, code, tree(code, "blue", [20.0, 21.0], [78.0, 78.6]), "file")
        take_in(book, "K-900", tree("K-900", calliper, triceps, waist), "file")
        (kept,) = kept_visits(book, "K-900")
        return own_errors_of(repeats_of(book), kept)


def test_a_visit_is_no_judge_of_its_own_readings(tmp_path: Path) -> None:
    """Readings far apart must not widen, by themselves, the error that they are judged by."""
    near = own(tmp_path / "near.sqlite", "blue", [20.0, 20.2], [78.0, 78.1])
    apart = own(tmp_path / "apart.sqlite", "blue", [20.0, 26.0], [78.0, 82.0])
    assert set(near) == {"triceps_mm", "waist_midpoint_cm"}
    assert apart == near
    assert near["triceps_mm"].degrees == pytest.approx(10.0)


def test_folds_of_another_calliper_do_not_count_and_girths_do(tmp_path: Path) -> None:
    assert set(own(tmp_path / "a.sqlite", "red", [20.0, 20.4], [78.0, 78.4])) == {
        "waist_midpoint_cm"
    }

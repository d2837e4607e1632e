"""Cross checks typed a second time, and a tester's own errors.

The bounds are our proposals, typed a second time: they lie around percentiles computed on published
surveys, and no source prints them.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from foldspan.measurement.accepted_values import OwnError
from foldspan.problems import FoldspanError
from foldspan.protocol.cross_checks import CROSS_CHECKS
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, Sex
from foldspan.records.book import Book
from foldspan.records.tester_error import own_errors_of, read_own_errors, repeats_of
from foldspan.records.visits import kept_visits, take_in
from foldspan.visit.model import Visit

ANY = math.inf
WAISTS = ("waist_narrowest_cm", "waist_midpoint_cm", "waist_iliac_cm", "abdomen_navel_cm")
Bounds = tuple[float, float]
# first, second, bounds of women and of men: asked back beyond them
RATIOS: list[tuple[str, str, Bounds, Bounds]] = [
    *((waist, "hip_cm", (0.60, 1.10), (0.72, 1.15)) for waist in WAISTS),
    *((waist, "height_cm", (0.35, 1.05), (0.35, 1.05)) for waist in WAISTS),
    *(("neck_cm", waist, (0.25, 0.60), (0.25, 0.60)) for waist in WAISTS),
    ("neck_cm", "wrist_girth_cm", (1.7, 3.0), (1.7, 3.0)),
    ("chest_girth_cm", "waist_midpoint_cm", (0.80, 1.50), (0.80, 1.50)),
    ("chest_girth_cm", "abdomen_navel_cm", (0.80, 1.50), (0.80, 1.50)),
    ("thigh_upper_girth_cm", "hip_cm", (0.48, 0.75), (0.48, 0.75)),
    ("calf_girth_cm", "thigh_upper_girth_cm", (0.45, 0.80), (0.45, 0.80)),
    ("arm_flexed_girth_cm", "thigh_upper_girth_cm", (0.35, 0.78), (0.35, 0.78)),
    ("forearm_girth_cm", "arm_flexed_girth_cm", (0.65, 1.08), (0.65, 1.08)),
    ("wrist_girth_cm", "forearm_girth_cm", (0.42, 0.75), (0.42, 0.75)),
    ("suprailiac_anterior_mm", "abdominal_mm", (0.0, 1.3), (0.0, 1.3)),
    ("suprailiac_midaxillary_mm", "abdominal_mm", (0.0, 1.3), (0.0, 1.3)),
]
# first minus second [cm or mm]
DIFFERENCES: list[tuple[str, str, float, float]] = [
    *((waist, "neck_cm", 20.0, ANY) for waist in WAISTS),
    ("abdomen_navel_cm", "waist_narrowest_cm", -5.0, 30.0),
    ("waist_iliac_cm", "waist_midpoint_cm", -4.0, 12.0),
    ("triceps_mm", "biceps_mm", 0.0, ANY),
]
BY_PAIR = {(check.first, check.second, check.is_difference): check for check in CROSS_CHECKS}
SECOND = 80.0  # of whatever is divided by
NEAR = 1e-6
SEXES: tuple[Sex, Sex] = ("female", "male")


def test_every_check_is_typed_twice_and_once_only() -> None:
    typed = {(first, second, False) for first, second, *_ in RATIOS}
    typed |= {(first, second, True) for first, second, *_ in DIFFERENCES}
    assert set(BY_PAIR) == typed
    assert len(CROSS_CHECKS) == len(typed)
    assert all(name in BY_NAME for pair in typed for name in pair[:2])


@pytest.mark.parametrize(("first", "second", "female", "male"), RATIOS)
def test_ratios_from_both_sides(first: str, second: str, female: Bounds, male: Bounds) -> None:
    check = BY_PAIR[first, second, False]
    for sex, (low, high) in zip(SEXES, (female, male), strict=True):
        for bound, inside in ((low, 1.0), (high, -1.0)):
            if bound > 0.0:  # below nothing there is nothing
                assert check.holds((bound + inside * NEAR) * SECOND, SECOND, sex)
                assert not check.holds((bound - inside * NEAR) * SECOND, SECOND, sex)


@pytest.mark.parametrize(("first", "second", "low", "high"), DIFFERENCES)
def test_differences_from_both_sides(first: str, second: str, low: float, high: float) -> None:
    check = BY_PAIR[first, second, True]
    for sex in SEXES:
        for bound, inside in ((low, 1.0), (high, -1.0)):
            if bound < ANY:
                assert check.holds(SECOND + bound + inside * NEAR, SECOND, sex)
                assert not check.holds(SECOND + bound - inside * NEAR, SECOND, sex)
        assert high < ANY or check.holds(SECOND + 80.0, SECOND, sex)


@pytest.mark.parametrize(("first", "second", "female", "male"), RATIOS[:4])
def test_sex_unknown_asks_only_beyond_both(
    first: str, second: str, female: Bounds, male: Bounds
) -> None:
    check = BY_PAIR[first, second, False]
    low, high = min(female[0], male[0]), max(female[1], male[1])
    for share, holds in ((low + NEAR, 1), (low - NEAR, 0), (high - NEAR, 1), (high + NEAR, 0)):
        assert check.holds(share * SECOND, SECOND, None) == bool(holds)


# A tester's own errors


def tree(code: str, tester: str, **readings: list[float]) -> dict[str, Any]:
    return {
        "client": {"code": code, "sex": "female", "age_years": 41.0},
        "visit": {"date": "2026-03-04", "tester": tester, "calliper": "red"},
        "mass_height": {"weight_kg": [71.3], "height_cm": [168.2]},
        "skinfolds_mm": readings or {"triceps": [20.0]},
    }


def own(folder: Path, clients: int, apart: float, tester: str = "T-02") -> dict[str, OwnError]:
    """Own errors for a visit of ``T-02``, after so many clients of ``tester`` read so far apart."""
    with Book.opened(str(folder / f"{clients}-{apart:g}-{tester}.sqlite")) as book:
        for number in range(clients):
            folds = {name: [20.0, 20.0 + apart] for name in ("triceps", "thigh")}
            take_in(book, f"K-{number:03}", tree(f"K-{number:03}", tester, **folds), "file")
        take_in(book, "K-900", tree("K-900", "T-02"), "file")
        (kept,) = kept_visits(book, "K-900")
        return own_errors_of(repeats_of(book), kept)


def test_ten_clients_give_the_tester_s_own_error(tmp_path: Path) -> None:
    assert own(tmp_path, 9, 1.0) == {}
    found = own(tmp_path, 10, 1.0)
    assert set(found) == {"triceps_mm", "thigh_mm"}
    # by hand: TEM = sqrt(sum d² / 2n) = sqrt(10 · 1² / 20); the mean of all readings is 20.5
    # (textbook formula, Ulijaszek & Kerr 1999)
    assert found["triceps_mm"].relative == pytest.approx(math.sqrt(0.5) / 20.5, rel=1e-12)
    assert found["triceps_mm"].degrees == 10.0


def test_other_testers_and_one_client_again_and_again_do_not_count(tmp_path: Path) -> None:
    assert own(tmp_path, 12, 1.0, tester="T-03") == {}
    assert own(tmp_path, 12, 1.0, tester="") == {}
    with Book.opened(str(tmp_path / "again.sqlite")) as book:
        for number in range(12):
            folds = tree("K-001", "T-02", triceps=[20.0, 21.0 + number / 10.0])
            take_in(book, "K-001", folds, "file")
        assert own_errors_of(repeats_of(book), kept_visits(book, "K-001")[0]) == {}


def standard_errors(found: dict[str, OwnError]) -> tuple[float, float]:
    """Standard error of one triceps fold of 20 mm, without and with the tester's own error."""
    plain = Visit.from_dict(tree("K-900", "T-02"))
    with_own = plain.with_own_errors(found)
    assert with_own.accepted["triceps_mm"].value == plain.accepted["triceps_mm"].value
    assert with_own.accepted["weight_kg"] == plain.accepted["weight_kg"]
    return plain.accepted["triceps_mm"].se, with_own.accepted["triceps_mm"].se


def test_own_errors_narrow_or_widen_in_the_right_direction(tmp_path: Path) -> None:
    usual, careful = standard_errors(own(tmp_path, 20, 0.2))
    _, rough = standard_errors(own(tmp_path, 20, 9.0))
    assert careful < usual < rough
    _, few = standard_errors(own(tmp_path, 10, 0.2))
    assert careful < few < usual  # more repeats, more weight


@pytest.mark.parametrize("degrees", [10.0, 1e6])
def test_no_own_error_brings_the_error_to_nothing(tmp_path: Path, degrees: float) -> None:
    """Second readings that were not blind repeat the first: no difference is no precision.

    Marks, landmarks and days stay the same for all readings of a visit; half of the published variance
    is taken to be of that kind (common practice, no source).
    """
    floor = math.sqrt(0.5) * technical_error("triceps_mm").of(20.0)
    usual, least = standard_errors({"triceps_mm": OwnError(0.0, degrees)})
    assert floor * (1.0 - 1e-12) <= least < usual
    _, after_copies = standard_errors(own(tmp_path, 12, 0.0))
    assert after_copies >= floor


GOOD = {"own_errors": {"T-02": {"triceps_mm": {"relative": 3.0, "degrees": 12}}}}


def written(folder: Path, content: object) -> str:
    path = folder / "own.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return str(path)


def test_a_file_of_own_errors(tmp_path: Path) -> None:
    path = written(tmp_path, GOOD)
    assert read_own_errors(path, "T-02") == {"triceps_mm": OwnError(0.03, 12.0)}


def error_entry(name: str = "triceps_mm", **given: object) -> dict[str, Any]:
    return {"own_errors": {"T-02": {name: {"relative": 3.0, "degrees": 12} | given}}}


@pytest.mark.parametrize(
    "content",
    [
        {},
        {"own_errors": []},
        {"own_errors": {"T-03": {}}},
        {"own_errors": {"T-02": []}},
        {"own_errors": {"T-02": None}},
        {"own_errors": {"T-02": {"triceps_mm": None}}},
        {"own_errors": {"T-02": {"triceps_mm": 3.0}}},
        {"own_errors": {"T-02": {"triceps_mm": {"relative": 3.0}}}},
        error_entry("shoe_mm"),
        error_entry("age_years"),
        *(error_entry(relative=value) for value in (-1.0, 51.0, math.nan, math.inf, "x", None)),
        *(error_entry(degrees=value) for value in (0.5, -1, math.nan, math.inf, "x", [12])),
    ],
)
def test_wrong_files_of_own_errors(tmp_path: Path, content: object) -> None:
    with pytest.raises(FoldspanError) as caught:
        read_own_errors(written(tmp_path, content), "T-02")
    assert [problem.code for problem in caught.value.problems] == ["E601"]

"""Who is compared with an earlier table, and what is said of everybody else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import foldspan
from foldspan.screening.before.columns import NAMES, NOT_COMPARED, NUMBERS
from foldspan.text.tables.before import NOT_COMPARED_WORDS
from screen_people import NOW, THEN, compared, write_rows

# why → what the later row has, and what the earlier one has
WHY: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "no_code": ({"code": " "}, {}),
    "only_now": ({"code": "K-02"}, {}),
    "sex_differs": ({"sex": "male"}, {}),
    "dated_earlier": ({"date": "2025-03-03"}, {}),
    "younger": ({"age_years": 49, "date": ""}, {}),
    "age_and_dates": ({"age_years": 54}, {}),
    "height_of_another": ({"height_cm": 173.5}, {}),
    "weight_unit": ({}, {"weight_kg": 172.0}),
    "careful_words": ({}, {"eating_concern": "yes"}),
    "no_range": ({"pregnant": "yes"}, {}),
    "no_range_before": ({}, {"sex": "?"}),
    "nothing_in_common": (
        {"waist_midpoint_cm": "", "triceps_mm": "", "neck_cm": 33.0},
        {"weight_kg": "", "height_cm": ""},
    ),
}


@pytest.mark.parametrize("why", WHY)
def test_no_number_is_said_where_two_rows_cannot_be_compared(tmp_path: Path, why: str) -> None:
    """And there is one as soon as the row is like its neighbour's."""
    now, then = WHY[why]
    summary, (row, good) = compared(
        tmp_path, [NOW | now, NOW | {"code": "K-99"}], [THEN | then, THEN | {"code": "K-99"}]
    )
    assert row["not_compared"].startswith(NOT_COMPARED_WORDS[why])
    assert not any(row[name] for name in NAMES if name != "not_compared")
    assert good["not_compared"] == ""
    assert all(good[name] for name in NUMBERS)
    assert summary.change is not None
    assert summary.change.by_code == {why: 1}
    assert summary.change.compared == 1


def test_every_reason_is_tried_and_has_words() -> None:
    assert set(NOT_COMPARED[1:]) == set(NOT_COMPARED_WORDS)
    assert set(WHY) == set(NOT_COMPARED_WORDS) - {"code_twice", "code_twice_before", "lost"}


@pytest.mark.parametrize(
    ("now", "then"),
    [
        ({"age_years": 51}, {}),  # whole years, and a birthday later in the year
        ({"age_years": 50, "date": ""}, {}),
        ({"height_cm": 173.0}, {}),
        ({"height_cm": 162.0}, {}),  # from 50 years on height may be lost
        ({"weight_kg": 50.0}, {}),
        ({"code": "  K-01 "}, {}),
    ],
)
def test_what_may_be_is_compared(tmp_path: Path, now: dict[str, Any], then: dict[str, Any]) -> None:
    _, (row,) = compared(tmp_path, [NOW | now], [THEN | then])
    assert row["not_compared"] == ""
    assert row["fat_percent_change"]


def test_a_height_lost_before_fifty_is_of_another_person(tmp_path: Path) -> None:
    _, (row,) = compared(
        tmp_path, [NOW | {"age_years": 42, "height_cm": 162.0}], [THEN | {"age_years": 41}]
    )
    assert row["not_compared"].startswith("height differs")


def test_why_there_is_no_range_is_said(tmp_path: Path) -> None:
    _, (row, old) = compared(
        tmp_path,
        [NOW | {"pregnant": "yes"}, NOW | {"code": "K-02", "age_years": 18}],
        [THEN, THEN | {"code": "K-02", "age_years": 17}],
    )
    assert row["not_compared"] == "no range in this table: pregnant"
    assert old["not_compared"] == "no range in the earlier table: under 18"


def test_a_code_that_stands_twice_is_nobody_and_its_rows_are_named(tmp_path: Path) -> None:
    now = [NOW, NOW | {"code": "K-02"}, NOW | {"code": "K-03"}, NOW]
    then = [THEN, THEN | {"code": "K-02"}, THEN | {"code": "K-02"}, THEN | {"code": "K-03"}]
    summary, rows = compared(tmp_path, now, then)
    assert [row["not_compared"] for row in rows] == [
        "code used more than once in this table",
        "code used more than once in the earlier table",
        "",
        "code used more than once in this table",
    ]
    change = summary.change
    assert change is not None
    assert change.checks == (
        "Codes used more than once in this table: rows 1, 4. No change is shown for them until each"
        " client has one code of their own.",
        "Codes used more than once in the earlier table: rows 2, 3. No change is shown for these"
        " clients until the codes are corrected there.",
    )
    assert change.look_first == ()
    assert (change.matched, change.matching.only_before) == (1, 0)


def test_a_code_that_stands_twice_in_distant_parts_is_found(tmp_path: Path) -> None:
    """Parts are worked on apart; a code at both ends of a long table is still nobody."""
    many = [NOW | {"code": f"K-{number}"} for number in range(30_000)]
    summary, rows = compared(tmp_path, [*many, many[0]], [THEN | {"code": "K-0"}], workers=2)
    assert rows[0]["not_compared"] == rows[-1]["not_compared"] != ""
    assert rows[1]["not_compared"] == "not in the earlier table"
    assert summary.change is not None
    assert summary.change.matched == 0


@pytest.mark.parametrize(
    ("now", "then"), [("007", "7"), ("k 014", "K-014"), ("A_1", "a1"), ("K.01", "K/01")]
)
def test_codes_match_as_written_and_near_ones_are_counted(
    tmp_path: Path, now: str, then: str
) -> None:
    summary, (row,) = compared(tmp_path, [NOW | {"code": now}], [THEN | {"code": then}])
    assert row["not_compared"] == "not in the earlier table"
    assert summary.change is not None
    assert summary.change.matching.nearly == 1
    (said,) = summary.change.checks
    assert said.startswith("1 code would match if capitals")
    assert summary.change.look_first == ()


def test_codes_of_one_table_only_are_counted(tmp_path: Path) -> None:
    now = [NOW | {"code": code} for code in ("K-01", "K-02", "K-03")]
    then = [THEN | {"code": code} for code in ("K-01", "K-07", "K-08", "", "K-09")]
    change = compared(tmp_path, now, then)[0].change
    assert change is not None
    assert (change.matched, change.by_code) == (1, {"only_now": 2})
    assert (change.matching.rows, change.matching.only_before) == (5, 3)
    assert change.matching.no_code_before == 1


def test_codes_given_to_other_people_are_asked_about_first(tmp_path: Path) -> None:
    """Running numbers of a day: most rows contradict the other table, and that is said before all."""
    now = [NOW | {"code": str(number)} for number in range(10)]
    then = [THEN | {"code": str(number), "sex": "male"} for number in range(3)]
    then += [THEN | {"code": str(number)} for number in range(3, 10)]
    summary, _ = compared(tmp_path, now, then)
    assert summary.look_first == (
        "In 3 rows, the sex, age or height does not match the earlier table. Have codes been given to"
        " other people since then? Check this before you use any of the changes.",
    )


def test_tables_that_are_swapped_are_asked_about_first(tmp_path: Path) -> None:
    codes = [f"K-{number}" for number in range(4)]
    now, then = ([row | {"code": code} for code in codes] for row in (NOW, THEN))
    summary, rows = compared(tmp_path, then, now)
    assert {row["not_compared"] for row in rows} == {
        "dated before the earlier table: check the dates"
    }
    assert summary.look_first[0].startswith("4 rows are dated before the earlier table.")


def test_without_any_code_in_both_it_is_said_first(tmp_path: Path) -> None:
    summary, _ = compared(tmp_path, [NOW], [THEN | {"code": "X-77"}])
    assert summary.look_first[0].startswith("The two tables have no client code in common.")


@pytest.mark.parametrize(("days", "verdict"), [("2025-03-31", "too_soon"), ("2025-04-01", "down")])
def test_less_than_four_weeks_is_too_soon(tmp_path: Path, days: str, verdict: str) -> None:
    now = THEN | {"date": days, "weight_kg": 60.0, "waist_midpoint_cm": 70.0, "triceps_mm": 10.0}
    _, (row,) = compared(tmp_path, [now], [THEN])
    assert row["change_verdict"] == verdict
    assert ("too_soon" in row["change_notes"]) == (verdict == "too_soon")


def test_weights_in_a_doubtful_unit_are_used_only_where_the_caller_says_so(tmp_path: Path) -> None:
    """A body mass index of 45 may be of pounds; a weight that is 2.2 times the other always is."""
    large = {"weight_kg": 127.0, "waist_midpoint_cm": "", "triceps_mm": ""}
    _, (row,) = compared(tmp_path, [NOW | large], [THEN | large])
    assert row["not_compared"].startswith("one weight may be in another unit")
    _, (row,) = compared(tmp_path, [NOW | large], [THEN | large], accept_unusual=True)
    assert row["not_compared"] == ""
    _, (row,) = compared(tmp_path, [NOW], [THEN | {"weight_kg": 172.0}], accept_unusual=True)
    assert row["not_compared"].startswith("one weight may be in another unit")


def test_a_row_of_which_nothing_can_be_used_is_nobody(tmp_path: Path) -> None:
    """Its code may stand in the wrong column; it is not said to have none."""
    old = write_rows(tmp_path / "old.csv", [THEN, THEN | {"code": "K-02"}])
    new = Path(write_rows(tmp_path / "new.csv", [NOW, NOW | {"code": "K-02"}]))
    new.write_text(new.read_text("utf-8").replace("K-02,", "K-02,,"), encoding="utf-8")
    summary = foldspan.screen_table(new, tmp_path / "out.csv", before=old)
    assert summary.change is not None
    assert summary.change.by_code == {"lost": 1}
    assert (summary.change.matched, summary.change.matching.only_before) == (1, 1)

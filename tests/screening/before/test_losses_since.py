"""What was lost since an earlier table: who is flagged, referred and written about."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pypdf
import pytest

import foldspan
from screen_people import NOW, THEN, Row, compared, write_rows

LIGHT = {"weight_kg": 51.0, "height_cm": 170.0, "waist_midpoint_cm": 68.0, "triceps_mm": ""}
# what the later row has, what the earlier one has → flags of a loss that are raised by it
LOST: dict[str, tuple[Row, Row, set[str]]] = {
    "planned, over a year": ({"weight_kg": 69.0, "loss_wanted": "yes"}, {}, set()),
    "nobody asked": ({"weight_kg": 69.0}, {}, {"loss_not_asked"}),
    "not wanted": ({"weight_kg": 70.0, "loss_wanted": "no"}, {}, {"loss_unplanned"}),
    "fast": ({"weight_kg": 69.0, "date": "2025-08-01"}, {}, {"loss_large_not_asked"}),
    "fast, not wanted": (
        {"weight_kg": 69.0, "date": "2025-08-01", "loss_wanted": "no"}, {}, {"loss_fast"},
    ),
    "planned, too fast": (
        {"weight_kg": 74.0, "date": "2025-03-20", "loss_wanted": "yes"}, {}, {"loss_planned_fast"},
    ),
    "a worry about eating": (
        {"weight_kg": 69.0, "eating_concern": "yes"}, {}, {"loss_with_worry"},
    ),
    "low weight": (LIGHT, LIGHT | {"weight_kg": 55.0}, {"bmi_low_with_loss", "loss_not_asked"}),
    "no date": ({"weight_kg": 69.0, "date": ""}, {}, {"loss_large_undated"}),
    "height": ({"height_cm": 164.9}, {}, {"height_lost"}),
    "a little": ({"weight_kg": 76.6}, {}, set()),
    "gained": ({"weight_kg": 88.0}, {}, set()),
    "after a pregnancy": ({"weight_kg": 69.0}, {"pregnant": "yes"}, set()),
    "after swelling": ({"weight_kg": 69.0}, {"symptoms": "swelling"}, set()),
    "of another person": ({"weight_kg": 69.0, "sex": "male"}, {}, set()),
    "on one day": ({"weight_kg": 69.0, "date": "2025-03-04", "age_years": 51}, {}, set()),
    "under 18": (
        {"weight_kg": 60.0, "age_years": 17, "waist_midpoint_cm": "", "loss_wanted": "no"},
        {"weight_kg": 70.0, "age_years": 16, "waist_midpoint_cm": ""}, {"loss_unplanned"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", LOST)
def test_a_loss_since_then_raises_the_flags_of_one_that_was_told(tmp_path: Path, case: str) -> None:
    now, then, expected = LOST[case]
    summary, (row,) = compared(tmp_path, [NOW | now], [THEN | then])
    _, (alone,) = compared(tmp_path, [NOW | now], [THEN | then], before=None)
    own, raised = (set(filter(None, answer["flags"].split("; "))) for answer in (alone, row))
    assert raised - own == expected
    assert summary.change is not None
    assert summary.change.flagged == bool(expected)


def test_without_a_date_nobody_is_said_to_have_lost_weight_fast(tmp_path: Path) -> None:
    now = [NOW | {"weight_kg": 69.0, "date": ""}, NOW | {"code": "K-02", "date": ""}]
    summary, (row, other) = compared(tmp_path, now, [THEN, THEN | {"code": "K-02"}])
    assert "loss_undated" in row["change_notes"].split("; ")
    assert row["weeks_between"] == ""
    assert "fast" not in row["flags"]
    assert "loss_undated" not in other["change_notes"]
    assert summary.change is not None
    assert summary.change.undated == 1


def test_whoever_is_flagged_by_a_loss_is_on_the_list_and_gets_a_letter(tmp_path: Path) -> None:
    now = [
        NOW,
        NOW | {"code": "K-02", "weight_kg": 70.0, "loss_wanted": "no"},
        NOW | {"code": "K-03", "height_cm": 163.9},
        NOW | {"code": "K-04", "weight_kg": 69.0, "date": ""},
    ]
    then = [THEN | {"code": row["code"]} for row in now]
    summary, _ = compared(
        tmp_path, now, then,
        referrals=str(tmp_path / "refer.csv"), letters=str(tmp_path / "letters"),
    )  # fmt: skip
    assert summary.referred == 3
    assert "not_referring" not in {note.code for note in summary.coded_notes}
    with (tmp_path / "refer.csv").open(newline="", encoding="utf-8") as file:
        listed = {row["code"]: row for row in csv.DictReader(file)}
    assert listed["K-02"]["flags"].startswith("loss_unplanned")
    assert all(row["reasons"] and row["sources"] for row in listed.values())
    said = {}
    for path in (tmp_path / "letters").iterdir():
        sheets = [page.extract_text() for page in pypdf.PdfReader(path).pages]
        said[path.stem[-4:]] = " ".join(" ".join(sheets).split())
    assert set(said) == {"K-02", "K-03", "K-04"}
    assert "10.3% less than about 12 months earlier (March 2025)" in said["K-02"]
    assert "the loss was not intended" in said["K-02"]
    assert "163.9 cm, 4.1 cm less than before" in said["K-03"]
    assert "11.5% less than earlier, at a time that was not recorded" in said["K-04"]
    # of a row with two dates the letter is that of two visits
    assert "From 4 March 2025 to 5 March 2026" in said["K-02"]
    assert "From 4 March 2025" not in said["K-04"]


def test_an_earlier_weight_is_not_said_to_be_missing_where_the_table_has_it(tmp_path: Path) -> None:
    now = [NOW | {"loss_wanted": "no"}, NOW | {"code": "K-02", "loss_wanted": "no"}]
    summary, (known, new) = compared(tmp_path, now, [THEN])
    assert known["problems"] == ""
    assert "earlier_weight_kg" in new["problems"]
    assert summary.not_asked["earlier_weight"] == 1
    assert compared(tmp_path, now, [THEN], before=None)[0].not_asked["earlier_weight"] == 2


def test_a_loss_that_was_told_stays_beside_the_one_that_was_measured(tmp_path: Path) -> None:
    """Of one ladder the more urgent counts, whichever table it comes from."""
    intake: dict[str, Any] = {"earlier_weight_kg": 90.0, "earlier_weight_months_ago": 3}
    _, (row,) = compared(tmp_path, [NOW | intake | {"weight_kg": 77.5}], [THEN])
    assert row["flags"].split("; ")[0] == "loss_large_not_asked"
    _, (row,) = compared(
        tmp_path, [NOW | {"earlier_weight_kg": 77.0, "earlier_weight_months_ago": 1,
                          "weight_kg": 69.0, "date": "2025-08-01"}], [THEN],
    )  # fmt: skip
    assert "loss_large_not_asked" in row["flags"].split("; ")


def test_the_summary_of_the_group_counts_as_before(tmp_path: Path) -> None:
    """It knows nothing of an earlier table but the flags."""
    now = [NOW | {"code": f"K-{number}"} for number in range(30)]
    with_before, _ = compared(tmp_path, now, [THEN | {"code": "K-1"}])
    without, _ = compared(tmp_path, now, [THEN], before=None)
    assert (
        foldspan.group_summary(with_before).to_dict() == foldspan.group_summary(without).to_dict()
    )


def test_what_is_written_without_an_earlier_table_says_nothing_of_changes(tmp_path: Path) -> None:
    summary, (row,) = compared(tmp_path, [NOW], [THEN], before=None)
    assert summary.change is None
    assert "change" not in summary.to_dict()
    assert "changes" not in summary.tally.to_dict()
    assert not any("change" in name for name in row)
    write_rows(tmp_path / "again.csv", [NOW])

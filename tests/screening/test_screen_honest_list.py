"""The list of people to refer says what it cannot know: what was not asked, and units to confirm."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.cli.printed.screen import page
from foldspan.screening.summary import Screening

FULL = {
    "code": "A", "sex": "female", "age_years": "41", "weight_kg": "66", "height_cm": "168",
    "symptoms": "none", "conditions": "none", "medicines": "none", "blood_pressure_mmhg": "121/79",
    "earlier_weight_kg": "66", "earlier_weight_months_ago": "6", "eating_concern": "no",
    "pregnant": "no",
}  # fmt: skip
TOPICS = {
    "symptoms": ("symptoms",), "pressure": ("blood_pressure_mmhg",), "conditions": ("conditions",),
    "medicines": ("medicines",), "earlier_weight": ("earlier_weight_kg", "earlier_weight_months_ago"),
    "eating": ("eating_concern",), "pregnancy": ("pregnant",),
}  # fmt: skip


def screened(folder: Path, rows: Sequence[dict[str, str]], **options: Any) -> Screening:
    out = io.StringIO()
    names = list(dict.fromkeys(name for row in rows for name in row))
    writer = csv.DictWriter(out, names, restval="")
    writer.writeheader()
    writer.writerows(rows)
    (folder / "day.csv").write_text(out.getvalue(), "utf-8")
    return foldspan.screen_table(folder / "day.csv", folder / "out.csv", replace=True, **options)


def summary_of(screening: Screening) -> str:
    return " ".join(page(screening, "out.csv", "").split())


def test_where_everything_was_asked_nothing_is_said(tmp_path: Path) -> None:
    screening = screened(tmp_path, [FULL])
    assert screening.not_asked == {}
    assert "Not asked" not in summary_of(screening)


@pytest.mark.parametrize("topic", TOPICS)
def test_a_topic_without_a_column_was_asked_of_nobody(tmp_path: Path, topic: str) -> None:
    rows = [{name: text for name, text in FULL.items() if name not in TOPICS[topic]}] * 3
    screening = screened(tmp_path, rows)
    assert screening.not_asked == {topic: 3}
    assert "To refer to a clinician: nobody meets the rules for referral. Not asked" in summary_of(
        screening
    )
    assert "(all rows" in screening.not_asked_sentence


@pytest.mark.parametrize("topic", TOPICS)
def test_an_empty_cell_is_not_asked_and_none_is(tmp_path: Path, topic: str) -> None:
    silent = FULL | dict.fromkeys(TOPICS[topic], " ")
    screening = screened(tmp_path, [FULL, silent, FULL])
    assert screening.not_asked == {topic: 1}
    assert "(1 row" in screening.not_asked_sentence
    assert screening.to_dict()["not_asked"] == {topic: 1}


def test_a_word_with_a_column_of_its_own_counts_as_asked(tmp_path: Path) -> None:
    rest = {name: text for name, text in FULL.items() if name != "symptoms"}
    assert screened(tmp_path, [rest | {"chest_pain": "no"}]).not_asked == {}


@pytest.mark.parametrize(
    ("sex", "age", "is_asked"), [("male", "41", 0), ("female", "61", 0), ("female", "30", 1)]
)
def test_pregnancy_is_missed_only_where_it_concerns(
    tmp_path: Path, sex: str, age: str, is_asked: int
) -> None:
    row = FULL | {"sex": sex, "age_years": age, "pregnant": ""}
    assert screened(tmp_path, [row, FULL]).not_asked.get("pregnancy", 0) == is_asked


def test_a_weight_in_a_doubtful_unit_is_to_be_confirmed_first(tmp_path: Path) -> None:
    """150 kg at 168 cm and a waist of 80 cm is a weight in pounds: nobody is sent for it unconfirmed."""
    doubtful = FULL | {"weight_kg": "150", "waist_midpoint_cm": "80", "code": "B"}
    fainting = doubtful | {"symptoms": "fainting", "code": "C"}
    listed = tmp_path / "refer.csv"
    screening = screened(tmp_path, [doubtful, fainting, FULL], referrals=str(listed))
    rows = {row["code"]: row for row in csv.DictReader(io.StringIO(listed.read_text("utf-8")))}
    assert rows["B"]["what_to_do"].startswith("Confirm the unit of the weight first. ")
    assert "Confirm" not in rows["C"]["what_to_do"], "what cannot wait stands first"
    assert "Confirm the unit first in 1 row:" in summary_of(screening)
    assert screening.to_dict()["unit_to_confirm"] == 1
    confirmed = screened(tmp_path, [doubtful], referrals=str(listed), accept_unusual=True)
    assert confirmed.to_dict()["unit_to_confirm"] == 0
    assert "Confirm" not in listed.read_text("utf-8")


def test_a_folder_of_parts_says_the_same(tmp_path: Path) -> None:
    doubtful = FULL | {"weight_kg": "150", "waist_midpoint_cm": "80", "symptoms": ""}
    rows = [{**(doubtful if place % 3 else FULL), "code": f"P-{place}"} for place in range(12)]
    single, parts = tmp_path / "one.csv", tmp_path / "parts.csv"
    whole = screened(tmp_path, rows, referrals=str(single))
    folder = tmp_path / "parts"
    folder.mkdir()
    for place in (0, 6):
        pd.DataFrame(rows[place : place + 6]).to_parquet(folder / f"p{place}.parquet")
    split = foldspan.screen_table(folder, tmp_path / "answers", referrals=str(parts))
    assert split.not_asked == whole.not_asked == {"symptoms": 8}
    assert split.unit_first == whole.unit_first != ""

    def advice(place: Path) -> list[str]:
        return [row["what_to_do"] for row in csv.DictReader(io.StringIO(place.read_text("utf-8")))]

    assert advice(parts) == advice(single)

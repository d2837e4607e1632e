"""What a table says is read alike through every door: CSV, Parquet, a folder of parts, pandas."""

from __future__ import annotations

import pickle
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.api.screen import Plan
from foldspan.tables.columns import layout_of
from foldspan.tables.value_words import meanings

WORDS = {"2": "female", "1": "male", "tennis elbow": "none"}
BODY = {"weight_kg": 71.3, "height_cm": 168.2}
ROWS: list[dict[str, Any]] = [
    {"sex": 2, "birth_date": date(1984, 9, 17), "date": date(2026, 2, 3)},
    {"sex": 2, "birth_date": date(2012, 5, 1), "date": date(2026, 2, 3), "age_years": 45.0},
    {"sex": 1, "age_years": 37.0, "conditions": "hypertension; tennis elbow"},
    {"sex": 2, "age_years": 31.0, "conditions": "pregnant"},
    {"sex": 2, "age_years": 31.0, "weeks_pregnant": 14.0},
    {"sex": 2, "age_years": 31.0, "birth_months_ago": "6 weeks"},
    {"sex": 9, "age_years": 31.0, "chest_pain": "yes", "blood_pressure_mmhg": "185/95"},
    {"sex": 2, "age_years": 31.0, "conditions": "hiccups", "chest_pain": "no"},
    {"sex": 2, "age_years": 31.0, "dialysis": "perhaps", "blood_pressure_mmhg": "142/"},
]  # fmt: skip
EXPECTED = [
    "", "E119 age_years", "", "E202", "E202", "E204", "E113 sex", "E113 conditions", "E113 dialysis",
]  # fmt: skip


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    return pd.DataFrame([BODY | row for row in ROWS])


@pytest.fixture(scope="module")
def answer(frame: pd.DataFrame) -> pd.DataFrame:
    return foldspan.reconcile_table(frame, words=WORDS)


def said_in(path: Path) -> list[tuple[str, str, str]]:
    read = pd.read_parquet(path) if path.suffix == ".parquet" else pd.read_csv(path)
    fat = ["" if pd.isna(percent) else f"{percent:.2f}" for percent in read["fat_percent"]]
    texts = [read[name].astype(object).fillna("").astype(str) for name in ("flags", "problems")]
    return list(zip(fat, *texts, strict=True))


def test_the_frame_is_read_as_meant(answer: pd.DataFrame) -> None:
    assert answer["problems"].tolist() == EXPECTED
    assert answer["fat_percent"].notna().tolist() == [not expected for expected in EXPECTED]
    assert answer["flags"][6] == "heart_signs; pressure_very_high"
    assert answer["flags"][8] == "pressure_raised"


def test_csv_and_parquet_say_what_the_frame_says(
    frame: pd.DataFrame, answer: pd.DataFrame, tmp_path: Path
) -> None:
    frame.to_csv(tmp_path / "in.csv", index=False)
    frame.to_parquet(tmp_path / "in.parquet")
    word_meanings = []
    for name in ("in.csv", "in.parquet"):
        out = tmp_path / f"out_{name}"
        foldspan.screen_table(str(tmp_path / name), str(out), words=WORDS)
        word_meanings.append(said_in(out))
    assert word_meanings[0] == word_meanings[1]
    fat = ["" if pd.isna(percent) else f"{percent:.2f}" for percent in answer["fat_percent"]]
    assert [answer_row[0] for answer_row in word_meanings[0]] == fat
    assert [answer_row[1] for answer_row in word_meanings[0]] == answer["flags"].tolist()
    for expected, (_, _, problems) in zip(EXPECTED, word_meanings[0], strict=True):
        code = expected.split()[0] if expected else ""
        assert (f"[{code}]" in problems) if code else not problems


def test_a_folder_of_parts_says_the_same_and_is_made_anew_for_other_words(
    frame: pd.DataFrame, tmp_path: Path
) -> None:
    parts, out = tmp_path / "parts", tmp_path / "out"
    parts.mkdir()
    frame.to_parquet(tmp_path / "in.parquet")
    frame.iloc[:4].to_parquet(parts / "a.parquet")
    frame.iloc[4:].to_parquet(parts / "b.parquet")
    foldspan.screen_table(
        str(tmp_path / "in.parquet"), str(tmp_path / "whole.parquet"), words=WORDS
    )
    foldspan.screen_table(str(parts), str(out), words=WORDS)
    pieces = [line for path in sorted(out.iterdir()) for line in said_in(path)]
    assert pieces == said_in(tmp_path / "whole.parquet")
    again = foldspan.screen_table(str(parts), str(out), words={}, resume=True)
    assert again.with_range == 0  # nobody's sex is known without the words


def test_a_plan_with_words_travels_to_a_worker() -> None:
    plan = Plan(layout_of(["sex", "age_years", "weight_kg"]), word_meanings=meanings(WORDS))
    assert pickle.loads(pickle.dumps(plan)).rules.meant("sex", "2") == "female"

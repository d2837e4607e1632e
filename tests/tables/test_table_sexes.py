"""Rows for which no adult equation of one sex speaks: judged by what needs none, and told why."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan

BODY: dict[str, Any] = {
    "age_years": 41.0, "weight_kg": 71.362, "height_cm": 168.274, "waist_midpoint_cm": 78.437,
}  # fmt: skip


def answer_of(**cells: Any) -> pd.Series:
    return foldspan.reconcile_table(pd.DataFrame([BODY | cells])).iloc[0]


def flags(line: pd.Series) -> list[str]:
    return line["flags"].split("; ") if line["flags"] else []


@pytest.mark.parametrize(
    ("word", "problem"),
    [("both", "E207 sex"), ("Both ", "E207 sex"), ("intersex", "E113 sex"), ("divers", "E113 sex")],
)
def test_which_equations_fit_may_be_left_open(word: str, problem: str) -> None:
    line = answer_of(sex=word)
    assert (line["problems"], np.isnan(line["fat_percent"])) == (problem, True)


@pytest.mark.parametrize(
    ("cells", "flag"),
    [
        ({"weight_kg": 132.0, "waist_midpoint_cm": 120.0}, "bmi_very_far_above"),
        ({"weight_kg": 43.0, "waist_midpoint_cm": 60.0}, "bmi_severely_low"),
        ({"age_years": 70.0, "grip_kg": 12.0}, "muscle_signs"),
        (
            {"weight_kg": 85.0, "waist_midpoint_cm": 108.0, "conditions": "diabetes"},
            "weight_with_signs",
        ),
    ],
)
def test_a_row_of_either_sex_has_the_flags_of_its_visit(cells: dict[str, Any], flag: str) -> None:
    """The visit knows both fats besides; whatever needs none is the same."""
    row = BODY | cells
    intake = {name: row[name] for name in ("grip_kg", "conditions") if name in row}
    tree = {
        "client": {"sex": "both", "age_years": row["age_years"]},
        "mass_height": {"weight_kg": row["weight_kg"], "height_cm": row["height_cm"]},
        "girths_cm": {"waist_midpoint": row["waist_midpoint_cm"]},
        "intake": {
            name: [line] if isinstance(line, str) else line for name, line in intake.items()
        },
    }
    visit = foldspan.reconcile(foldspan.Visit.from_dict(tree, accept_unusual=True))
    found = flags(answer_of(sex="both", **cells))
    assert flag in found
    assert set(found) <= {flag.code for flag in visit.flags}


@pytest.mark.parametrize(
    "cells",
    [
        # thinness grade 3 at 15 years lies near 14 to 15 kg/m² (Cole 2007): 11.8 is far below
        {"sex": "female", "age_years": 15.0, "weight_kg": 32.0, "height_cm": 165.0},
        {"sex": "", "age_years": 15.0, "weight_kg": 32.0, "height_cm": 165.0},
        {"sex": "female", "weight_kg": 38.0, "height_cm": 170.0, "conditions": "amputation"},
        {"sex": "female", "age_years": None, "weight_kg": 38.0, "height_cm": 170.0},
    ],
)
def test_who_gets_no_adult_range_and_weighs_dangerously_little_is_referred(
    cells: dict[str, Any],
) -> None:
    line = answer_of(**cells, waist_midpoint_cm=None)
    assert np.isnan(line["fat_percent"])
    assert line["worst_flag_level"].startswith("refer")


@pytest.mark.parametrize(
    ("stated", "flag", "problem"),
    [
        # 28.3: from 27.5 on in the backgrounds NICE names (NG246, 2025), below 30 for all others
        ("Indian", True, ""), ("British Pakistani", True, ""), ("South Asian", True, ""),
        ("Norwegian", False, "W126 family_background"), ("", False, ""),
        ("none", False, ""),
    ],
)  # fmt: skip
def test_a_background_in_any_words_is_used_or_said_not_to_be(
    stated: str, flag: bool, problem: str
) -> None:
    line = answer_of(
        sex="female", weight_kg=80.0, waist_midpoint_cm=80.1, conditions="diabetes",
        family_background=stated,
    )  # fmt: skip
    assert ("weight_with_signs" in flags(line)) is flag
    assert line["problems"] == problem


@pytest.mark.parametrize("cells", [{"pregnant": "yes"}, {"birth_months_ago": 2}])
def test_a_pregnancy_beside_the_equations_for_men_counts_and_is_told(cells: dict[str, Any]) -> None:
    line = answer_of(sex="male", **cells)
    assert np.isnan(line["fat_percent"])
    assert "W127" in line["problems"]


MAPPED = {"m": "female", "h": "male"}


@pytest.mark.parametrize("column", [["H", "M"], ["hombre", "m"], ["M.", "Mujer"], ["h", "M", "f"]])
def test_m_beside_spanish_words_is_asked_back(column: list[str]) -> None:
    """M for mujer would get the range of a man, in silence."""
    frame = pd.DataFrame([BODY | {"sex": word} for word in column])
    for said in ({}, {"h": "male"}):
        with pytest.raises(foldspan.FoldspanError) as caught:
            foldspan.reconcile_table(frame, words={"sex": said})
        (problem,) = caught.value.problems
        assert (problem.code, problem.where) == ("E412", "column sex")
        assert '[words.sex] of a map file what each means: m = "female"' in problem.remedy
    answer = foldspan.reconcile_table(frame, words={"sex": MAPPED | {"m.": "female"}})
    alone = answer_of(sex="female")["fat_percent"]
    women = [word.lower() in ("m", "m.", "mujer", "f") for word in column]
    assert list(answer["fat_percent"] == alone) == women
    assert np.isfinite(answer["fat_percent"]).all()


@pytest.mark.parametrize("column", [["M", "F"], ["hombre", "mujer"], ["m", "femenino"], ["H", "F"]])
def test_words_that_leave_no_doubt_are_not_asked_back(column: list[str]) -> None:
    frame = pd.DataFrame([BODY | {"sex": word} for word in column])
    assert len(foldspan.reconcile_table(frame)) == 2


@pytest.mark.parametrize("workers", [1, 2])
def test_a_table_with_m_for_mujer_is_refused_wherever_it_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, workers: int
) -> None:
    """In a part far down, worked on by another process; and nothing is written."""
    monkeypatch.setattr("foldspan.tables.csv.blocks.BLOCK", 2_000)
    table, out = tmp_path / "in.csv", tmp_path / "out.csv"
    rows = ["F,41,71,168"] * 900 + ["M,41,71,168", "H,41,71,168"]
    table.write_text("\n".join(["sexo,age_years,weight_kg,height_cm", *rows, ""]))
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.screen_table(str(table), str(out), workers=workers, names={"sexo": "sex"})
    assert [problem.code for problem in caught.value.problems] == ["E412"]
    assert not out.exists()
    said = {"sex": MAPPED}
    done = foldspan.screen_table(str(table), str(out), names={"sexo": "sex"}, words=said)
    assert done.with_range == 902

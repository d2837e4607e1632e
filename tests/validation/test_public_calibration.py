"""Calibration, the local correction and precision from Python: the same answers as the commands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan
from screen_desk import Run

REPEATS = str(Path(__file__).parents[2] / "examples" / "repeats.csv")


def people() -> pd.DataFrame:
    """Sixty invented men whose reference runs with their weight."""
    return pd.DataFrame(
        {
            "sex": "male",
            "age_years": 40,
            "weight_kg": np.linspace(65.0, 95.0, 60),
            "height_cm": 178.0,
            "reference_fat_percent": np.linspace(13.0, 33.0, 60),
            "reference_method": "density",
        }
    )


@pytest.fixture
def table(tmp_path: Path) -> str:
    path = tmp_path / "people.csv"
    people().to_csv(path, index=False)
    return str(path)


def test_a_path_and_a_frame_are_judged_as_the_command_does(run: Run, table: str) -> None:
    printed = json.loads(run("calibrate", table, "--json")[1])
    assert foldspan.calibrate(table).to_dict() == printed
    assert foldspan.calibrate(people()).to_dict() == printed


def test_the_page_keeps_to_80_columns_and_names_open_bands(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "people.csv"
    people().assign(age_years=70, weight_kg=people().weight_kg + 60.0).to_csv(path, index=False)
    page = run("calibrate", str(path))[1]
    assert max(map(len, page.splitlines())) <= 80
    assert "(continuous ranked probability score)" in " ".join(page.split())
    for band in ("60 years and over", "35 kg/m² and over"):
        assert any(line.startswith(f"{band} ") for line in page.splitlines())


def test_columns_under_other_names_are_told(tmp_path: Path) -> None:
    path = tmp_path / "theirs.csv"
    frame = people().drop(columns="reference_method")
    frame = frame.assign(weight_kg=frame.weight_kg * 1000.0, sex="homme")
    frame.rename(columns={"weight_kg": "masse"}).to_csv(path, index=False)
    found = foldspan.calibrate(
        path,
        names={"masse": "weight_kg"},
        units={"masse": "g"},
        words={"homme": "male"},
        reference_method="density",
    )
    assert found.overall.n == 60
    assert found.overall.bias == pytest.approx(foldspan.calibrate(people()).overall.bias, abs=1e-6)


def test_rows_of_a_file_that_are_given_up_are_named(table: str) -> None:
    with Path(table).open("a", encoding="utf-8") as out:
        out.write("male,40,80\n")
    assert [problem.code for problem in foldspan.calibrate(table).problems] == ["E410"]


def test_a_correction_is_learnt_saved_and_read(run: Run, table: str, tmp_path: Path) -> None:
    mine, other = tmp_path / "mine.toml", tmp_path / "other.toml"
    learnt = foldspan.learn_correction(table)
    foldspan.save_correction(mine, learnt)
    assert run("calibrate", table, "--fit", str(other))[0] == 0
    assert mine.read_text(encoding="utf-8") == other.read_text(encoding="utf-8")
    read = foldspan.read_correction(mine)
    assert read.people == learnt.correction.people == 60
    assert read.by_sex["male"].offset == pytest.approx(
        learnt.correction.by_sex["male"].offset, abs=5e-4
    )
    tree = learnt.to_dict()
    json.dumps({**tree, "made": str(tree["made"])}, allow_nan=False)
    assert tree["held_out"]["n"] == 60
    assert foldspan.calibrate(table, local=read).overall.bias != pytest.approx(
        foldspan.calibrate(table).overall.bias, abs=0.01
    )


def code_of(*given: Any, **more: Any) -> str:
    function, *rest = given
    with pytest.raises(foldspan.FoldspanError) as caught:
        function(*rest, **more)
    return caught.value.problems[0].code


def test_what_cannot_be_done_has_a_code(tmp_path: Path, table: str) -> None:
    frame = people()
    assert code_of(foldspan.calibrate, tmp_path / "none.csv") == "E301"
    assert code_of(foldspan.calibrate, frame.drop(columns="reference_fat_percent")) == "E401"
    assert code_of(foldspan.calibrate, frame, names={"a": "sex"}) == "E501"
    assert code_of(foldspan.calibrate, {"sex": ["male"]}) == "E404"
    assert code_of(foldspan.calibrate, frame[:5]) == "E405"
    assert code_of(foldspan.learn_correction, frame[:20]) == "E405"
    assert code_of(foldspan.read_correction, tmp_path / "none.toml") == "E301"
    learnt = foldspan.learn_correction(frame)
    assert code_of(foldspan.save_correction, table, learnt) == "E308"
    assert code_of(foldspan.precision, tmp_path / "none.csv") == "E301"
    assert code_of(foldspan.precision, pd.read_csv(REPEATS), units={"a": "mm"}) == "E501"
    assert code_of(foldspan.precision, [], names={"a": "code"}) == "E501"
    assert code_of(foldspan.precision, 4) == "E404"


def test_precision_of_a_file_and_a_frame_is_that_of_the_command(run: Run) -> None:
    printed = json.loads(run("precision", REPEATS, "--json")[1])
    assert foldspan.precision(REPEATS).to_dict() == printed
    assert foldspan.precision(pd.read_csv(REPEATS)).to_dict() == printed


def test_what_of_a_table_of_repeats_does_not_count_is_named(tmp_path: Path) -> None:
    path = tmp_path / "repeats.csv"
    lines = ["code,tester,triceps_mm_1,triceps_mm_2", "K-1,T-1,10.1,10.4", "K-2,T-1,11.2,thin"]
    path.write_text("\n".join(lines), encoding="utf-8")
    assert [problem.code for problem in foldspan.precision(path).problems] == ["E101"]

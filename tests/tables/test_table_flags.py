"""Flag columns of a table: the most urgent level, and fat on the scale that is asked for."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan

BODY: dict[str, Any] = {
    "sex": "female", "age_years": 41.0, "weight_kg": 71.362, "height_cm": 168.274,
    "waist_midpoint_cm": 78.437,
}  # fmt: skip


def test_the_level_of_a_row_is_that_of_its_most_urgent_flag() -> None:
    """A strong build is for information only; chest pain is not."""
    facts = {"symptoms": "chest_pain", "weight_kg": 92.0, "athlete": "yes"}
    line = foldspan.reconcile_table(pd.DataFrame([BODY | facts])).iloc[0]
    codes = line["flags"].split("; ")
    assert len(codes) > 1
    assert codes[0] == "heart_signs"
    assert line["worst_flag_level"] == "refer_urgently"


@pytest.mark.parametrize("sex", ["female", ""])
def test_a_trained_body_in_a_table_is_told_as_one(sex: str) -> None:
    for athlete in ("yes", "no"):
        row = BODY | {"sex": sex, "weight_kg": 92.0, "athlete": athlete}
        line = foldspan.reconcile_table(pd.DataFrame([row])).iloc[0]
        assert ("strong_build" in line["flags"]) is (athlete == "yes")
        assert np.isnan(line["fat_percent"]) == (sex == "")


@pytest.mark.parametrize("sex", ["female", ""])
def test_blood_pressure_in_a_pregnancy_cannot_wait(sex: str) -> None:
    facts = {"sex": sex, "blood_pressure_mmhg": "152/96"}
    for pregnant, code in (("yes", "pregnancy_signs"), ("no", "pressure_raised")):
        line = foldspan.reconcile_table(pd.DataFrame([BODY | facts | {"pregnant": pregnant}])).iloc[
            0
        ]
        assert code in line["flags"].split("; ")

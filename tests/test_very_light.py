"""Very light people: a child's weight is judged as it was told, an adult's is never passed over."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import foldspan


def codes(line: pd.Series) -> list[str]:
    return line["problems"].split("; ") if line["problems"] else []


def flags(line: pd.Series) -> list[str]:
    return line["flags"].split("; ") if line["flags"] else []


def light(age: float | None, weight: float | str, height: float, sex: str = "female") -> pd.Series:
    row = {"sex": sex, "age_years": age, "weight_kg": weight, "height_cm": height}
    return foldspan.reconcile_table(pd.DataFrame([row | {"triceps_mm": 12.0}])).iloc[0]


@pytest.mark.parametrize("sex", ["female", "male", ""])
@pytest.mark.parametrize(("age", "weight", "height"), [(10, 24, 140), (6, 14, 117), (8, 8.5, 115)])
def test_a_thin_child_is_flagged_from_the_weight_told(
    sex: str, age: float, weight: float, height: float
) -> None:
    """Body mass index below -3 standard deviations of the WHO growth reference (2007)."""
    line = light(age, weight, height, sex)
    assert "thin_for_age_severely" in flags(line)
    assert not [one for one in codes(line) if "weight" in one]
    tree = {
        "client": {"sex": sex or "both", "age_years": age},
        "mass_height": {"weight_kg": weight, "height_cm": height},
    }
    found = foldspan.reconcile(foldspan.Visit.from_dict(tree)).flags
    assert "thin_for_age_severely" in [one.code for one in found]


def test_a_usual_child_is_not_flagged_and_an_impossible_weight_is_not_used() -> None:
    usual = light(6, 20.5, 116)
    assert (flags(usual), codes(usual)) == ([], ["E201", "W103 height_cm"])
    assert "E102 weight_kg" in codes(light(6, 7.5, 116))


def test_without_an_age_a_light_weight_is_judged_as_told() -> None:
    line = light(None, 24, 140)
    assert "bmi_severely_low" in flags(line)
    assert codes(line) == ["E112 age_years", "W103 weight_kg", "W123 weight_kg, height_cm"]


@pytest.mark.parametrize(
    ("weight", "height", "found"),
    [(24, 165, True), (26, 172, True), ("24 kg", 165, True), (24, 118, False), (11, 170, False)],
)
def test_an_adult_who_weighs_too_little_to_be_used_cannot_wait(
    weight: float | str, height: float, found: bool
) -> None:
    line = light(40, weight, height)
    assert ("E127 weight_kg, height_cm" in codes(line)) is found


def test_the_letter_and_the_summary_tell_of_very_light_people(tmp_path: Path) -> None:
    table = tmp_path / "in.csv"
    rows = ["C-1,female,10,24,140", "A-1,female,40,24,165", "A-2,female,40,64,165"]
    table.write_text("\n".join(["code,sex,age_years,weight_kg,height_cm", *rows, ""]))
    done = foldspan.screen_table(
        str(table), str(tmp_path / "out.csv"), letters=str(tmp_path / "letters")
    )
    assert [one.name for one in (tmp_path / "letters").iterdir()] == ["row000001_C-1.pdf"]
    assert [one.code for one in done.first_referred] == ["C-1"]
    assert done.unread_rows == (2,)
    assert done.unread[1]["E127 weight_kg, height_cm"] == 1
    assert "if weight and height are right, this cannot wait" in (tmp_path / "out.csv").read_text()

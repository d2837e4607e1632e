"""Very light people: a child's weight is judged as it was told, an adult's is never passed over."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pypdf
import pytest

import foldspan
from foldspan.cli.printed.screen import page


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
    assert not [code for code in codes(line) if "weight" in code]
    tree = {
        "client": {"sex": sex or "both", "age_years": age},
        "mass_height": {"weight_kg": weight, "height_cm": height},
    }
    found = foldspan.reconcile(foldspan.Visit.from_dict(tree)).flags
    assert "thin_for_age_severely" in [flag.code for flag in found]


def test_a_usual_child_is_not_flagged_and_an_impossible_weight_is_not_used() -> None:
    usual = light(6, 20.5, 116)
    assert (flags(usual), codes(usual)) == ([], ["E201"])
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
    for sex in ("female", "male", ""):
        line = light(40, weight, height, sex)
        assert ("E127 weight_kg, height_cm" in codes(line)) is found
        # nothing of such a body is certain: no fold makes it a range, as in a visit that is refused
        assert np.isnan(line["fat_percent"]) == (found or not sex)
        assert ("bmi_severely_low" in flags(line)) is found
    tree = {
        "client": {"sex": "female", "age_years": 40},
        "mass_height": {"weight_kg": weight, "height_cm": height},
        "skinfolds_mm": {"triceps": 12.0},
    }
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.Visit.from_dict(tree)
    assert ("E127" in [problem.code for problem in caught.value.problems]) is found


@pytest.mark.parametrize("answers", [{"conditions": "amputation"}, {"pregnant": "yes"}])
def test_an_adult_without_a_range_who_weighs_too_little_to_be_used_is_flagged(
    answers: dict[str, str],
) -> None:
    row = {"sex": "female", "age_years": 40, "weight_kg": 24, "height_cm": 165} | answers
    line = foldspan.reconcile_table(pd.DataFrame([row])).iloc[0]
    assert line["worst_flag_level"] == "refer_urgently"


@pytest.mark.parametrize(
    ("age", "height", "problems"),
    [
        # the heights of small children are no slip, as in a visit file; of nobody yet born, one
        (6, 88, ["E201"]), (4, 62, ["E201"]), (6, 55, ["E201", "E102 height_cm"]),
        (40, 88, ["E102 height_cm", "E203"]), (None, 88, ["W103 height_cm", "E112 age_years"]),
    ],
)  # fmt: skip
def test_a_small_child_is_listed_without_a_range_and_judged_by_its_height(
    age: float | None, height: float, problems: list[str]
) -> None:
    row = {"sex": "female", "age_years": age, "weight_kg": 14.0 * (height / 100) ** 2}
    row |= {"weight_kg": max(8.5, row["weight_kg"]), "height_cm": height}  # type: ignore[type-var]
    line = foldspan.reconcile_table(pd.DataFrame([row])).iloc[0]
    assert [code for code in codes(line) if "weight" not in code] == sorted(
        problems, key=codes(line).index
    )


def test_a_stunted_thin_child_is_flagged() -> None:
    """Body mass index of 11.6 at 8 years: below -3 standard deviations (WHO 2007)."""
    assert "thin_for_age_severely" in flags(light(8, 9, 88))


def test_the_letter_and_the_summary_tell_of_very_light_people(tmp_path: Path) -> None:
    table = tmp_path / "in.csv"
    rows = ["C-1,female,10,24,140", "A-1,female,40,24,165", "A-2,female,40,64,165"]
    table.write_text("\n".join(["code,sex,age_years,weight_kg,height_cm", *rows, ""]))
    done = foldspan.screen_table(
        str(table), str(tmp_path / "out.csv"), letters=str(tmp_path / "letters")
    )
    letters = sorted((tmp_path / "letters").iterdir())
    assert [letter.name for letter in letters] == ["row000001_C-1.pdf", "row000002_A-1.pdf"]
    text = " ".join(pypdf.PdfReader(letters[1]).pages[0].extract_text().split())
    assert "BMI 8.8 if weight and height are correct" in text
    assert "gives no body-fat range" in text
    assert [referral.code for referral in done.first_referred] == ["C-1", "A-1"]
    assert "Weight or height may be wrong: check both now." in " ".join(
        page(done, "out.csv", "").split()
    )
    assert done.without_range["E127"] == 1
    assert done.unread_rows == (2,)
    assert done.unread[1]["E127 weight_kg, height_cm"] == 1
    assert "urgent if weight and height are correct" in (tmp_path / "out.csv").read_text()


def test_weights_of_a_whole_column_in_stone_have_no_letters(tmp_path: Path) -> None:
    """One of 17 stone at 160 cm would be as light as nobody is: the unit comes first."""
    table, letters = tmp_path / "in.csv", tmp_path / "letters"
    rows = [f"A-{n},female,40,{weight},160" for n, weight in enumerate((9, 10, 11, 12, 17, 18, 19))]
    for more in ([], ["A-8,female,40,,160,"] * 6):
        table.write_text("\n".join(["code,sex,age_years,weight_kg,height_cm", *rows, *more, ""]))
        done = foldspan.screen_table(
            str(table), str(tmp_path / "out.csv"), letters=str(letters), replace=True
        )
        assert done.referred == 3
        assert [*letters.iterdir()] == []
        assert "held back" in done.held_back

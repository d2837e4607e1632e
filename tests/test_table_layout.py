"""What columns of a table mean: names, units, repeats, what the caller says, and what is refused."""

from __future__ import annotations

from itertools import product

import pandas as pd
import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.table_layout import Wanted, layout_of

FACTS = ["sex", "age_years"]
BODY = {"sex": "female", "age_years": 41.0, "weight_kg": 71.3, "height_cm": 168.2}


def meaning(*names: str, wanted: Wanted | None = None) -> dict[str, list[tuple[str, str]]]:
    layout = layout_of([*FACTS, *names], wanted)
    return {
        name: [(one.given, one.unit) for one in some]
        for name, some in layout.columns.items()
        if name not in FACTS
    }


def codes_of(*names: str, wanted: Wanted | None = None) -> list[str]:
    with pytest.raises(FoldspanError) as caught:
        layout_of([*FACTS, *names], wanted)
    return [problem.code for problem in caught.value.problems]


@pytest.mark.parametrize("name", MEASURED)
def test_every_quantity_is_known_by_its_name(name: str) -> None:
    assert meaning(name) == {name: [(name, BY_NAME[name].unit)]}


@pytest.mark.parametrize(
    ("given", "name", "unit"),
    [
        ("weight_lb", "weight_kg", "lb"),
        ("Weight (lb)", "weight_kg", "lb"),
        ("WEIGHT [kg]", "weight_kg", "kg"),
        ("weight, pounds", "weight_kg", "lb"),
        ("Height in", "height_cm", "in"),
        ("height_m", "height_cm", "m"),
        ("Waist midpoint (cm)", "waist_midpoint_cm", "cm"),
        ("Triceps (cm)", "triceps_mm", "cm"),
        ("suprailiac-anterior mm", "suprailiac_anterior_mm", "mm"),
        ("thigh mid girth, inches", "thigh_mid_girth_cm", "in"),
        ("earlier_weight_lb", "earlier_weight_kg", "lb"),
        ("Grip (lb)", "grip_kg", "lb"),
    ],
)
def test_names_may_be_written_as_people_do(given: str, name: str, unit: str) -> None:
    assert meaning("hip_cm", given)[name] == [(given, unit)]


@pytest.mark.parametrize(
    "names",
    [
        ("triceps_mm_1", "triceps_mm_2", "triceps_mm_3"),
        ("triceps_1_mm", "triceps_2_mm", "triceps_3_mm"),
        ("Triceps 1 (mm)", "Triceps 2 (mm)", "Triceps 3 (mm)"),
    ],
)
def test_repeats_stand_in_their_order(names: tuple[str, ...]) -> None:
    first, second, third = names
    assert [one for one, _ in meaning(third, first, second)["triceps_mm"]] == list(names)


def test_the_caller_may_name_columns_and_units() -> None:
    wanted = Wanted({"Gewicht": "weight_kg", "Bauch": "waist_midpoint_in"}, {"Gewicht": "lb"})
    assert meaning("Gewicht", "Bauch", wanted=wanted) == {
        "weight_kg": [("Gewicht", "lb")],
        "waist_midpoint_cm": [("Bauch", "in")],
    }
    assert meaning("weight", wanted=Wanted(units={"weight": "st"})) == {
        "weight_kg": [("weight", "st")]
    }


@pytest.mark.parametrize(
    ("names", "wanted", "codes"),
    [
        (["weight_kg", "weight_lb"], None, ["E403"]),
        (["triceps_mm", "triceps_mm_1"], None, ["E403"]),
        (["triceps_mm_2", "triceps_cm_2"], None, ["E403"]),
        (["hip_cm", "weight"], None, ["E409"]),
        (["hip_cm", "triceps"], None, ["E409"]),
        (["hip_cm", "Triceps_1"], None, ["E409"]),
        (["hip_cm", "suprailiac_mm_1"], None, ["E114"]),
        (["hip_cm", "Suprailiac"], None, ["E114"]),
        (["hip_cm", "is_pregnant"], None, ["E402"]),
        (["hip_cm", "age"], None, ["E402"]),
        (["weight_cm"], None, ["E105"]),
        (["waist_midpoint_kg"], None, ["E105"]),
        (["hip_cm"], Wanted({"waist": "waist_midpoint_cm"}), ["E501"]),
        (["hip_cm", "w"], Wanted({"w": "waist_middle_cm"}), ["E501"]),
        (["hip_cm"], Wanted(units={"hip_cm": "furlong"}), ["E104"]),
        (["note"], None, ["E120"]),
    ],
)
def test_what_cannot_be_meant_is_refused(
    names: list[str], wanted: Wanted | None, codes: list[str]
) -> None:
    assert codes_of(*names, wanted=wanted) == codes


def test_a_second_column_of_a_measurement_that_is_there_may_tell_no_unit() -> None:
    layout = layout_of([*FACTS, "weight_kg", "weight"])
    assert layout.columns["weight_kg"][0].given == "weight_kg"
    assert layout.unused == ("weight",)


def test_a_message_names_the_column_and_what_to_write() -> None:
    with pytest.raises(FoldspanError) as caught:
        layout_of([*FACTS, "weight"])
    (first, *_) = caught.value.problems
    assert first.sentence().startswith("column weight: a measurement without its unit.")
    assert "weight_kg" in first.remedy
    assert "--unit weight=lb" in first.remedy


@pytest.mark.parametrize(
    "readings", [(21.0, 21.5), (18.0, 21.0, 18.5), (30.0, 10.0, 11.0), (12.0, 12.0, 12.0)]
)
@pytest.mark.parametrize("gap", [0, 1])
def test_repeats_count_as_the_readings_of_a_visit(readings: tuple[float, ...], gap: int) -> None:
    """The mean of two and the median of three, each with its error: as ``accept`` has it."""
    row = BODY | {f"triceps_mm_{place}": one for place, one in enumerate(readings, start=1)}
    if gap and len(readings) == 2:  # the second reading may stand in the third column
        row["triceps_mm_3"] = row.pop("triceps_mm_2")
    answer = foldspan.reconcile_table(pd.DataFrame([row])).iloc[0]
    visit = foldspan.Visit.from_dict(
        {
            "client": {"sex": "female", "age_years": 41.0},
            "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
            "skinfolds_mm": {"triceps": list(readings)},
        },
        accept_unusual=True,
    )
    fat = foldspan.reconcile(visit).fat_percent
    assert (answer.fat_percent, answer.fat_percent_se) == (fat.estimate, fat.se)


def test_a_reading_of_no_use_leaves_the_others() -> None:
    rows = [
        BODY | {"triceps_mm_1": 21.0, "triceps_mm_2": 300.0, "triceps_mm_3": 22.0},
        BODY | {"triceps_mm_1": 21.0, "triceps_mm_2": None, "triceps_mm_3": 22.0},
        BODY | {"triceps_mm_1": 12.0, "triceps_mm_2": 40.0, "triceps_mm_3": None},
    ]
    answer = foldspan.reconcile_table(pd.DataFrame(rows))
    assert answer.fat_percent[0] == answer.fat_percent[1]
    assert answer.problems.tolist() == ["E102 triceps_mm", "", "W124 triceps_mm"]


@pytest.mark.parametrize(("unit", "factor"), [("lb", 0.45359237), ("st", 6.35029318), ("g", 0.001)])
def test_units_of_a_column_are_exact(unit: str, factor: float) -> None:
    """International pound (1959): 0.45359237 kg; a stone is 14 of them."""
    given = pd.DataFrame([BODY]).drop(columns="weight_kg")
    given[f"weight_{unit}"] = 71.3 / factor
    plain = foldspan.reconcile_table(pd.DataFrame([BODY]))
    assert foldspan.reconcile_table(given).fat_percent[0] == pytest.approx(
        plain.fat_percent[0], rel=1e-9
    )


@pytest.mark.parametrize(("base", "unit"), list(product(["neck", "hip"], ["kg", "lb"])))
def test_a_girth_in_a_unit_of_weight_is_refused(base: str, unit: str) -> None:
    assert codes_of("weight_kg", f"{base}_{unit}") == ["E105"]

"""What columns of a table mean: names, units, repeats, what the caller says, and what is refused."""

from __future__ import annotations

from itertools import product

import pandas as pd
import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.tables.columns import Wanted, layout_of

FACTS = ["sex", "age_years"]
BODY = {"sex": "female", "age_years": 41.0, "weight_kg": 71.3, "height_cm": 168.2}


def meaning(*names: str, wanted: Wanted | None = None) -> dict[str, list[tuple[str, str]]]:
    layout = layout_of([*FACTS, *names], wanted)
    return {
        name: [(column.given, column.unit) for column in some]
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
    assert [name for name, _ in meaning(third, first, second)["triceps_mm"]] == list(names)


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


def test_a_first_row_joined_to_the_names_is_not_told() -> None:
    """Where the end of the first line is damaged, what follows it are values of somebody."""
    with pytest.raises(FoldspanError) as caught:
        layout_of([*FACTS, "weight_kg", "waist_midpoint_cm\0K-7", "female", "41", "71.3"])
    (problem,) = caught.value.problems
    assert problem.code == "E404"
    assert not any(value in problem.sentence() for value in ("K-7", "female", "41", "71.3"))


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
    row = BODY | {f"triceps_mm_{place}": reading for place, reading in enumerate(readings, start=1)}
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


# --- other names of what flags and refusals rest on ------------------------------------------------


def refusal(name: str, *more: str) -> tuple[str, str, str]:
    """Code, column and remedy for a table with a column of another name."""
    with pytest.raises(FoldspanError) as caught:
        layout_of([*FACTS, "weight_kg", "hip_cm", *more, name])
    (problem,) = caught.value.problems
    return problem.code, problem.where, problem.remedy


@pytest.mark.parametrize(
    ("name", "ours"),
    [
        ("blood pressure", "blood_pressure_mmhg"), ("BP", "blood_pressure_mmhg"),
        ("Blutdruck", "blood_pressure_mmhg"), ("Systolic", "blood_pressure_upper_mmhg"),
        ("sys", "blood_pressure_upper_mmhg"), ("SBP (mmHg)", "blood_pressure_upper_mmhg"),
        ("dia", "blood_pressure_lower_mmhg"), ("Diastolic BP", "blood_pressure_lower_mmhg"),
        ("diabetic", "diabetes"), ("hypertension", "high_blood_pressure"),
        ("Brustschmerzen", "chest_pain"), ("schwanger", "pregnant"), ("gravid", "pregnant"),
        ("expecting", "pregnant"), ("Schwangerschaft", "pregnant"), ("enceinte ?", "pregnant"),
        ("trimester", "weeks_pregnant"), ("SSW", "weeks_pregnant"),
        ("gestation weeks", "weeks_pregnant"), ("postpartum months", "birth_months_ago"),
        ("Diagnosen", "conditions"), ("Medical history", "conditions"), ("Beschwerden", "symptoms"),
        ("Medications", "medicines"), ("dob", "birth_date"), ("Geburtsdatum", "birth_date"),
        ("previous weight (lb)", "earlier_weight_lb"), ("Handkraft", "grip_kg"),
        ("Stillzeit", "birth_months_ago"), ("Height_cm_measured today", "height_cm"),
        ("eating disorder", "eating_concern"),
    ],
)  # fmt: skip
def test_what_flags_rest_on_does_not_pass_by_another_name(name: str, ours: str) -> None:
    code, where, remedy = refusal(name)
    assert (code, where) == ("E402", f"column {name}")
    assert f"{name}={ours}" in remedy
    wanted = Wanted({name: ours})
    assert meaning("weight_kg", "hip_cm", name, wanted=wanted)
    passed = layout_of([*FACTS, "weight_kg", name], Wanted({name: "not_used"}))
    assert name in (*passed.unused, *passed.passed)


@pytest.mark.parametrize(
    "name", ["waist", "Tour de taille (cm)", "Waist circumference", "WC", "Bauchumfang"]
)
def test_a_waist_says_at_which_level(name: str) -> None:
    """No level is taken for granted: another level is another number."""
    code, where, remedy = refusal(name)
    assert (code, where) == ("E114", f"column {name}")
    for level in ("narrowest", "midpoint", "iliac"):
        assert f"waist_{level}_cm (" in remedy
    assert "abdomen_navel_cm (at the navel)" in remedy
    assert meaning("weight_kg", "hip_cm", name, wanted=Wanted({name: "waist_iliac_cm"}))
    passed = layout_of([*FACTS, "weight_kg", name], Wanted({name: "not_used"}))
    assert name in (*passed.unused, *passed.passed)


def test_the_columns_that_are_missed_are_named() -> None:
    with pytest.raises(FoldspanError) as caught:
        layout_of(["Geschlecht", "Alter", "Gewicht (kg)", "Größe (cm)"])
    sentences = [
        (problem.code, problem.remedy.split(",")[0].rstrip("."))
        for problem in caught.value.problems
    ]
    assert sentences == [
        ("E401", "Use --map Geschlecht=sex"),
        ("E401", "Use --map Alter=age_years"),
        ("E402", 'Use --map "Gewicht (kg)=weight_kg"'),
        ("E402", 'Use --map "Größe (cm)=height_cm"'),
    ]


@pytest.mark.parametrize("name", ["Geschlecht", "Alter"])
def test_a_second_sex_or_age_is_refused_and_a_gender_is_another_thing(name: str) -> None:
    assert refusal(name)[0] == "E403"
    assert layout_of([*FACTS, "weight_kg", name], Wanted({name: "not_used"})).columns
    assert layout_of([*FACTS, "weight_kg", "gender"]).unused == ("gender",)


@pytest.mark.parametrize(
    "names", [("birth_date", "date"), ("Birth date", "Date"), ("age_months",), ("Age, years",)]
)
def test_an_age_may_be_told_in_other_ways(names: tuple[str, ...]) -> None:
    assert layout_of(["sex", "weight_kg", "height_cm", *names]).columns


@pytest.mark.parametrize(
    "name", ["notes", "visit", "location", "lab", "tension headache note", "K", "city"]
)
def test_what_is_something_else_passes(name: str) -> None:
    assert layout_of([*FACTS, "weight_kg", name]).passed == (name,)


@pytest.mark.parametrize(
    ("names", "offered", "never"),
    [
        (["hip_cm", "weight"], ["--unit weight=kg", "--unit weight=lb"], []),
        (["hip_cm", "triceps"], ["--unit triceps=mm"], ["=in"]),
        (["weight_kg", "hip"], ["--unit hip=cm", "--unit hip=in"], ["=lb"]),
    ],
)
def test_the_units_offered_are_those_that_can_be_meant(
    names: list[str], offered: list[str], never: list[str]
) -> None:
    with pytest.raises(FoldspanError) as caught:
        layout_of([*FACTS, *names])
    remedy = caught.value.problems[0].remedy
    assert all(unit in remedy for unit in offered)
    assert not any(unit in remedy for unit in never)


@pytest.mark.parametrize(
    ("header", "unit"),
    [
        ("Weight in kg", "kg"),
        ("weight in pounds", "lb"),
        ("Height in cm", "cm"),
        ("height in inches", "in"),
    ],
)
def test_a_header_that_tells_its_unit_is_asked_for_none(header: str, unit: str) -> None:
    layout = layout_of([*FACTS, "hip_cm", header])
    assert [
        column.unit for some in layout.columns.values() for column in some if column.given == header
    ] == [unit]

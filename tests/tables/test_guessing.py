"""What columns by other names are likely to hold: right, or left open; never used unasked."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pytest

from foldspan.quantities import CENTIMETRES_PER, KILOGRAMS_PER
from foldspan.tables.columns import meaning_of
from foldspan.tables.guessing.propose import Proposal, propose
from foldspan.text.tables.guessing import REASONS, guess_lines, open_lines
from screen_desk import Run

PEOPLE = np.random.default_rng(20261129)


def people(count: int, rng: np.random.Generator = PEOPLE) -> dict[str, Any]:
    """Invented adults in the units of the visit file."""
    height = rng.normal(rng.choice([163.0, 177.0], count), 7.0)
    index = np.clip(rng.lognormal(np.log(25.5), 0.17, count), 16.0, 48.0)
    weight = index * (height / 100.0) ** 2
    return {
        "weight_kg": weight, "height_cm": height, "waist_midpoint_cm": 35.0 + 2.1 * index,
        "hip_cm": 55.0 + 1.8 * index, "neck_cm": 22.0 + 0.55 * index,
        "triceps_mm": np.clip(rng.normal(17.0, 6.0, count), 3.5, 40.0),
        "subscapular_mm": np.clip(rng.normal(18.0, 6.0, count), 5.0, 45.0),
    }  # fmt: skip


def proposed(columns: dict[str, Any]) -> dict[str, Proposal]:
    arrays = [pa.array(column) for column in columns.values()]
    return {proposal.given: proposal for proposal in propose(list(columns), arrays).proposals}


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Gender", "sex"), ("Geschlecht", "sex"), ("Sexe", "sex"), ("Sexo", "sex"),
        ("DOB", "birth_date"), ("Geburtsdatum", "birth_date"), ("Date de naissance", "birth_date"),
        ("Age", "age_years"), ("Alter", "age_years"), ("Edad", "age_years"),
        ("Employee ID", "code"), ("Mitarbeiter-Nr", "code"), ("Staff no", "code"),
        ("Date measured", "date"), ("Messdatum", "date"), ("Measured by", "tester"),
        ("BP", "blood_pressure_mmhg"), ("Systolic", "blood_pressure_upper_mmhg"),
        ("Pregnant?", "pregnant"), ("Hypertension (y/n)", "high_blood_pressure"),
    ],
)  # fmt: skip
def test_words_by_the_names_of_forms(name: str, meant: str) -> None:
    found = proposed({name: ["", ""]})[name]
    assert (found.meant, found.reason) == (meant, "form")


@pytest.mark.parametrize(
    ("name", "quantity"),
    [
        ("Weight", "weight_kg"), ("Body weight", "weight_kg"), ("Gewicht", "weight_kg"),
        ("Poids", "weight_kg"), ("Peso", "weight_kg"), ("Wt", "weight_kg"),
        ("Height", "height_cm"), ("Größe", "height_cm"), ("Taille", "height_cm"),
        ("Estatura", "height_cm"), ("Hips", "hip_cm"), ("Hüftumfang", "hip_cm"),
        ("Tour de hanches", "hip_cm"), ("Neck", "neck_cm"), ("Hals", "neck_cm"),
        ("Triceps", "triceps_mm"), ("Tricep fold", "triceps_mm"), ("Hautfalte Trizeps", "triceps_mm"),
        ("Pli tricipital", "triceps_mm"), ("Subscap", "subscapular_mm"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("count", [12, 400])
def test_the_values_tell_the_unit_that_a_name_does_not(
    name: str, quantity: str, count: int
) -> None:
    values = people(count)
    height = {} if quantity == "height_cm" else {"Height (cm)": values["height_cm"]}
    for unit in ("cm", "in", "m") if quantity == "height_cm" else (quantity.rpartition("_")[2],):
        factor = CENTIMETRES_PER.get(unit, 1.0) if quantity == "height_cm" else 1.0
        found = proposed({name: values[quantity] / factor, **height})[name]
        assert (found.meant, found.unit, found.reason) == (quantity, unit, "values")


@pytest.mark.parametrize("name", ["Wt (lb)", "Weight, lbs", "Gewicht [lb]", "weight in pounds"])
def test_a_unit_in_the_name_is_taken_by_its_word(name: str) -> None:
    values = people(50)["weight_kg"] / KILOGRAMS_PER["lb"]
    found = proposed({name: values})[name]
    ours = meaning_of(found.meant)
    assert ours is not None
    assert (ours[0], ours[1], found.unit) == ("weight_kg", "lb", "")


def test_a_cell_with_its_own_unit_tells_nothing_about_the_others() -> None:
    metres = [f"{value / 100:.2f}" for value in people(20)["height_cm"]]
    found = proposed({"Height": [*metres, "174 cm", "5 ft 6 in", "tall", ""]})["Height"]
    assert (found.meant, found.unit) == ("height_cm", "m")


def test_a_unit_in_the_name_that_the_values_deny_is_left_open() -> None:
    found = proposed({"Taille (cm)": people(50)["height_cm"] / 100.0})["Taille (cm)"]
    assert (found.meant, found.reason, found.is_open) == ("", "misfit", True)


@pytest.mark.parametrize("name", ["waist_cm", "Bauchumfang", "Tour de taille (cm)", "Cintura"])
def test_a_waist_says_no_level_and_none_is_guessed(name: str) -> None:
    found = proposed({name: people(50)["waist_midpoint_cm"]})[name]
    assert (found.meant, found.reason, found.is_open) == ("", "level", True)


def test_two_columns_that_could_be_one_thing_are_left_open_unless_one_has_our_name() -> None:
    values = people(50)
    both = proposed({"Gewicht (kg)": values["weight_kg"], "Poids (kg)": values["weight_kg"]})
    assert [proposal.reason for proposal in both.values()] == ["twice", "twice"]
    named = proposed({"weight_kg": values["weight_kg"], "Poids (kg)": values["weight_kg"]})
    assert [proposal.reason for proposal in named.values()] == ["known", "twice"]


@pytest.mark.parametrize(
    "name", ["Abteilung", "Department", "Notes", "Name", "Shoe size", "Desk", "2025"]
)
def test_what_is_something_else_is_left_alone(name: str) -> None:
    found = proposed({name: ["x", "y"]})[name]
    assert (found.meant, found.is_open) == ("", False)


def test_random_tables_are_read_right_or_left_open() -> None:
    """400 tables of 5 to 300 invented adults, each column in some unit: none is ever wrong."""
    rng = np.random.default_rng(7)
    units = {
        "weight_kg": ("Weight", ("kg", "lb", "st")), "height_cm": ("Height", ("cm", "m", "in", "ft")),
        "hip_cm": ("Hips", ("cm", "in")), "neck_cm": ("Neck", ("cm", "in")),
        "triceps_mm": ("Triceps", ("mm", "cm")),
    }  # fmt: skip
    decided = 0
    for _ in range(400):
        values = people(int(rng.integers(5, 300)), rng)
        given, right = {}, {}
        for quantity, (name, some) in units.items():
            unit = str(rng.choice(some))
            factors = KILOGRAMS_PER if quantity == "weight_kg" else CENTIMETRES_PER
            own = quantity.rpartition("_")[2]
            given[name] = values[quantity] * factors[own] / factors[unit]
            right[name] = (quantity, unit)
        for name, found in proposed(given).items():
            if found.meant:
                decided += 1
                assert (found.meant, found.unit) == right[name]
    assert decided > 0.85 * 400 * len(units)


@pytest.fixture
def german(tmp_path: Path) -> Path:
    """A table with the names of a form, semicolons and decimal commas."""
    values = people(40, np.random.default_rng(3))
    place = tmp_path / "tag.csv"
    with place.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, delimiter=";")
        out.writerow(["Mitarbeiter-Nr", "Geschlecht", "Alter", "Gewicht", "Größe", "Abteilung"])
        for row in range(40):
            numbers = [
                f"{values[name][row]:.1f}".replace(".", ",") for name in ("weight_kg", "height_cm")
            ]
            out.writerow([f"{row:03}", "w" if row % 2 else "m", 30 + row, *numbers, "Lager"])
    return place


def test_a_guess_is_shown_used_and_kept(run: Run, german: Path) -> None:
    out = german.parent / "out.csv"
    code, _, err = run("screen", str(german), "-o", str(out))
    assert code == 2, "nothing is used unasked"
    code, shown, err = run("screen", str(german), "-o", str(out), "--guess", "--json")
    assert code == 0, err
    said = (
        "- Gewicht: weight_kg, recognised from the column name; kg is the only unit that fits the"
    )
    assert said in " ".join(err.split())
    kept = german.parent / "out.map.toml"
    assert kept.stat().st_mode & 0o777 == 0o600
    tree = tomllib.loads(kept.read_text("utf-8"))
    assert tree["columns"]["Größe"] == "height_cm"
    assert tree["units"] == {"Gewicht": "kg", "Größe": "cm"}
    again = german.parent / "again.csv"
    code, same, err = run(
        "screen", str(german), "-o", str(again), "--map-file", str(kept), "--json"
    )
    assert (code, same) == (0, shown)
    assert again.read_bytes() == out.read_bytes()


def test_what_is_said_comes_before_what_is_guessed(run: Run, german: Path) -> None:
    out = german.parent / "out.csv"
    words = ("--guess", "--map", "Alter=not_used", "--map", "Abteilung=tester")
    code, _, err = run("screen", str(german), "-o", str(out), *words)
    assert code == 2, "an age is needed"
    assert "column age_years" in err
    assert not (german.parent / "out.map.toml").exists(), "kept only once it was used"


def test_every_reason_has_words_and_every_open_column_a_line() -> None:
    values = people(60)
    guess = propose(
        ["Gewicht", "Bauchumfang", "suprailiac", "Height", "Größe", "sex", "Alter", "Desk"],
        [pa.array(values["weight_kg"]), pa.array(values["waist_midpoint_cm"]), pa.array([9.0] * 60),
         pa.array(values["height_cm"]), pa.array(values["height_cm"]), pa.array(["f"] * 60),
         pa.array([40.0] * 60), pa.array(["x"] * 60)],
    )  # fmt: skip
    assert {proposal.reason for proposal in guess.proposals} <= set(REASONS)
    columns = {line[0] for line in guess_lines(guess)} | {line[0] for line in open_lines(guess)}
    assert columns == {"Gewicht", "Bauchumfang", "suprailiac", "Height", "Größe", "Alter"}


def test_the_summary_says_what_to_call_a_column_that_looks_needed(run: Run, tmp_path: Path) -> None:
    head = "code,sex,age_years,weight_kg,height_cm,waist_iliac_cm,waist_cm,tricep_mm\n"
    (tmp_path / "day.csv").write_text(head + "A,female,41,71.3,168,82,80,18\n", "utf-8")
    code, shown, err = run("screen", str(tmp_path / "day.csv"), "-o", str(tmp_path / "out.csv"))
    assert code == 0, err
    text = " ".join(shown.split())
    assert "Not used (unknown names): waist_cm, tricep_mm." in text
    assert "waist_cm may be a waist at one of four levels: name it waist_narrowest_cm" in text
    assert "tricep_mm may be triceps_mm: rename it, or use --map tricep_mm=triceps_mm." in text

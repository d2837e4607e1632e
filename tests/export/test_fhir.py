"""One visit as a FHIR R4 Bundle: codes typed twice, addresses, numbers, and what they rest on.

The rules of FHIR, and the independent model library, are in ``fhir_checks.py``.
"""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from fhir.resources.R4B import bundle as model
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

import foldspan
from fhir_checks import (
    CAREFUL,
    READERS,
    Tree,
    bundle_of,
    by_code,
    check,
    every_example,
    fhir_of,
    is_without_numbers,
    loinc,
    nodes,
    observations,
    plain_bundle,
    result_of,
    small,
    visit_of,
)
from foldspan import FoldspanError, Visit
from foldspan.export.fhir.bundle import OfVisit, bundle
from foldspan.protocol.waist_sites import bridges_to
from foldspan.quantities import BY_NAME, MEASURED

LOINC = "http://loinc.org"

# Second typing, from LOINC's own text (primary) or a page that quotes it (secondary): quantity, LOINC,
# the name that may be sent with it, UCUM. What is not here has no code that was verified for just this.
CODES: dict[str, tuple[str, str, str]] = {
    "weight_kg": ("29463-7", "Body weight", "kg"),  # primary
    "height_cm": ("8302-2", "Body height", "cm"),  # primary
    "bmi": ("39156-5", "Body mass index (BMI) [Ratio]", "kg/m2"),  # primary
    "abdomen_navel_cm": (
        "8280-0", "Waist Circumference at umbilicus by Tape measure", "cm",
    ),  # primary
    "waist_iliac_cm": ("56114-2", "Waist Circumference by NHANES", "cm"),  # secondary
    "waist_midpoint_cm": ("56115-9", "Waist Circumference by NCFS", "cm"),  # secondary
    "neck_cm": ("56074-8", "Circumference Neck", "cm"),  # secondary, a trial code
    "fat_percent": ("77233-5", "", "%"),  # code secondary; its name is not verified, so not sent
    "fat_mass": ("73708-0", "Body fat [Mass] Calculated", "kg"),  # secondary
}  # fmt: skip
# left out: 41982-0 (fat measured: nothing here measures fat), 62409-8 (hip: a protocol), 8342-8 and
# 8343-6 (lean: the split by method not seen), 73965-6 (muscle), 97058-2 (a score), 59576-9 (centile)
NAME_OF = {code: (name, shown, unit) for name, (code, shown, unit) in CODES.items()}
# panel, upper and lower blood pressure as the vital signs of FHIR R4 name them (not verified in
# print), in mm[Hg]
PRESSURE = ("85354-9", "8480-6", "8462-4")
VITAL = {CODES[name][0]: CODES[name][2] for name in ("weight_kg", "height_cm", "bmi")}
FAT, FAT_MASS = CODES["fat_percent"][0], CODES["fat_mass"][0]
SINGLE = "body fat by one method"
LEAN = "fat-free mass"


def answer_of(tree: Tree) -> Tree:
    """The agreement range: it alone is an estimate of fat that has ranges."""
    (found,) = [
        entry
        for entry in by_code(tree, FAT)
        if any("valueRange" in part for part in entry.get("component", ()))
    ]
    return found


def lean_of(tree: Tree) -> Tree:
    (found,) = [entry for entry in observations(tree) if entry["code"]["text"].startswith(LEAN)]
    return found


# codes


@every_example
def test_no_code_stands_but_those_typed_twice(stem: str) -> None:
    visit, tree = visit_of(stem), bundle_of(stem)
    expected = Counter(CODES[name][0] for name in visit.accepted if name in CODES)
    expected[CODES["bmi"][0]] += {"weight_kg", "height_cm"} <= set(visit.accepted)
    expected[FAT] = 1  # the answer; single methods are named in words, so that no chart plots them
    expected[FAT_MASS] = 1
    expected[PRESSURE[0]] = int(visit.intake.pressure_mmhg is not None)
    assert Counter(filter(None, map(loinc, observations(tree)))) == +expected
    for observation in observations(tree):
        if not loinc(observation):
            assert "coding" not in observation["code"]
            continue
        if loinc(observation) == PRESSURE[0]:  # a panel: see test_blood_pressure_is_a_panel
            continue
        name, shown, unit = NAME_OF[loinc(observation)]
        assert observation["code"]["coding"][0]["system"] == LOINC
        assert observation["code"]["coding"][0].get("display", "") == shown
        assert observation["valueQuantity"]["code"] == unit
        if name in visit.accepted:
            assert observation["valueQuantity"]["value"] == round(visit.accepted[name].value, 1)


def test_each_measured_quantity_has_its_own_code_or_none() -> None:
    # a body that nobody has: each quantity its own value, by which its Observation is found
    values: dict[str, float] = {}
    for name in MEASURED:
        low, high = BY_NAME[name].plausible("female")
        value = round(low + 0.3 * (high - low), 1)
        while value in values.values():
            value = round(value + 0.1, 1)
        values[name] = value
    assert len(set(values.values())) == len(values)
    sites = {name: {"readings": (value,)} for name, value in values.items()}
    visit = Visit.model_validate({"client": {"sex": "female", "age_years": 30}, "sites": sites})
    tree = fhir_of(visit)
    check(tree)
    readings = [entry for entry in observations(tree) if "derivedFrom" not in entry]
    found = {x["valueQuantity"]["value"]: x for x in readings if "valueQuantity" in x}
    for name, value in values.items():
        assert loinc(found[value]) == CODES.get(name, ("",))[0]
        assert found[value]["valueQuantity"]["code"] == name.rsplit("_", 1)[1]


@every_example
def test_what_could_not_be_verified_has_no_code(stem: str) -> None:
    """Skinfold sites, waist ratios, the hip and lean mass; nor SNOMED, which needs a licence."""
    tree = bundle_of(stem)
    assert "coding" not in lean_of(tree)["code"]
    for observation in observations(tree):
        if observation.get("valueQuantity", {}).get("code") in ("mm", "1"):
            assert "coding" not in observation["code"]
    written = json.dumps(tree)
    for code in ("62409-8", "41982-0", "8342-8", "8343-6", "73965-6", "97058-2", "165186003"):
        assert code not in written


# the model library, and references


@pytest.mark.parametrize("reader", READERS)
@every_example
def test_every_bundle_validates(stem: str, reader: str) -> None:
    check(bundle_of(stem, reader))


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("stem", ["visit", CAREFUL])
def test_a_page_of_one_visit_for_each_reader(stem: str, reader: str) -> None:
    assert foldspan.report(visit_of(stem), reader=reader).fhir() == bundle_of(stem, reader)


@every_example
def test_vital_signs_are_plain_quantities_in_the_fixed_unit(stem: str) -> None:
    """Weight, height and BMI, and nothing else (FHIR R4's profiles fix code and unit)."""
    for observation in observations(bundle_of(stem)):
        categories = {x["code"] for group in observation["category"] for x in group["coding"]}
        assert ("vital-signs" in categories) == (loinc(observation) in (*VITAL, PRESSURE[0]))
        if loinc(observation) in VITAL:
            assert observation["valueQuantity"]["code"] == VITAL[loinc(observation)]
            assert set(observation["valueQuantity"]) == {"value", "unit", "system", "code"}


@every_example
def test_each_estimate_has_one_method_of_its_own(stem: str) -> None:
    # FHIR R4, Observation: method is 0..1, "used for determining whether results can be compared"
    every = observations(bundle_of(stem))
    fat = [entry for entry in every if entry["code"]["text"].startswith("body fat")]
    said = [entry["method"]["text"] for entry in fat]
    assert len(said) > len(result_of(stem).methods)
    assert len(set(said)) == len(said)
    assert all(said)


def test_the_model_library_is_awake() -> None:
    for spoil in ({"status": None}, {"valueString": "a second value"}, {"unheard_of": 1}):
        tree = json.loads(json.dumps(fhir_of(small())))
        tree["entry"][1]["resource"] |= spoil
        with pytest.raises(ValidationError):
            model.Bundle.model_validate(tree)


OTHER_VISITS: dict[str, Tree] = {
    "code": {"client": {"code": "K-2"}},
    "sex": {"client": {"sex": "male"}},
    "age": {"client": {"age_years": 42}},
    "day": {"visit": {"date": "2026-03-05"}},
    "hour": {"visit": {"time": "18:30"}},
    "tester": {"visit": {"tester": "T-2"}},
    "reading": {"girths_cm": {"waist_midpoint": [82.4, 82.8]}},
    "site": {"girths_cm": {"hip": 99.0}},
    "end of scale": {"skinfolds_mm": {"triceps": "30+"}},
}


@pytest.mark.parametrize("what", OTHER_VISITS)
def test_another_visit_has_other_addresses(what: str) -> None:
    # contract: a visit is one client measured on one day by one tester
    first = plain_bundle(with_fold=what == "end of scale")
    second = fhir_of(small(**OTHER_VISITS[what]))
    shared = {x["fullUrl"] for x in first["entry"]} & {x["fullUrl"] for x in second["entry"]}
    assert not shared


def test_one_address_never_has_two_estimates() -> None:
    first, second = (
        {x["fullUrl"]: x["resource"] for x in fhir_of(small(), reference_method=name)["entry"]}
        for name in ("density", "dxa")
    )
    assert not [x for x in set(first) & set(second) if first[x] != second[x]]


# numbers


@every_example
def test_numbers_are_those_of_reconcile(stem: str) -> None:
    tree, result = bundle_of(stem), result_of(stem).to_dict()
    (mass,) = by_code(tree, FAT_MASS)
    for entry, key in (
        (answer_of(tree), "fat_percent"),
        (mass, "fat_mass_kg"),
        (lean_of(tree), "fat_free_mass_kg"),
    ):
        # fat-free mass is the rest of the printed weight
        near = 0.1001 if key == "fat_free_mass_kg" else 0.0551
        assert entry["valueQuantity"]["value"] == pytest.approx(result[key]["estimate"], abs=near)
        parts = [x["valueRange"] for x in entry["component"] if "valueRange" in x]
        ends = [[x["low"]["value"], x["high"]["value"]] for x in parts]
        ranges = result[key]["range_80"], result[key]["range_95"]
        for shown, known in zip(ends, ranges, strict=True):
            assert shown == pytest.approx(known, abs=0.0551)
        (error,) = [x["valueQuantity"] for x in entry["component"] if "valueQuantity" in x]
        assert error["value"] == pytest.approx(result[key]["se"], abs=0.0551)
    singles = {
        x["method"]["text"]: x["valueQuantity"]["value"]
        for x in observations(tree)
        if x["code"]["text"].startswith(SINGLE)
    }
    used = [x for x in result["equations"] if x["used"]]
    assert len(singles) == len(used) + len(result["methods"])  # one method each, no two the same
    for equation in used:
        (value,) = [v for text, v in singles.items() if equation["key"] in text.split()]
        assert value == pytest.approx(equation["estimate"], abs=0.0551)


@every_example
def test_fat_and_lean_come_to_the_weight_to_the_printed_digit(stem: str) -> None:
    tree = bundle_of(stem)
    shown = [by_code(tree, FAT_MASS)[0], lean_of(tree), by_code(tree, CODES["weight_kg"][0])[0]]
    fat, lean, weight = (Decimal(str(entry["valueQuantity"]["value"])) for entry in shown)
    assert fat + lean == weight


# by hand: weight over height squared, 71.3 / 2.829124, 49.8 / 2.7889, 71.2 and 118.6 / 2.7556
BMI_BY_HAND = {"visit": 25.2, CAREFUL: 17.9, "told_at_intake": 25.8, "folds_at_scale_end": 43.0}


@pytest.mark.parametrize(("stem", "expected"), BMI_BY_HAND.items())
def test_bmi_by_hand(stem: str, expected: float) -> None:
    (bmi,) = by_code(bundle_of(stem), CODES["bmi"][0])
    assert bmi["valueQuantity"]["value"] == expected
    assert len(bmi["derivedFrom"]) == 2


def places_of(tree: Tree) -> dict[str, Tree]:
    return {entry["fullUrl"]: entry["resource"] for entry in tree["entry"]}


def origins_of(tree: Tree, said: str) -> list[Tree]:
    """What the one Observation with these words in its method was worked out from."""
    (made,) = [x for x in observations(tree) if said in x.get("method", {}).get("text", "").split()]
    return [places_of(tree)[x["reference"]] for x in made["derivedFrom"]]


def test_a_waist_that_stood_in_is_the_only_waist_named() -> None:
    """derivedFrom points to what a value was worked out from; the tightest bridge is taken."""
    stem = "folds_at_scale_end"
    taken = visit_of(stem).accepted
    assert "waist_midpoint_cm" not in taken
    bridges = bridges_to("waist_midpoint_cm", "female")
    stood_in = next(row.measured for row in bridges if row.measured in taken)
    (origin,) = origins_of(bundle_of(stem), "lean1996_female_waist")
    assert origin["valueQuantity"]["value"] == round(taken[stood_in].value, 1)


def test_an_outside_result_that_joined_the_range_is_named() -> None:
    """27 % from a scale elsewhere has most of the weight: the range says that it rests on it."""
    visit = visit_of("outside_results")
    tree = foldspan.report(visit, include_outside=True).fhir()
    check(tree)
    places = places_of(tree)
    origins = [places[x["reference"]] for x in answer_of(tree)["derivedFrom"]]
    assert 27.0 in [origin["valueQuantity"]["value"] for origin in origins]


def test_a_fold_beyond_the_scale_is_at_least_what_the_scale_shows() -> None:
    """ "60+" is at least 60 mm; what stands in for it in the equations was not seen by anybody."""
    found = [x for x in observations(bundle_of("folds_at_scale_end")) if ">=" in nodes(x)]
    assert [entry["valueQuantity"]["value"] for entry in found] == [60.0]


def test_a_girth_over_clothing_says_so() -> None:
    """The value differs from its readings, so a word tells why (house rule: nothing in silence)."""
    tree = fhir_of(small(how_taken={"over_clothing": ["waist_midpoint"]}))
    (waist,) = by_code(tree, CODES["waist_midpoint_cm"][0])
    assert waist["valueQuantity"]["value"] in (
        82.1,
        82.2,
    )  # 82.65 less 0.50 cm, Obes Res Clin Pract 2010
    assert "cloth" in json.dumps([waist.get("note"), waist.get("method")])


# the reader of visits refuses control characters: those are held against the module by themselves
PRINTED = st.characters(exclude_categories=("C", "Z"))


@st.composite
def visit_trees(draw: st.DrawFn) -> Tree:
    """A person nobody has met, any age and build, with some of the sites read one to three times."""
    sex = draw(st.sampled_from(["female", "male"]))
    height = draw(st.integers(1450, 2000)) / 10
    bmi = draw(st.integers(170, 420)) / 10
    client: Tree = {"sex": sex, "age_years": draw(st.integers(14, 95))}
    if draw(st.booleans()):
        client["code"] = draw(st.text(PRINTED, max_size=12))
    if sex == "female":
        client["pregnant"] = draw(st.integers(0, 9)) == 9
    tree: Tree = {"client": client, "visit": {}}
    if draw(st.booleans()):
        days = st.dates(date(1990, 1, 1), date(2024, 1, 1))
        tree["visit"] = {
            "date": draw(days).isoformat(),
            "tester": draw(st.text(PRINTED, max_size=9)),
        }
    if draw(st.booleans()):
        tree["intake"] = {"eating_concern": draw(st.booleans())}
    if draw(st.integers(0, 4)):
        weight = round(bmi * (height / 100) ** 2, 1)
        tree["mass_height"] = {"weight_kg": weight, "height_cm": height}
    for name in draw(st.lists(st.sampled_from(MEASURED[2:]), min_size=1, unique=True)):
        quantity = BY_NAME[name]
        low, high = quantity.plausible(sex)  # type: ignore[arg-type]
        first = round(low + draw(st.integers(5, 80)) / 100 * (high - low), 1)
        more = draw(st.integers(0, 2))
        section = {"skinfold": "skinfolds_mm", "breadth": "breadths_cm"}.get(
            quantity.kind, "girths_cm"
        )
        readings: list[Any] = [round(first + 0.1 * place, 1) for place in range(more + 1)]
        if quantity.kind == "skinfold" and draw(st.integers(0, 9)) == 0:
            readings = [f"{first}+"]
        tree.setdefault(section, {})[quantity.short_name] = readings
    return tree


@settings(max_examples=25, deadline=None, derandomize=True, database=None)
@given(visit_trees(), st.booleans(), st.sampled_from(["density", "dxa"]))
def test_any_visit_gives_a_bundle_that_validates(tree: Tree, shown: bool, stated: str) -> None:
    try:
        visit = Visit.from_dict(tree, accept_unusual=True)
    except FoldspanError:
        assume(False)
    of_visit = OfVisit(visit, foldspan.explain(visit, reference_method=stated))
    made = bundle([of_visit], show_numbers=shown)
    check(made)
    assert {loinc(entry) for entry in observations(made)} <= {"", *NAME_OF}
    others = [entry for entry in observations(made) if loinc(entry) != FAT]
    assert shown or is_without_numbers(others)


def test_blood_pressure_is_a_panel() -> None:
    """Upper and lower pressure as told, in millimetres of mercury; whoever tells none has no panel."""
    tree = fhir_of(small(intake={"blood_pressure_mmhg": [146, 92]}))
    check(tree)
    (panel,) = by_code(tree, PRESSURE[0])
    pressures = [
        (
            part["code"]["coding"][0]["code"],
            part["valueQuantity"]["value"],
            part["valueQuantity"]["code"],
        )
        for part in panel["component"]
    ]
    assert pressures == [(PRESSURE[1], 146.0, "mm[Hg]"), (PRESSURE[2], 92.0, "mm[Hg]")]
    assert panel["subject"]["reference"].startswith("urn:uuid:")
    assert "the date of the reading is not recorded" in panel["note"][0]["text"]
    assert by_code(fhir_of(small()), PRESSURE[0]) == []
    careful = small(intake={"blood_pressure_mmhg": [146, 92], "eating_concern": True})
    assert is_without_numbers(fhir_of(careful, reader="client"))

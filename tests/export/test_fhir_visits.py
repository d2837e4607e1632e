"""FHIR of several visits, of each site by its own name, to the decimals that were read; and of whom."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import foldspan
from example_visits import EXAMPLES
from fhir_checks import (
    CAREFUL,
    READERS,
    Tree,
    bundle_of,
    by_code,
    check,
    codings,
    every_example,
    fhir_of,
    is_without_numbers,
    loinc,
    nodes,
    observations,
    small,
    visit_of,
)
from foldspan import Visit
from foldspan.quantities import BY_NAME, MEASURED

WEIGHT, FAT = "29463-7", "77233-5"


def dated(visit: Visit, days: int) -> Visit:
    assert visit.day is not None
    return visit.model_copy(update={"day": visit.day + timedelta(days=days)})


def of_day(tree: Tree, day: object) -> list[Tree]:
    return [
        observation
        for observation in observations(tree)
        if observation.get("effectiveDateTime") == str(day)
    ]


# every visit of the call


@pytest.mark.parametrize("reader", READERS)
@every_example
def test_each_visit_has_its_own_observations_with_its_day(stem: str, reader: str) -> None:
    last = visit_of(stem)
    first = dated(last, -60)
    tree = foldspan.report(first, last, reader=reader).fhir()
    check(tree)
    alone = bundle_of(stem, reader)
    assert len(of_day(tree, first.day)) + len(of_day(tree, last.day)) == len(observations(tree))
    # an earlier visit says what it says alone, the last also what changed since
    texts = [json.dumps(observation["code"]) for observation in of_day(tree, first.day)]
    assert texts == [json.dumps(observation["code"]) for observation in observations(alone)]
    assert len(of_day(tree, last.day)) >= len(texts)
    assert {x["fullUrl"] for x in alone["entry"]} <= {x["fullUrl"] for x in tree["entry"]}
    patients = [x for x in tree["entry"] if x["resource"]["resourceType"] == "Patient"]
    assert len(patients) == 1
    assert {observation["subject"]["reference"] for observation in observations(tree)} == {
        patients[0]["fullUrl"]
    }


def test_estimates_of_a_visit_rest_on_its_own_readings() -> None:
    last = visit_of("visit")
    tree = foldspan.report(dated(last, -60), last).fhir()
    days = {x["fullUrl"]: x["resource"].get("effectiveDateTime") for x in tree["entry"]}
    for observation in observations(tree):
        for origin in observation.get("derivedFrom", ()):
            assert days[origin["reference"]] == observation["effectiveDateTime"]
    assert [observation["effectiveDateTime"] for observation in by_code(tree, FAT)] == [
        str(dated(last, -60).day),
        str(last.day),
    ]


def test_a_visit_without_a_range_is_there_with_the_reason() -> None:
    """No part of the trend, and part of the record."""
    before = small(client={"pregnant": True}, visit={"date": "2026-01-08"})
    tree = foldspan.report(before, small()).fhir()
    check(tree)
    first, last = by_code(tree, FAT)
    assert "pregnancy" in first["dataAbsentReason"]["text"]
    assert "valueQuantity" in last
    assert len(by_code(tree, WEIGHT)) == 2


def test_a_visit_given_twice_has_two_addresses() -> None:
    for reader in READERS:
        check(foldspan.report(small(), small(), reader=reader).fhir())


def test_a_code_told_at_one_visit_is_that_of_all() -> None:
    without = small(client={"code": ""}, visit={"date": "2026-05-08"})
    tree = foldspan.report(small(), without).fhir()
    check(tree)
    (patient,) = [x for x in tree["entry"] if x["resource"]["resourceType"] == "Patient"]
    assert patient["resource"]["identifier"] == [{"value": "K-1"}]
    assert all("reference" in observation["subject"] for observation in observations(tree))


# sites by their names


def everything() -> Visit:
    sites = {}
    for name in MEASURED:
        low, high = BY_NAME[name].plausible("female")
        sites[name] = {"readings": (round(low + 0.3 * (high - low), 1),)}
    return Visit.model_validate({"client": {"sex": "female", "age_years": 30}, "sites": sites})


def test_no_two_sites_share_a_name_or_a_code() -> None:
    read = [
        observation
        for observation in observations(fhir_of(everything()))
        if "derivedFrom" not in observation
    ]
    read = [
        observation
        for observation in read
        if observation.get("valueQuantity", {}).get("code") in ("mm", "cm", "kg")
    ]
    assert len(read) == len(MEASURED)
    assert len({observation["code"]["text"] for observation in read}) == len(MEASURED)
    found = [code for observation in read for code in codings(observation["code"])]
    assert len(set(found)) == len(found)
    sites = [observation["bodySite"]["text"] for observation in read if "bodySite" in observation]
    assert len(sites) == sum(BY_NAME[name].unit in ("mm", "cm") for name in MEASURED) - 1  # height


def test_a_fold_and_a_girth_of_one_place_are_told_apart() -> None:
    read = {
        observation["code"]["text"]: observation
        for observation in observations(fhir_of(everything()))
    }
    assert read["skinfold thickness, inner (medial) calf"]["bodySite"]["text"] == (
        "inner (medial) calf"
    )
    assert read["girth, calf"]["bodySite"]["text"] == "calf"
    assert read["breadth, knee"]["bodySite"] == read["girth, knee"]["bodySite"]


def test_the_left_side_is_part_of_the_site() -> None:
    tree = fhir_of(small(skinfolds_mm={"triceps": 18.0}, how_taken={"left_side": ["triceps_mm"]}))
    check(tree)
    (fold,) = [x for x in observations(tree) if x["code"]["text"].startswith("skinfold")]
    assert fold["bodySite"]["text"] == "triceps, left side"


# decimals


def decimals(value: float) -> int:
    exponent = Decimal(str(value)).normalize().as_tuple().exponent
    assert isinstance(exponent, int)
    return max(-exponent, 0)


@every_example
def test_no_number_has_a_decimal_that_nobody_read(stem: str) -> None:
    for observation in observations(bundle_of(stem)):
        for node in nodes({key: observation.get(key) for key in ("valueQuantity", "component")}):
            if isinstance(node, dict) and "unit" in node:
                small_error = node["value"] < 0.05
                assert decimals(node["value"]) <= (3 if small_error else 1), observation["code"]


def test_what_was_read_more_finely_stands_in_the_note() -> None:
    tree = fhir_of(small(girths_cm={"hip": 99.05}))
    (hip,) = [x for x in observations(tree) if x["code"]["text"] == "girth, hip"]
    assert hip["valueQuantity"]["value"] in (99.0, 99.1)
    assert "99.05 cm" in hip["note"][0]["text"]


# of whom


def patient_of(tree: Tree) -> dict[str, Any]:
    (found,) = [x["resource"] for x in tree["entry"] if x["resource"]["resourceType"] == "Patient"]
    return dict(found)


def about(tree: Tree) -> dict[str, Tree]:
    found = {observation["code"]["text"]: observation for observation in observations(tree)}
    return {
        text: observation
        for text, observation in found.items()
        if text.startswith(("sex used", "age on"))
    }


def test_sex_and_age_are_told_only_where_asked_for() -> None:
    report = foldspan.report(small())
    plain, asked = report.fhir(), report.fhir(with_sex_and_age=True)
    assert set(patient_of(plain)) == {"resourceType", "identifier"}
    assert about(plain) == {}
    check(asked)
    patient = patient_of(asked)
    # no administrative gender and no birth date is known
    assert set(patient) == {"resourceType", "identifier", "text"}
    assert (
        "Sex used in the equations: female. Age on 2026-03-04: 41 years." in patient["text"]["div"]
    )
    sex, age = about(asked).values()
    assert sex["valueString"] == "female"
    assert (age["valueQuantity"]["value"], age["valueQuantity"]["code"]) == (41, "a")
    # the rest, and every address, is the same
    assert [x for x in asked["entry"] if x in plain["entry"]] == plain["entry"][1:]
    assert patient_of(asked)["identifier"] == patient_of(plain)["identifier"]


def test_a_client_without_a_code_is_a_patient_only_where_asked_for() -> None:
    report = foldspan.report(small(client={"code": ""}))
    assert "Patient" not in json.dumps(report.fhir())
    asked = report.fhir(with_sex_and_age=True)
    check(asked)
    assert "identifier" not in patient_of(asked)


@pytest.mark.parametrize("sex", ["female", "male", "both"])
def test_any_sex_is_told_as_it_was_used(sex: str) -> None:
    tree = foldspan.report(small(client={"sex": sex})).fhir(with_sex_and_age=True)
    check(tree)
    sex_used = next(iter(about(tree).values()))["valueString"]
    assert sex_used.startswith(sex)


def test_where_numbers_may_harm_the_age_is_masked_too() -> None:
    tree = foldspan.report(visit_of(CAREFUL), reader="client").fhir(with_sex_and_age=True)
    check(tree)
    assert is_without_numbers(tree)
    assert [
        observation for observation in about(tree).values() if "dataAbsentReason" in observation
    ]


def test_the_command_tells_of_the_patient(
    run: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    out, visit = tmp_path / "x.fhir.json", str(EXAMPLES / "visit.toml")
    later = str(EXAMPLES / "visit_later.toml")
    assert run("report", visit, later, "-o", str(out), "--with-patient")[0] == 0
    tree = json.loads(out.read_text(encoding="utf-8"))
    assert len(about(tree)) == 2
    assert len(by_code(tree, FAT)) == 2
    assert {loinc(observation) for observation in about(tree).values()} == {""}
    code, _, err = run("report", visit, "-o", str(tmp_path / "x.html"), "--with-patient")
    assert (code, "[E501]" in err) == (2, True)

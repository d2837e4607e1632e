"""FHIR for people: numbers that may harm, no range, whatever is typed, the command."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

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
    fhir_of,
    is_without_numbers,
    nodes,
    observations,
    small,
    visit_of,
)
from foldspan import Visit

# typed a second time, as in test_fhir.py
WEIGHT, FAT, FAT_MASS = "29463-7", "77233-5", "73708-0"


# numbers that may harm


def test_a_careful_client_is_given_no_number() -> None:
    masked, whole = bundle_of(CAREFUL, "client"), bundle_of(CAREFUL, "clinician")
    assert is_without_numbers(masked)
    assert not is_without_numbers(whole)
    assert not [node for node in nodes(masked) if isinstance(node, (int, float))]
    for observation in observations(masked):
        if "valueString" in observation:  # what a doctor should hear of, in the client's words
            continue
        assert [x["code"] for x in observation["dataAbsentReason"]["coding"]] == ["masked"]
    for site in visit_of(CAREFUL).accepted.values():
        assert round(site.value, 1) in list(nodes(whole))


def test_a_worry_told_earlier_still_masks() -> None:
    last = visit_of("visit_later")
    worried = small(client={"code": last.client.code}, intake={"eating_concern": True})
    assert last.day is not None
    earlier = worried.model_copy(update={"day": last.day - timedelta(days=60)})
    page = foldspan.report(earlier, last, reader="client")
    assert is_without_numbers(page.fhir())
    assert not is_without_numbers(replace(page, reader="trainer").fhir())


# no range

NO_RANGE: dict[str, tuple[Tree, str]] = {
    "minor": ({"client": {"age_years": 15}}, "under 18"),
    "pregnant": ({"client": {"pregnant": True}}, "pregnancy"),
    "after birth": ({"intake": {"birth_months_ago": 2}}, "birth"),
}


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(("sections", "word"), NO_RANGE.values(), ids=NO_RANGE)
def test_no_range_says_why(sections: Tree, word: str, reader: str) -> None:
    tree = foldspan.report(small(**sections), reader=reader).fhir()
    check(tree)
    (fat,) = by_code(tree, FAT)
    assert word in fat["dataAbsentReason"]["text"]
    assert not by_code(tree, FAT_MASS)
    assert not re.search("lean mass|fat-free mass", json.dumps(tree))
    (weight,) = by_code(tree, WEIGHT)
    assert weight["valueQuantity"]["value"] == 71.3


def test_nothing_usable_says_why() -> None:
    visit = Visit.from_dict(
        {"client": {"sex": "male", "age_years": 30}, "girths_cm": {"ankle_girth": 22.5}}
    )
    tree = foldspan.report(visit).fhir()
    check(tree)
    (fat,) = by_code(tree, FAT)
    assert "no equation" in fat["dataAbsentReason"]["text"]
    assert (
        len(observations(tree)) == 3
    )  # the girth, that there is no answer, that nothing was asked


# whatever is typed

# embeddings, overrides, isolates (Unicode Annex 9), by class; the three marks by name
TURNS = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
MARKS = {"\u061c", "\u200e", "\u200f"}
HOSTILE = {
    "markup": '<script>alert(1)</script>"}],"entry":[{"',
    "template": "{0.__class__} {code} %s {{7*7}} ${jndi:x}",
    "query": "K'; DROP TABLE visits;--",
    "control": "K\x00-\x07\x1b[31m\r\n\t1\x85",
    "turned": "K\u202e-1\u2066\u200f",
    "half a pair": "K\ud800-1",
    "only marks": "\u202e\u200f\x00",
}


@pytest.mark.parametrize("typed", HOSTILE.values(), ids=HOSTILE)
def test_typed_text_is_cleaned_and_never_run(typed: str, tmp_path: Path) -> None:
    plain = small()
    client = plain.client.model_copy(update={"code": typed})
    visit = plain.model_copy(update={"client": client, "tester": typed})
    page = foldspan.report(visit)
    page.write(str(tmp_path / "x.fhir.json"))
    tree = json.loads((tmp_path / "x.fhir.json").read_text(encoding="utf-8"))
    assert tree == page.fhir()
    check(tree)
    for text in (node for node in nodes(tree) if isinstance(node, str)):
        assert not any(unicodedata.category(char) in ("Cc", "Cs") for char in text)
        assert not any(unicodedata.bidirectional(char) in TURNS for char in text)
        assert not MARKS & set(text)
    patients = [x["resource"] for x in tree["entry"] if x["resource"]["resourceType"] == "Patient"]
    performers = [observation.get("performer") for observation in observations(tree)]
    if typed == HOSTILE["only marks"]:
        assert not patients
        assert not any(performers)
    elif typed.isprintable():  # what can be read is kept to the letter
        assert [patient["identifier"] for patient in patients] == [[{"value": typed}]]
        assert performers == [[{"display": typed}]] * len(performers)


def test_a_visit_without_day_code_and_tester() -> None:
    tree: Tree = {
        "client": {"sex": "male", "age_years": 40},
        "mass_height": {"weight_kg": 80, "height_cm": 180},
    }
    made = fhir_of(Visit.from_dict(tree))
    check(made)
    for observation in observations(made):
        assert not {"effectiveDateTime", "performer"} & set(observation)
        assert observation["subject"]["display"]
    assert "Patient" not in json.dumps(made)


def test_the_command_writes_the_bundle(
    run: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    out = tmp_path / "x.fhir.json"
    visit = EXAMPLES / f"{CAREFUL}.toml"
    code, shown, _ = run("report", str(visit), "-o", str(out), "--for", "client")
    assert (code, shown) == (0, "")
    assert json.loads(out.read_text(encoding="utf-8")) == bundle_of(CAREFUL, "client")


def test_a_careful_client_hears_of_a_doctor_but_nothing_about_the_body() -> None:
    """A loss of weight is a reason for a doctor; the page says only that, and so does the bundle."""
    intake = {
        "eating_concern": True,
        "earlier_weight_kg": 84.0,
        "earlier_weight_months_ago": 4,
        "loss_wanted": False,
    }
    page = foldspan.report(small(intake=intake), reader="client")
    codes = {flag.code for flag in page.material.flags}
    assert {"eating_concern", "loss_fast"} <= codes
    said = [
        observation["valueString"]
        for observation in observations(page.fhir())
        if "valueString" in observation
    ]
    assert any("eating-disorder" in text for text in said)
    assert any("doctor" in text for text in said)
    assert not any("weight" in text for text in said)

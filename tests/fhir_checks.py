"""For tests of FHIR: its rules, the independent model library, and the bundles that are held to them.

The library is ``fhir.resources``: its R4B (4.3.0) is the nearest that it has to R4 (4.0.1); the rules
of Bundle, Patient and Observation that are used here are the same in both. Rules named obs-… were read
in HL7's own definition of Observation, FHIR R4 (4.0.1).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from fhir.resources.R4B import bundle as model

import foldspan
from example_visits import SOUND
from foldspan import Visit
from foldspan.results.explanation import Explanation
from foldspan.results.result import Result

Tree = dict[str, Any]
UCUM = "http://unitsofmeasure.org"


READERS = ("client", "trainer", "clinician")
CAREFUL = "careful_words"
STEMS = tuple(path.stem for path in SOUND)
every_example = pytest.mark.parametrize("stem", STEMS)


@cache
def visit_of(stem: str) -> Visit:
    return Visit.from_file(str(next(path for path in SOUND if path.stem == stem)))


@cache
def explained(stem: str) -> Explanation:
    return foldspan.explain(visit_of(stem))


def result_of(stem: str) -> Result:
    return explained(stem).result


@cache
def bundle_of(stem: str, reader: str = "clinician") -> Tree:
    return foldspan.report(visit_of(stem), reader=reader).fhir()


def small(**sections: Tree) -> Visit:
    """A visit with weight, height and a waist, and other sections added or changed."""
    tree: Tree = {
        "client": {"code": "K-1", "sex": "female", "age_years": 41},
        "visit": {"date": "2026-03-04", "tester": "T-1"},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "girths_cm": {"waist_midpoint": [82.4, 82.9]},
    }
    for name, lines in sections.items():
        tree[name] = tree.get(name, {}) | lines
    return Visit.from_dict(tree)


def fhir_of(visit: Visit, **options: Any) -> Tree:
    return foldspan.report(visit, **options).fhir()


@cache
def plain_bundle(*, with_fold: bool) -> Tree:
    """The visit that the others are held against: the same whenever it is made."""
    plain = {"skinfolds_mm": {"triceps": 30}} if with_fold else {}
    made = fhir_of(small(**plain))
    assert fhir_of(small(**plain)) == made
    return made


def by_code(tree: Tree, code: str) -> list[Tree]:
    return [observation for observation in observations(tree) if loinc(observation) == code]


def observations(tree: Tree) -> list[Tree]:
    found = [entry["resource"] for entry in tree["entry"]]
    return [resource for resource in found if resource["resourceType"] == "Observation"]


def loinc(observation: Tree) -> str:
    """The LOINC code, "" for none; there is never more than one coding."""
    codings = observation["code"].get("coding", [{"code": ""}])
    assert len(codings) == 1
    return str(codings[0]["code"])


def nodes(node: Any) -> Iterator[Any]:
    """Every value of a tree, the tree itself first."""
    yield node
    inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    for child in inner:
        yield from nodes(child)


def check(tree: Tree) -> None:
    """Hold a bundle to the model library and to the rules of FHIR R4 that the library does not know."""
    model.Bundle.model_validate_json(json.dumps(tree, allow_nan=False))
    check_addresses(tree)
    for observation in observations(tree):
        check_observation(observation)
    for node in nodes(tree):
        # FHIR R4, JSON: nothing is null or empty (not verified in print)
        assert node is not None
        assert node not in ("", [], {})
        if isinstance(node, dict) and {"low", "high"} <= set(node):
            assert node["low"]["value"] <= node["high"]["value"]


def check_addresses(tree: Tree) -> None:
    """Addresses are unique, references end in the same bundle, nothing is worked out from itself."""
    places = [entry["fullUrl"] for entry in tree["entry"]]
    assert len(set(places)) == len(places)
    kinds = {entry["fullUrl"]: entry["resource"]["resourceType"] for entry in tree["entry"]}
    origins: dict[str, list[str]] = {}
    for entry in tree["entry"]:
        resource = entry["resource"]
        if "reference" in resource.get("subject", {}):
            assert kinds[resource["subject"]["reference"]] == "Patient"
        origins[entry["fullUrl"]] = [x["reference"] for x in resource.get("derivedFrom", ())]
        assert all(kinds[place] == "Observation" for place in origins[entry["fullUrl"]])
    # take away whatever rests on nothing that is left; a cycle would stay
    while origins:
        resting = [place for place, on in origins.items() if not set(on) & set(origins)]
        assert resting
        origins = {place: on for place, on in origins.items() if place not in resting}


def check_observation(observation: Tree) -> None:
    """Rules read in HL7's own definition of Observation, FHIR R4."""
    values = [key for key in observation if key.startswith("value")]
    # obs-6; and every Observation here says one thing, or why not; a panel says it by its components
    is_panel = loinc(observation) == "85354-9"
    assert len(values) == 1 - ("dataAbsentReason" in observation) - is_panel
    assert not is_panel or len(observation["component"]) == 2
    # obs-7
    for part in observation.get("component", ()):
        assert part["code"] != observation["code"]
        assert not codings(part["code"]) & codings(observation["code"])
        assert len([key for key in part if key.startswith("value")]) == 1
    for quantity in nodes(observation):
        if isinstance(quantity, dict) and "unit" in quantity:
            assert quantity["system"] == UCUM
            assert isinstance(quantity["value"], (int, float))
    for part in observation.get("component", ()):
        if "valueRange" in part and values == ["valueQuantity"]:
            ends = part["valueRange"]
            value = observation["valueQuantity"]["value"]
            assert ends["low"]["value"] <= value <= ends["high"]["value"]


def codings(code: Tree) -> set[tuple[str, str]]:
    return {(x["system"], x["code"]) for x in code.get("coding", ())}


def spoken(node: Any) -> Iterator[str]:
    """Whatever can be read, without addresses, codes, the day and who was there."""
    skipped = {"fullUrl", "reference", "system", "effectiveDateTime", "identifier", "performer"}
    if isinstance(node, dict):
        for key, child in node.items():
            if key not in skipped and not (key == "code" and "system" in node):
                yield from spoken(child)
    elif isinstance(node, list):
        for child in node:
            yield from spoken(child)
    else:
        yield str(node)


def is_without_numbers(tree: Tree) -> bool:
    return not any(char.isdigit() for text in spoken(tree) for char in text)

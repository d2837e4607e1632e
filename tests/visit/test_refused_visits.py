"""Refused visits: what needs somebody today is said, from whatever could be read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

import foldspan
from foldspan import FoldspanError, Visit
from foldspan.catalogue.density_to_fat import CONVERSIONS
from intake_visits import tree_of

Lines = dict[str, Any]


def urgent_in(tree: Mapping[str, Any]) -> list[str]:
    """The places of what cannot wait in a visit that is refused."""
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree)
    codes = [problem.code for problem in caught.value.problems]
    found = [problem for problem in caught.value.problems if problem.code == "E127"]
    assert codes[: len(found)] == ["E127"] * len(found)  # before every other fault
    assert len(codes) > len(found)
    return [problem.where.removeprefix("visit: ") for problem in found]


BODY = "weight_kg, height_cm"
WRONG = {"shoe_size": 39.125}


@pytest.mark.parametrize(
    ("client", "body", "intake", "places"),
    [
        # asked back as rarely going together, and as very unusual
        ({}, {"weight_kg": 40.0, "height_cm": 170.0}, {}, [BODY]),
        ({}, {"weight_kg": 28.5, "height_cm": 151.0}, {}, [BODY]),
        # refused for another reason; a usual weight; one that nobody has
        ({"sex": "x"}, {"weight_kg": 41.0, "height_cm": 171.0}, {}, [BODY]),
        ({"age_years": "old"}, {"weight_kg": 41.0, "height_cm": 171.0}, {}, [BODY]),
        ({"age_years": 15}, {"weight_kg": 38.0, "height_cm": 171.0}, WRONG, [BODY]),
        ({"sex": "x"}, {"weight_kg": 71.0, "height_cm": 171.0}, {}, []),
        ({}, {"weight_kg": 21.0, "height_cm": 190.0}, {}, []),
        # not used as it is hardly possible, and said all the same: below 25 kg, below an index of 9
        ({}, {"weight_kg": 24.0, "height_cm": 165.0}, {}, [BODY]),
        ({}, {"weight_kg": 25.5, "height_cm": 170.0}, {}, [BODY]),
        ({"age_years": "old"}, {"weight_kg": 24.0, "height_cm": 140.0}, {}, [BODY]),
        # told in another list, in a pressure that lacks a number, in two words together
        ({}, {}, {"conditions": ["chest pain"]}, ["[intake]"]),
        ({}, {}, {"blood_pressure_mmhg": "191"}, ["[intake]"]),
        ({}, {}, {"blood_pressure_mmhg": "179"}, []),
        # the two numbers exchanged: the higher one counts, whichever of them it was meant to be
        ({}, {}, {"blood_pressure_mmhg": "95/191"}, ["[intake]"]),
        ({}, {}, {"blood_pressure_mmhg": "95/151"}, []),
        ({}, {}, {"symptoms": ["yellow_skin", "fever", "hiccups"]}, ["[intake]"]),
        ({}, {}, {"symptoms": ["falls", "no chest pain"], "grip_kg": "strong"}, []),
        ({"pregnant": True}, {}, {"blood_pressure_mmhg": "150/95"} | WRONG, ["[intake]"]),
        ({}, {"weight_kg": 40.5, "height_cm": 171.0}, {"symptoms": ["fainting"]}, ["[intake]", BODY]),
    ],
)  # fmt: skip
def test_a_refused_visit_says_what_cannot_wait(
    client: Lines, body: Lines, intake: Lines, places: list[str]
) -> None:
    tree = tree_of(intake, client)
    if body:
        tree |= {"mass_height": body, "girths_cm": {"neck": 31.0}}
    assert urgent_in(tree) == places


@pytest.mark.parametrize("intake", [["chest pain"], "I had chest pain", ("falls", "fainting")])
def test_words_that_stand_in_no_list_are_said_too(intake: object) -> None:
    assert urgent_in(tree_of({}) | {"intake": intake}) == ["[intake]"]


def test_a_wrong_option_and_a_refused_change_say_what_cannot_wait() -> None:
    urgent = Visit.from_dict(tree_of({"symptoms": ["chest_pain"]}, {"pregnant": True}))
    with pytest.raises(FoldspanError) as caught:
        foldspan.change(urgent, urgent)
    assert [problem.code for problem in caught.value.problems] == ["E127", "E202"]
    # a conversion that was made for men of sport
    woman = Visit.from_dict(tree_of({"symptoms": ["chest_pain"]}))
    fits_men = next(conversion.key for conversion in CONVERSIONS if conversion.sex == "male")
    with pytest.raises(FoldspanError) as caught:
        foldspan.reconcile(woman, conversion=fits_men)
    assert [problem.code for problem in caught.value.problems] == ["E127", "E501"]


@pytest.mark.parametrize("given", [10**400, -(10**400), True, "30", float("nan"), 1.9, 70.1])
def test_a_reference_that_is_no_fat_percentage_is_refused_by_its_code(given: object) -> None:
    """Also a whole number that no float can hold."""
    tree = {
        "client": {"sex": "female", "age_years": 41},
        "visit": {"reference_fat_percent": given, "reference_method": "dxa"},
        "mass_height": {"weight_kg": 70.0, "height_cm": 168.0},
    }
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.Visit.from_dict(tree)
    assert [problem.code for problem in caught.value.problems] == ["E102"]

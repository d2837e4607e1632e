"""A visit made of what a row of a table says is the visit that a file of the same client makes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME
from foldspan.visit.from_row import RowFacts
from foldspan.visit.keys import HOME_OF
from foldspan.visit.model import Visit

WOMAN: dict[str, Any] = {"sex": "female", "age_years": 41.0, "code": "K-077"}
MAN = WOMAN | {"sex": "male"}
BODY: dict[str, Any] = {"weight_kg": [63.25, 63.2], "height_cm": 168.0}
WAIST: dict[str, Any] = {"mass_height": BODY, "girths_cm": {"waist_midpoint": 76.0}}
# clients, and the warnings that their values bring with them
CLIENTS: dict[str, tuple[dict[str, Any], set[str]]] = {
    "usual": ({"client": WOMAN} | WAIST, set()),
    "very unusual": ({"client": WOMAN, "girths_cm": {"waist_midpoint": 57.0}}, {"W103"}),
    "readings apart": ({"client": WOMAN, "skinfolds_mm": {"triceps": [11.0, 31.0]}}, {"W124"}),
    "off the scale": ({"client": WOMAN, "skinfolds_mm": {"abdominal": ["60+", "60+"]}}, set()),
    "waist unlike weight": (
        {"client": MAN, "mass_height": BODY, "girths_cm": {"waist_midpoint": 121.0}}, {"W123"},
    ),
    "odd folds": ({"client": MAN, "skinfolds_mm": {"triceps": 9.0, "biceps": 14.0}}, {"W125"}),
    "a man told of a birth": (
        {"client": MAN | {"pregnant": True}, "intake": {"birth_months_ago": 2.0,
                                                        "periods_stopped": True}} | WAIST, {"W127"},
    ),
    "own words": ({"client": WOMAN | {"family_background": "Norse and Thai"}} | WAIST, {"W126"}),
    "15, unusual": (
        {"client": WOMAN | {"age_years": 15.0}, "girths_cm": {"waist_midpoint": 50.0}}, set(),
    ),
    "told much": (
        {"client": WOMAN | {"athlete": True, "ancestry": "white"},
         "intake": {"symptoms": ["fever"], "conditions": ["dialysis"], "eating_concern": True,
                    "earlier_weight_kg": 70.0, "earlier_weight_months_ago": 3.0,
                    "loss_wanted": False, "blood_pressure_mmhg": "152/96"},
         "visit": {"date": "2026-05-06", "tester": "T-03"}} | WAIST, set(),
    ),
}  # fmt: skip


def row_of(visit: Visit) -> RowFacts:
    client = visit.client
    return RowFacts(
        sex=client.known_sex,
        age_years=client.age_years,
        code=client.code,
        tester=visit.tester,
        day=visit.day,
        ancestry=client.ancestry,
        family_background=client.family_background,
        pregnant=client.pregnant,
        athlete=client.athlete,
        sites={name: (site.readings, site.is_at_least) for name, site in visit.sites.items()},
        intake=visit.intake,
    )


@pytest.mark.parametrize("name", CLIENTS)
def test_a_row_makes_the_visit_of_a_file(name: str) -> None:
    tree, codes = CLIENTS[name]
    visit = Visit.from_dict(tree, accept_unusual=True)
    assert {warning.code for warning in visit.warnings} == codes
    made = Visit.from_row(row_of(visit))
    assert made.model_copy(update={"warnings": ()}) == visit.model_copy(update={"warnings": ()})
    # what was typed as a text, "60+", is a number in a row
    assert [
        (warning.code, warning.where, warning.what, warning.remedy) for warning in made.warnings
    ] == [(warning.code, warning.where, warning.what, warning.remedy) for warning in visit.warnings]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"sex": None}, "E111"),
        ({"age_years": None}, "E112"),
        ({"day": date.today() + timedelta(days=2)}, "E116"),
        ({"code": "K\n1"}, "E121"),
        ({"sites": {}}, "E120"),
        ({"sites": {"triceps_mm": ((900.0,), False)}}, "E102"),
    ],
)
def test_a_row_that_makes_no_visit_says_why(changes: dict[str, Any], code: str) -> None:
    row = row_of(Visit.from_dict(CLIENTS["usual"][0]))
    with pytest.raises(FoldspanError) as caught:
        Visit.from_row(replace(row, **changes))
    assert [problem.code for problem in caught.value.problems] == [code]


def test_every_quantity_has_its_line_in_a_visit_file() -> None:
    for name, (section, short) in HOME_OF.items():
        value = sum(BY_NAME[name].plausible("female")) / 2.0
        visit = Visit.from_dict({"client": WOMAN, section: {short: value}}, accept_unusual=True)
        assert list(visit.sites) == [name]

"""What one equation gives for one client: as published, and for nobody who gets no range."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

import foldspan
from foldspan.api.cards.value import equation_value
from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import Equation, ReferenceMethod
from foldspan.estimation.evaluate import needed
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME
from foldspan.results.result import EquationResult
from foldspan.visit.keys import HOME_OF

BMI = equation_by_key("deurenberg1991_both_bmi")
FOLDS = equation_by_key("durnin_womersley1974_male_4site")
TALL = {"mass_height": {"weight_kg": 81.0, "height_cm": 180.0}}


def visit_for(card: Equation, **client: Any) -> foldspan.Visit:
    sex = "female" if card.sex == "both" else card.sex
    tree: dict[str, Any] = {"client": {"sex": sex, "age_years": 40, **client}}
    for name in needed(card):
        if name != "age_years":
            section, short = HOME_OF[name]
            low, high = BY_NAME[name].plausible(sex)
            tree.setdefault(section, {})[short] = round(0.7 * low + 0.3 * high, 1)
    return foldspan.Visit.from_dict(tree, accept_unusual=True)


def man(age: float, **parts: Any) -> foldspan.Visit:
    return foldspan.Visit.from_dict({"client": {"sex": "male", "age_years": age}, **TALL, **parts})


def test_a_value_worked_out_by_hand() -> None:
    """25 kg/m² at 40: 1.2 × 25 + 0.23 × 40 − 10.8 − 5.4 = 23.0."""
    value = equation_value(BMI, man(40))
    assert value.as_printed == pytest.approx(23.0)
    assert value.range_printed == pytest.approx((23.0 - BMI.see, 23.0 + BMI.see))  # type: ignore[operator]
    assert value.in_sample is True


def test_a_density_by_hand_jumps_where_the_paper_has_a_new_row() -> None:
    """Four folds of 50 mm at 29.9 and at 30.0: 1.1631 − 0.0632 log 50 and 1.1422 − 0.0544 log 50."""
    folds = {"biceps": 8, "triceps": 14, "subscapular": 14, "suprailiac_midaxillary": 14}
    young = equation_value(FOLDS, man(29.9, skinfolds_mm=folds))
    older = equation_value(FOLDS, man(30.0, skinfolds_mm=folds))
    assert young.output == pytest.approx(1.1631 - 0.0632 * 1.69897, abs=1e-6)
    assert older.output == pytest.approx(1.1422 - 0.0544 * 1.69897, abs=1e-6)
    assert young.as_printed == pytest.approx(100 * (4.95 / 1.0557251 - 4.50), abs=1e-3)


@cache
def listed(tree: str, reference_method: ReferenceMethod) -> tuple[EquationResult, ...]:
    """What reconcile lists for a visit, worked out once for all equations that need the same of it."""
    visit = foldspan.Visit.from_dict(json.loads(tree), accept_unusual=True)
    return foldspan.reconcile(visit, as_printed=True, reference_method=reference_method).equations


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_every_equation_gives_what_reconcile_lists(card: Equation) -> None:
    visit = visit_for(card)
    value = equation_value(card, visit)
    equations = listed(json.dumps(visit.to_dict()), card.reference_method)
    (entry,) = [equation for equation in equations if equation.key == card.key]
    assert value.as_printed == pytest.approx(entry.as_printed)
    assert (value.see is None) == (card.see is None)


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ({"client": {"sex": "male", "age_years": 17.9}}, "E201"),
        ({"client": {"sex": "female", "age_years": 30, "pregnant": True}}, "E202"),
        ({"client": {"sex": "female", "age_years": 30}, "intake": {"birth_months_ago": 3}}, "E204"),
        (
            {"client": {"sex": "male", "age_years": 40}, "intake": {"conditions": ["dialysis"]}},
            "E206",
        ),
        ({"client": {"sex": "both", "age_years": 40}}, "E207"),
    ],
)
def test_whoever_gets_no_range_gets_no_number(parts: dict[str, Any], code: str) -> None:
    visit = foldspan.Visit.from_dict({**TALL, **parts})
    tree = equation_value(BMI, visit).to_dict()
    assert [problem["code"] for problem in tree["problems"]] == [code]
    for name in ("output", "as_printed", "see", "range_printed", "estimate"):
        assert tree[name] is None


def test_a_child_gets_no_number_from_an_equation_for_children_either() -> None:
    card = equation_by_key("deurenberg1991_youth_bmi")
    visit = foldspan.Visit.from_dict({**TALL, "client": {"sex": "male", "age_years": 12}})
    assert equation_value(card, visit).as_printed is None
    grown = equation_value(card, man(40))
    assert grown.in_sample is False
    assert "youth_only" in grown.left_out_because


def test_who_is_outside_the_sample_is_told_so() -> None:
    value = equation_value(BMI, man(90))
    assert value.in_sample is False
    assert dict(value.beyond) == {"age_years": pytest.approx(6.0)}
    assert equation_value(equation_by_key("lean1996_female_bmi"), man(40)).as_printed is None


def test_what_is_missing_is_named() -> None:
    with pytest.raises(FoldspanError) as error:
        equation_value(FOLDS, man(40))
    assert [problem.where for problem in error.value.problems] == [
        f"[skinfolds_mm] {fold}"
        for fold in ("biceps", "triceps", "subscapular", "suprailiac_midaxillary")
    ]


def test_what_cannot_wait_is_said_with_it_and_nothing_of_the_client_in_its_name() -> None:
    thin = foldspan.Visit.from_dict(
        {
            "client": {"sex": "female", "age_years": 30},
            "mass_height": {"weight_kg": 37.0, "height_cm": 170.0},
        },
        accept_unusual=True,
    )
    value = equation_value(BMI, thin)
    assert value.flags[0].level == "refer_urgently"
    assert "37" not in repr(value)

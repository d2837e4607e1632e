"""``Visit.to_dict`` and ``Visit.from_dict`` are inverse, for every example and random visits."""

from __future__ import annotations

import json
import tomllib
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from example_visits import SOUND
from foldspan import FoldspanError, Visit
from foldspan.intake.rules import LISTS, MARKS
from foldspan.protocol.outside_methods import OUTSIDE_BY_KEY
from foldspan.protocol.repeat_rules import GIRTH_RULE_BY_KEY, RULE_BY_KEY
from foldspan.visit.keys import SITE_VARIANTS
from intake_visits import tree_of


def facts(visit: Visit) -> dict[str, Any]:
    """Everything that the visit holds but its warnings, whose sentences repeat what was typed."""
    return {name: getattr(visit, name) for name in Visit.model_fields if name != "warnings"}


def check(visit: Visit) -> None:
    """A visit comes back from its tree, also by way of JSON and of TOML; the tree is a fixed point."""
    tree = visit.to_dict()
    ways = tree, json.loads(json.dumps(tree, allow_nan=False)), tomllib.loads(tomli_w.dumps(tree))
    for way in ways:
        again = Visit.from_dict(way, accept_unusual=True)
        assert facts(again) == facts(visit)
        assert list(again.sites) == list(visit.sites)
        assert again.to_dict() == tree


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.name)
def test_every_example_comes_back(path: Path) -> None:
    try:
        visit = Visit.from_file(str(path))
    except FoldspanError:
        pytest.skip("no visit of one client")
    check(visit)
    # what was sound once is sound again, without any leave to be unusual
    assert facts(Visit.from_dict(visit.to_dict())) == facts(visit)


@pytest.mark.parametrize(
    "lines",
    [
        {"skinfolds_mm": {"triceps": "60+"}},
        {"skinfolds_mm": {"triceps": ["31.1", "60.3+"], "thigh": "3.2 cm+"}},
        {"skinfolds_mm": {"triceps": ["12,4", 12.5, "12.6 mm"]}},
        {"mass_height": {"weight_kg": "11 st 3 lb", "height_cm": "5 ft 6 in"}},
        {"mass_height": {"weight_kg": "157.3 lb", "height_cm": "1,68 m"}},
        {"girths_cm": {"waist_midpoint": ["33 1/3 in", "33.1 in"]}},
        {"girths_cm": {"waist_midpoint": ["33 1/3 in", 84.0]}},
        {"girths_cm": {"waist_midpoint": 84.0}, "how_taken": {"over_clothing": "waist_midpoint"}},
        {"visit": {"date": date(2025, 1, 2), "time": time(7, 31), "tester": 4, "calliper": "C2"}},
        {"visit": {"reference_fat_percent": 31, "reference_method": "dxa"}},
        {"client": {"sex": "both", "age_years": 71}},
        {"client": {"sex": "female", "birth_date": "1983-02-28"}, "visit": {"date": "2025-03-01"}},
        {"client": {"sex": "female", "age_years": 30, "family_background": "von hier"}},
        {"client": {"sex": "female", "age_years": 30, "family_background": "none"}},
        {"client": {"sex": "female", "age_years": 30, "pregnant": "none", "athlete": False}},
        {"client": {"sex": "male", "age_years": 9}, "skinfolds_mm": {"triceps": 0.5}},
        {"intake": {"earlier_weight_kg": "none", "blood_pressure_mmhg": "none", "symptoms": []}},
        {"intake": {"weight_lost_kg": "7 lb", "earlier_weight_date": "2025-11-15"}},
        {"intake": {"earlier_weight_kg": 80.1, "loss_wanted": False}},
        {"intake": {"medicines": "steroids", "grip_kg": 28, "anabolic_drugs": False}},
        {"intake": {"blood_pressure_mmhg": "142/91", "birth_months_ago": "none"}},
    ],
)
def test_what_was_typed_in_any_way_comes_back(lines: dict[str, Any]) -> None:
    check(Visit.from_dict(tree_of({}) | lines, accept_unusual=True))


def reading(low: float, high: float, unit: str, factor: float) -> st.SearchStrategy[float | str]:
    """A number, or a text in its own or another unit, with a point or a comma."""
    number = st.floats(low, high)
    texts = st.builds("{:.1f} {}".format, number, st.just(unit))
    others = st.builds(
        lambda value, places: f"{value / factor:.{places}f}", number, st.sampled_from((1, 2, 4))
    )
    other = {2.54: "in", 10.0: "cm", 0.45359237: "lb"}[factor]
    return st.one_of(
        number,
        texts,
        texts.map(lambda text: text.replace(".", ",")),
        others.map(lambda text: f"{text} {other}"),
    )


def near(low: float, high: float, unit: str, factor: float) -> st.SearchStrategy[Any]:
    written = reading(low, high, unit, factor)
    return st.one_of(written, st.lists(written, min_size=1, max_size=3))


def optional(**lines: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=lines)


NO = st.sampled_from((False, "none"))
MONTHS = st.floats(0.0, 600.0)
DAY = date(2025, 11, 17)
INTAKE = optional(
    **{
        name: st.one_of(
            st.just("none"), st.just([]), st.lists(st.sampled_from(sorted(words)), unique=True)
        )
        for name, words in LISTS.items()
    },
    **{mark: st.one_of(st.just(value=True), NO) for mark in MARKS},
    surgery_months_ago=st.one_of(MONTHS, st.just("none")),
    birth_months_ago=st.one_of(MONTHS, st.just("none")),
    grip_kg=st.floats(1.0, 100.0),
    blood_pressure_mmhg=st.one_of(
        st.just("none"), st.tuples(st.floats(100.0, 250.0), st.floats(40.0, 99.0)).map(list)
    ),
)
LOSS = st.fixed_dictionaries(
    {"earlier_weight_kg": reading(72.0, 130.0, "kg", 0.45359237)},
    optional={
        "loss_wanted": st.booleans(),
        "earlier_weight_date": st.integers(1, 9000).map(lambda days: DAY - timedelta(days)),
    },
)
VISITS = st.fixed_dictionaries(
    {
        "client": st.fixed_dictionaries(
            {"sex": st.sampled_from(("female", "male", "both")), "age_years": st.floats(8.0, 95.0)},
            optional={"pregnant": st.one_of(NO, st.just(value=True)), "athlete": st.booleans()},
        ),
        "mass_height": st.fixed_dictionaries(
            {"weight_kg": near(60.0, 75.0, "kg", 0.45359237)},
            optional={"height_cm": near(158.0, 175.0, "cm", 2.54)},
        ),
        "visit": optional(
            date=st.just(DAY), tester=st.just("T-01"), time=st.times().map(lambda at: f"{at:%H:%M}")
        ),
    },
    optional={
        "skinfolds_mm": optional(
            triceps=near(8.0, 35.0, "mm", 10.0), chest=near(8.0, 35.0, "mm", 10.0),
            thigh=st.just("60+"),
        ),
        "girths_cm": optional(waist_midpoint=near(60.0, 110.0, "cm", 2.54)),
        "site_variants": st.fixed_dictionaries(
            {name: st.sampled_from(words) for name, words in list(SITE_VARIANTS.items())[:3]}
        ),
        "how_taken": optional(
            repeat_rule=st.sampled_from(sorted(RULE_BY_KEY)),
            girth_rule=st.sampled_from(sorted(GIRTH_RULE_BY_KEY)),
            scale_step_mm=st.floats(0.1, 2.0), left_side=st.just(["weight_kg"]),
        ),
        "intake": st.one_of(INTAKE, st.builds(lambda first, second: first | second, INTAKE, LOSS)),
        "outside_results": st.lists(
            st.fixed_dictionaries(
                {"method": st.sampled_from(sorted(OUTSIDE_BY_KEY)), "fat_percent": st.floats(3, 60)},
                optional={"weight_kg": st.floats(60, 80), "date": st.just(DAY)},
            ),
            max_size=2,
        ),
    },
)  # fmt: skip


@given(VISITS)
@settings(max_examples=120, deadline=None, derandomize=True, database=None)
def test_visits_at_random_come_back(tree: dict[str, Any]) -> None:
    try:
        visit = Visit.from_dict(tree, accept_unusual=True)
    except FoldspanError:
        return
    check(visit)

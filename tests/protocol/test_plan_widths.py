"""The width that a plan is offered with is the one its sites give, worked out anew."""

from __future__ import annotations

import pytest

from foldspan import Visit
from foldspan.api.explain import explain
from foldspan.api.plan import computed_width, expected_width
from foldspan.cli.printed.measure import plan_lines, planned_lines
from foldspan.protocol.plan_widths import PLAN_WIDTHS
from foldspan.protocol.plans import PLAN_BY_KEY, PLANS
from foldspan.quantities import SEXES, Sex
from foldspan.session.answers import Known
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.visit.keys import HOME_OF
from learning.learn_plan_widths import sites_of
from measure_driver import FACTS, MAN, script_of


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("plan", [plan.key for plan in PLANS])
def test_the_printed_width_is_the_one_worked_out(plan: str, sex: Sex) -> None:
    """If this fails: python tests/learning/learn_plan_widths.py. Printed to a tenth."""
    sites = sites_of(PLAN_BY_KEY[plan], sex)
    assert computed_width(sites, sex) == pytest.approx(PLAN_WIDTHS[plan, sex], abs=0.051)
    line = next(line for line in plan_lines(Known({"sex": sex})) if line[2:].startswith(plan))
    assert f"{PLAN_WIDTHS[plan, sex]:.1f} points" in line


def test_another_choice_of_sites_is_worked_out_on_the_spot() -> None:
    quick = expected_width(("weight_kg", "height_cm", "waist_midpoint_cm"), "female")
    more = expected_width(("weight_kg", "height_cm", "waist_midpoint_cm", "thigh_mm"), "female")
    assert quick == PLAN_WIDTHS["quick", "female"]
    assert more is not None
    assert more != quick


def sentence(**given: str) -> str:
    """What is said of the plan in a session of the invented man."""
    state = State().after("begun", FACTS)
    for prompt in script_of(MAN | given):
        if prompt.key == "consent.touch" or prompt.key.startswith("1."):
            break
        parsed = parse_line(state, prompt.line)
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
    return " ".join(" ".join(planned_lines(state)).split())


def test_the_plan_says_what_to_expect_only_where_there_will_be_a_range() -> None:
    assert f"about {PLAN_WIDTHS['three', 'male']:.1f} percentage points wide" in sentence()
    assert "points wide" not in sentence(age_years="15")


# An invented man of 104 kg who lifts: thin folds, thick arms and calves.
STRONG = {
    "weight_kg": 104.0, "height_cm": 180.0, "biceps_mm": 4.0, "triceps_mm": 8.0,
    "subscapular_mm": 13.0, "suprailiac_midaxillary_mm": 12.0, "calf_mm": 6.0,
    "waist_midpoint_cm": 92.0, "arm_relaxed_girth_cm": 43.0, "calf_girth_cm": 43.5,
}  # fmt: skip


@pytest.mark.parametrize(("plan", "explained"), [("four", False), ("build", True)])
def test_a_strong_build_is_explained_by_its_plan(plan: str, explained: bool) -> None:
    """Before, no plan had the girths that show muscle."""
    tree: dict[str, dict[str, object]] = {"client": {"sex": "male", "age_years": 29}}
    for name in PLAN_BY_KEY[plan].sites("male"):
        section, key = HOME_OF[name]
        tree.setdefault(section, {})[key] = [STRONG[name], STRONG[name]]
    found = explain(Visit.from_dict(tree, accept_unusual=True)).result
    assert found.verdict in ("strained", "disagree")
    assert ("more_muscle" in {finding.code for finding in found.findings}) is explained

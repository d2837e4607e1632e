"""The manner of a visit: repeat rules, clothing and sides as they come from a visit file."""

from __future__ import annotations

from typing import Any

import pytest

import foldspan
from foldspan import FoldspanError, Visit
from foldspan.measurement.accepted_values import OwnError

BASE: dict[str, Any] = {
    "client": {"sex": "female", "age_years": 41},
    "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    "skinfolds_mm": {"triceps": [21.0, 21.5], "biceps": [5.0, 5.6, 6.3]},
    "girths_cm": {"waist_midpoint": [82.4, 82.9], "hip": [102.0, 102.3], "neck": 33.1},
}


def visit(**lines: Any) -> Visit:
    return Visit.from_dict({**BASE, "how_taken": lines} if lines else BASE)


def faults(**lines: Any) -> list[tuple[str, str]]:
    with pytest.raises(FoldspanError) as caught:
        visit(**lines)
    return [(problem.code, problem.where) for problem in caught.value.problems]


# pilot of 50 people (Obes Res Clin Pract 2010;4:e239-244, abstract read): waist 0.50 cm, limits -1.54 to
# 2.55; hip 2.58 cm, limits -0.75 to 5.91; half their width over 1.96 is a standard deviation
@pytest.mark.parametrize(
    ("name", "mean", "sd"),
    [("waist_midpoint", 0.50, 4.09 / 3.92), ("hip", 2.58, 6.66 / 3.92)],
)
def test_a_girth_over_clothing_is_brought_to_skin_with_a_wider_error(
    name: str, mean: float, sd: float
) -> None:
    bare, covered = visit(), visit(over_clothing=[name])
    before, after = bare.accepted[f"{name}_cm"], covered.accepted[f"{name}_cm"]
    assert before.value - after.value == pytest.approx(mean)
    assert after.se**2 - before.se**2 == pytest.approx(sd**2, rel=1e-3)
    other = "neck_cm"
    assert covered.accepted[other] == bare.accepted[other]


def test_over_clothing_widens_the_range_and_is_told() -> None:
    girths = ["waist_midpoint", "hip"]
    bare, covered = foldspan.reconcile(visit()), foldspan.reconcile(visit(over_clothing=girths))
    assert covered.budget["tester"] > 1.1 * bare.budget["tester"]
    findings = {finding.code: finding.text for finding in covered.findings}
    assert "waist (midpoint); hip girth" in findings["over_clothing"]
    assert "over_clothing" not in {finding.code for finding in bare.findings}


def test_the_left_side_is_told_and_changes_no_number() -> None:
    right, left = foldspan.reconcile(visit()), foldspan.reconcile(visit(left_side=["triceps"]))
    assert left.fat_percent == right.fat_percent
    assert (
        "triceps skinfold" in {finding.code: finding.text for finding in left.findings}["left_side"]
    )


# biceps 5.0, 5.6, 6.3: spread 1.3, mean 5.63. Twice the tolerance is 4 under 2 mm, 2 under 1 mm,
# 1.13 under a tenth, 0.56 under a twentieth, 2 under the adaptive rule (1 mm is larger than a tenth)
@pytest.mark.parametrize(
    ("rule", "unsteady"),
    [("2mm", False), ("1mm", False), ("10%", True), ("5%", True), ("adaptive", False)],
)
def test_the_rule_of_the_visit_decides_what_is_unsteady(rule: str, unsteady: bool) -> None:
    assert visit(repeat_rule=rule).accepted["biceps_mm"].is_unsteady is unsteady


def test_the_step_of_the_scale_counts_for_the_adaptive_rule_only() -> None:
    site = {"triceps": [6.0, 7.6]}
    for rule, step, third in (
        ("adaptive", 1.0, True),
        ("adaptive", 2.0, False),  # two readings one mark apart agree
        ("1mm", 2.0, True),
    ):
        tree = BASE | {
            "skinfolds_mm": site,
            "how_taken": {"repeat_rule": rule, "scale_step_mm": step},
        }
        assert Visit.from_dict(tree).accepted["triceps_mm"].wants_third is third


@pytest.mark.parametrize("typed", [0.5, "0.5", "0.5 mm", "0.05 cm"])
def test_the_step_of_the_scale_may_carry_its_unit(typed: object) -> None:
    assert visit(scale_step_mm=typed).how_taken.scale_step_mm == pytest.approx(0.5, abs=1e-12)


@pytest.mark.parametrize(
    ("lines", "code", "place"),
    [
        ({"repeat_rule": "3mm"}, "E113", "repeat_rule"),
        ({"repeat_rule": 2}, "E113", "repeat_rule"),
        ({"scale_step_mm": 5}, "E102", "scale_step_mm"),
        ({"scale_step_mm": "fine"}, "E101", "scale_step_mm"),
        ({"over_clothing": ["neck"]}, "E113", "over_clothing"),
        ({"over_clothing": ["wast"]}, "E115", "over_clothing"),
        ({"over_clothing": ["waist_iliac"]}, "E120", "over_clothing"),
        ({"over_clothing": 3}, "E121", "over_clothing"),
        ({"left_side": [3]}, "E115", "left_side"),
        ({"left_hand": True}, "E115", "left_hand"),
    ],
)
def test_bad_lines_are_told_with_their_place(lines: dict[str, Any], code: str, place: str) -> None:
    ((found, where),) = faults(**lines)
    assert found == code
    assert place in where
    assert "[how_taken]" in where


def test_one_name_is_as_good_as_a_list() -> None:
    assert visit(left_side="triceps").how_taken == visit(left_side=["triceps_mm"]).how_taken


def test_a_testers_own_error_is_pooled_with_the_published_one() -> None:
    """Half of the published variance lasts; the other half is pooled by degrees of freedom."""
    plain = visit().accepted["triceps_mm"]
    steady = visit().with_own_errors({"triceps_mm": OwnError(0.02, 40.0)}).accepted["triceps_mm"]
    shaky = visit().with_own_errors({"triceps_mm": OwnError(0.15, 40.0)}).accepted["triceps_mm"]
    assert steady.se < plain.se < shaky.se
    # by hand: published 0.075 x 21.25 = 1.594, variance 2.540, half of it 1.270 stays; the rest is
    # (4 x 1.270 + 40 x (0.02 x 21.25)^2 + 0.125) / (4 + 40 + 1) = 0.2763, halved by two readings
    assert steady.se**2 == pytest.approx(1.270 + 0.2763 / 2.0, rel=2e-3)
    perfect = visit().with_own_errors({"triceps_mm": OwnError(0.0, 1000.0)}).accepted["triceps_mm"]
    assert perfect.se**2 > 1.269  # repeats within minutes say nothing of marks and other days
    assert steady.value == plain.value

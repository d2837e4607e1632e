"""Two readings that cannot be of one site are asked back; two that differ a little ask for a third."""

from __future__ import annotations

from typing import Any

import pytest

from foldspan import FoldspanError, Visit, reconcile


def visit_with(section: str, name: str, readings: list[float]) -> dict[str, Any]:
    tree: dict[str, Any] = {
        "client": {"code": "K-061", "sex": "male", "age_years": 39},
        "mass_height": {"weight_kg": 84.5, "height_cm": 181.0},
        "girths_cm": {"waist_midpoint": 90.0},
        "skinfolds_mm": {"triceps": 12.0},
    }
    tree[section][name] = readings
    return tree


@pytest.mark.parametrize(
    ("section", "name", "readings"),
    [
        ("mass_height", "weight_kg", [84.5, 48.5]),  # two digits exchanged
        ("girths_cm", "waist_midpoint", [88.0, 98.0]),
        ("skinfolds_mm", "triceps", [12.0, 12.5, 25.0]),
    ],
)
def test_a_slip_between_readings_is_asked_back(
    section: str, name: str, readings: list[float]
) -> None:
    tree = visit_with(section, name, readings)
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree)
    (problem,) = caught.value.problems
    assert problem.code == "E124"
    assert f"[{section}] {name}" in problem.where
    accepted = Visit.from_dict(tree, accept_unusual=True)
    assert [problem.code for problem in accepted.warnings] == ["W124"]


@pytest.mark.parametrize(
    ("readings", "asks"), [([12.0, 13.5], False), ([12.0, 15.0], True), ([12.0, 15.0, 13.0], False)]
)
def test_two_readings_beyond_the_tolerance_ask_for_a_third(
    readings: list[float], asks: bool
) -> None:
    """2 mm for folds: common practice, no source. The rule is told beside it."""
    result = reconcile(Visit.from_dict(visit_with("skinfolds_mm", "triceps", readings)))
    assert ("third_reading_missing" in [finding.code for finding in result.findings]) is asks
    said = " ".join(finding.text for finding in result.findings)
    assert ("2 mm or 10% of the skinfold" in said) is asks


def test_the_rule_that_is_told_is_that_of_the_visit() -> None:
    tree = visit_with("girths_cm", "neck", [38.0, 39.2])
    rules = {}
    for rule in ("by_site", "1cm"):
        result = reconcile(Visit.from_dict(tree | {"how_taken": {"girth_rule": rule}}))
        rules[rule] = next(x.text for x in result.findings if x.code == "third_reading_missing")
    assert "neck, arm and leg 0.5 cm or 1%, whichever is larger" in rules["by_site"]
    assert "neck, arm and leg 1 cm." in rules["1cm"]

"""Advice on slips changes something, and a round of two sites exchanged is named as that."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.measurement.accepted_values import accept
from foldspan.measurement.outlier_search import doubted, suspect_readings
from foldspan.quantities import BY_NAME
from foldspan.text.explain import slip_sentence

TREE: dict[str, Any] = {
    "client": {"sex": "male", "age_years": 34},
    "mass_height": {"weight_kg": 80.4, "height_cm": 179.5},
    "skinfolds_mm": {
        "triceps": [12.0, 12.2], "biceps": [8.0, 8.2], "subscapular": [14.5, 14.5],
        "suprailiac_midaxillary": [16.5, 16.8],
    },
    "girths_cm": {"waist_midpoint": [86.5, 86.6], "neck": 38.5},
}  # fmt: skip


def slips_of(**folds: list[float]) -> foldspan.Explanation:
    tree = TREE | {"skinfolds_mm": TREE["skinfolds_mm"] | folds}
    return foldspan.explain(foldspan.Visit.from_dict(tree, accept_unusual=True))


def test_first_readings_of_two_sites_exchanged_are_named_as_that() -> None:
    """The trial's 12 and 8: every other reading of both sites says so."""
    found = slips_of(triceps=[8.0, 12.2], biceps=[12.0, 8.2])
    best = found.slips[0]
    assert (best.kind, set(best.names), best.reading) == (
        "exchanged",
        {"triceps_mm", "biceps_mm"},
        1,
    )
    words = slip_sentence(best, found.typed, {})
    assert "reading 1: these look swapped" in words
    assert "12.1 mm" in words
    assert "8.1 mm" in words


@pytest.mark.parametrize("turn", [0, 1])
def test_the_round_that_was_exchanged_is_told(turn: int) -> None:
    larger, smaller = [12.0, 12.2], [8.0, 8.2]
    larger[turn], smaller[turn] = smaller[turn], larger[turn]
    best = slips_of(triceps=larger, biceps=smaller).slips[0]
    assert best.kind == "exchanged"
    # with two readings a site each round explains the other: both come to the same accepted values
    assert sorted(best.values) == pytest.approx([8.1, 12.1])


def test_sites_that_agree_with_themselves_are_not_called_exchanged_in_one_round() -> None:
    found = slips_of()
    assert not any(suspect.kind == "exchanged" and suspect.reading for suspect in found.slips)


def test_no_version_leaves_every_value_as_it_is() -> None:
    """Three readings with one far off: the median stays, so nothing is gained by putting it right."""
    rng = np.random.default_rng(4)
    for _ in range(60):
        readings = {
            name: tuple(float(x) for x in np.round(rng.uniform(6, 25) + rng.normal(0, 1.2, 3), 1))
            for name in ("triceps_mm", "biceps_mm", "subscapular_mm")
        } | {"weight_kg": (80.4,), "height_cm": (179.5,)}
        for suspect in doubted(suspect_readings("male", 34.0, readings)):
            before = [accept(name, readings[name]).value for name in suspect.names]
            shown = [
                (f"{old:.1f}", f"{new:.1f}")
                for old, new in zip(before, suspect.values, strict=True)
            ]
            assert any(old != new for old, new in shown), (suspect.kind, suspect.names, shown)


def test_a_misread_outlier_of_three_is_no_advice() -> None:
    """Reading 1 two marks off, readings 2 and 3 alike: 8.4 instead of 8.4 was once advised."""
    for first, low in itertools.product((10.4, 6.4), (8.4, 8.5)):
        found = slips_of(triceps=[first, 8.4, low])
        for suspect in found.slips:
            typed = [found.typed[name] for name in suspect.names]
            assert any(
                f"{new:.1f}" != f"{old:.1f}" for new, old in zip(suspect.values, typed, strict=True)
            )
    assert BY_NAME["triceps_mm"].unit == "mm"

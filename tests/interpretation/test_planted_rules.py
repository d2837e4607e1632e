"""Rules that were once taken out without a test noticing, each with a case that fails without it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.interpretation.fat_by_reference_method import fat_on
from foldspan.interpretation.measured import Measured
from foldspan.pages.client_page import client_bands
from foldspan.records.visits import Correction, corrected

TREE: dict[str, Any] = {
    "client": {"sex": "female", "age_years": 38},
    "mass_height": {"weight_kg": 68.0, "height_cm": 169.0},
    "skinfolds_mm": {"thigh": [30.0], "triceps": [20.0, 20.5]},
    "girths_cm": {"hip": [101.0], "waist_midpoint": 80.1},
    "site_variants": {"thigh": "seated"},
    "how_taken": {"left_side": ["thigh"], "over_clothing": ["hip"]},
}


def without(name: str) -> dict[str, Any]:
    return corrected(TREE, Correction(name=name, turn=1, value=None, who="T-02", why="typed twice"))


def test_a_site_without_a_reading_is_off_every_list() -> None:
    thigh = without("thigh_mm")
    assert "thigh" not in thigh["skinfolds_mm"]
    assert "site_variants" not in thigh
    assert thigh["how_taken"] == {"over_clothing": ["hip"]}
    hip = without("hip_cm")
    assert hip["how_taken"] == {"left_side": ["thigh"]}
    assert hip["site_variants"] == {"thigh": "seated"}
    for tree in (thigh, hip):
        foldspan.Visit.from_dict(tree)  # and the visit can still be read


def test_a_site_that_keeps_a_reading_stays_on_its_lists() -> None:
    tree = TREE | {"skinfolds_mm": {"thigh": [30.0, 31.0]}}
    kept = corrected(
        tree, Correction(name="thigh_mm", turn=2, value=None, who="T-02", why="typed twice")
    )
    assert kept["site_variants"] == {"thigh": "seated"}
    assert kept["how_taken"]["left_side"] == ["thigh"]


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
def test_a_result_moved_to_the_other_scale_carries_the_error_of_the_move(
    reference_method: Any,
) -> None:
    """Moved by 3 points with the scatter between the scales, added in quadrature; docs/method.md."""
    from foldspan.estimation.error_model import REFERENCE_SD

    here = Measured(np.array([30.0]), np.array([4.0]))
    other = "dxa" if reference_method == "density" else "density"
    found = fat_on(other, reference_method, here, None)  # type: ignore[arg-type]
    assert found.value[0] == pytest.approx(33.0 if other == "dxa" else 27.0)
    assert found.se[0] == pytest.approx(np.hypot(4.0, REFERENCE_SD[other]))
    assert found.se[0] > 4.0


def test_bands_of_fat_are_not_shown_to_athletes() -> None:
    plain, athlete = (
        foldspan.report(
            foldspan.Visit.from_dict(TREE | {"client": TREE["client"] | {"athlete": trained}}),
            reader="client",
        )
        for trained in (False, True)
    )
    assert "fat_percent" in {band.measure for band in client_bands(plain.material)}
    shown = {band.measure for band in client_bands(athlete.material)}
    assert "fat_percent" not in shown
    assert "bmi" not in shown
    assert "waist_to_height" in shown


def test_clothing_stays_in_the_error_that_a_next_reading_is_expected_to_leave() -> None:
    """A layer of cloth is there at the next reading too: repeating the hip narrows it less."""
    from foldspan.estimation.settings import settings_for
    from foldspan.explanation.next_measurement import error_after
    from foldspan.results.case_of_visit import case_of

    settings = settings_for("density", "siri1961", with_disputed=False)
    clothed = foldspan.Visit.from_dict(TREE)
    bare = foldspan.Visit.from_dict(TREE | {"how_taken": {"left_side": ["thigh"]}})
    now, after = [], []
    for visit in (clothed, bare):
        case = case_of(visit, settings)
        now.append(float(case.people.reading_se["hip_cm"][0]))
        after.append(error_after(case, "hip_cm"))
    assert now[0] > now[1]
    # what clothing adds in variance is the same before and after
    assert after[0] ** 2 - after[1] ** 2 == pytest.approx(now[0] ** 2 - now[1] ** 2, rel=0.05)

"""A measurement exactly on a limit raises its flag: the last bit of a chance decides nothing."""

from __future__ import annotations

import numpy as np
import pytest

import foldspan
from foldspan.interpretation.referral import raised
from foldspan.quantities import Sex
from foldspan.standards.referral_rules import ROUNDING, RULES


def visit(sex: Sex, weight: float, height: float) -> foldspan.Visit:
    return foldspan.Visit.from_dict(
        {
            "client": {"sex": sex, "age_years": 27},
            "mass_height": {"weight_kg": weight, "height_cm": height},
            "girths_cm": {"waist_midpoint": round(height / 2.0, 1)},
        },
        accept_unusual=True,
    )


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("height", [158.4, 165.2, 169.4, 170.0, 176.6, 183.8])
@pytest.mark.parametrize(
    "bmi, code", [(22.0, "central_fat"), (23.2, "central_fat"), (32.4, "weight_and_waist")]
)
def test_a_waist_of_exactly_half_the_height_counts(
    sex: Sex, height: float, bmi: float, code: str
) -> None:
    """From half the height on (NICE guideline, 2022 update, from a reproducing page).

    These body mass indices lie far inside their class.
    """
    health = foldspan.health(visit(sex, round(bmi * (height / 100.0) ** 2, 1), height))
    found = {flag.code: flag for flag in health.flags}
    assert found[code].chance == pytest.approx(0.5, abs=1e-6)
    assert found[code].is_borderline


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_a_last_bit_less_raises_and_anything_that_can_be_told_apart_does_not(rule: object) -> None:
    code, at = rule.code, rule.raised_at  # type: ignore[attr-defined]
    chances = {code: np.array([np.nextafter(at, 0.0), at - 1e-6, at, np.nan])}
    assert raised(chances)[code].tolist() == [True, False, True, False]
    assert 1e-12 < ROUNDING < 1e-6

"""How many lean people the rules about little fat find, and how many they flag for nothing.

The people are invented: the reference people made lean by thinner folds and lighter, with smaller
waists. What their fat truly is, is drawn around their range with its own error, so this shows what the
rules do if the range keeps its promise (docs/calibration.md), not that it does. The shares are told in
docs/health-tables.md.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan.cli.doc_pages.health_rates import LOW_FAT_FOUND
from foldspan.estimation.families.combine import Z_WIDE
from foldspan.interpretation.lean_folds import SEVEN
from foldspan.quantities import SEXES, Sex
from foldspan.reference.population import reference_people
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.referral_rules import NEAR_LEAST_FAT

# true bodies drawn around each range
DRAWS = 4
REFER = ("fat_very_low", "folds_very_low")


def lean_people(sex: Sex) -> pd.DataFrame:
    """Adults of 18 to 45 years with a body mass index of 16 to 25, as lean as anybody."""
    people, rng = reference_people(sex), np.random.default_rng(2026)
    count = people["weight_kg"].size
    times = rng.uniform(0.2, 0.75, count)
    bmi = rng.uniform(17.0, 24.0, count)
    height = people["height_cm"]
    columns = {name: np.round(np.fmax(people[name] * times, 2.5), 1) for name in SEVEN}
    columns |= {
        "sex": np.full(count, sex),
        "age_years": rng.integers(18, 46, count),
        "height_cm": np.round(height, 1),
        "weight_kg": np.round(bmi * (height / 100.0) ** 2, 1),
        "waist_midpoint_cm": np.round(height * (0.36 + 0.0045 * (bmi - 17.0) + 0.05 * times), 1),
    }
    return pd.DataFrame(columns)


def shares(sex: Sex) -> dict[str, float]:
    """Shares [%] of lean people who are found, and of the others who are flagged for nothing."""
    answer = foldspan.reconcile_table(lean_people(sex), reference_method="density")
    middle, se = answer["fat_percent"].to_numpy(), answer["fat_percent_se"].to_numpy()
    truth = np.random.default_rng(7).normal(middle, se, (DRAWS, middle.size))
    flags = answer["flags"].str.split("; ")
    refer = flags.map(lambda codes: bool(set(codes) & set(REFER))).to_numpy()
    any_word = refer | flags.map(lambda codes: "fat_near_minimum" in codes).to_numpy()
    before = middle + Z_WIDE * se < NEAR_LEAST_FAT[sex]
    refer, any_word, before = (np.tile(marks, (DRAWS, 1)) for marks in (refer, any_word, before))
    low, enough = truth < LEAST_FAT[sex], truth >= NEAR_LEAST_FAT[sex]
    assert low.sum() > 200
    assert enough.sum() > 2_000
    return {
        "found": 100.0 * refer[low].mean(),
        "found_with_a_word": 100.0 * any_word[low].mean(),
        "found_before": 100.0 * before[low].mean(),
        "for_nothing": 100.0 * refer[enough].mean(),
        "for_nothing_with_a_word": 100.0 * any_word[enough].mean(),
    }


@pytest.mark.parametrize("sex", SEXES)
def test_lean_people_are_found_as_often_as_the_page_says(sex: Sex) -> None:
    assert shares(sex) == pytest.approx(LOW_FAT_FOUND[sex], abs=0.6)

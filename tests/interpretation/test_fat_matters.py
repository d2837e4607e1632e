"""Where fat on density is exactly known, it matters for nobody but those of whom a rule is raised."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldspan.estimation.other_reference import Bounds
from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.indices import indices_of
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import chances_of, raised
from foldspan.interpretation.referral_measured import fat_matters
from foldspan.quantities import MEASURED, SEXES, Sex

COUNT = 4000
OF_FAT = {"fat_very_low", "fat_near_minimum", "lean_low", "lean_low_with_loss"}


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("with_loss", [False, True])
def test_who_is_left_out_has_no_rule_raised_by_fat(sex: Sex, with_loss: bool) -> None:
    """The error of weight and height is next to nothing, so that only the one of fat counts."""
    rng = np.random.default_rng(11)
    columns = dict.fromkeys(MEASURED, np.full(COUNT, np.nan)) | {
        "age_years": np.full(COUNT, 40.0),
        "height_cm": np.full(COUNT, 170.0),
        "weight_kg": rng.uniform(48.0, 75.0, COUNT),
    }
    errors = {"height_cm": np.full(COUNT, 1e-9), "weight_kg": np.full(COUNT, 1e-9)}
    value, se = rng.uniform(3.0, 45.0, COUNT), rng.uniform(2.0, 6.0, COUNT)
    numbers = {
        "loss_percent": np.full(COUNT, 9.0),
        "loss_se": np.full(COUNT, 0.5),
        "loss_months": np.full(COUNT, 4.0),
        "loss_wanted": rng.choice([0.0, 1.0, np.nan], COUNT),
    }
    reported = SelfReported(COUNT, {}, numbers if with_loss else {})
    indices = indices_of(sex, columns, errors, np.full(COUNT, ""), {})
    matters = fat_matters(indices, reported, Bounds(value, value, se, se))
    known = replace(indices, fat={"density": Measured(value, se)})
    rows = raised(chances_of(known, reported, is_strong=np.zeros(COUNT, dtype=bool)))
    assert {"fat_near_minimum", "lean_low"} <= rows.keys()
    assert ("lean_low_with_loss" in rows) == with_loss
    by_fat = np.any([rows[code] for code in OF_FAT & rows.keys()], axis=0)
    assert not (by_fat & ~matters).any()
    assert (matters & ~by_fat).mean() < 0.03  # those whose loss is one of two chances

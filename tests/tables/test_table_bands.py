"""Bands of a table: where several standards speak for one measure, the mean of their chances."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from foldspan.interpretation.classification import classified
from foldspan.interpretation.indices import indices_of
from foldspan.interpretation.measured import Measured
from foldspan.quantities import BY_NAME, SEXES, Sex
from foldspan.tables.bands import standards_for

# limits of fat at a healthy weight, 20 to 39 years [% fat], Gallagher 2000, not verified in print:
# for African American, Asian and white adults at a body mass index of 18.5, 25 and 30
COLUMNS: dict[Sex, dict[str, tuple[float, float, float]]] = {
    "female": {"black_african": (20, 32, 38), "chinese": (25, 35, 40), "white": (21, 33, 39)},
    "male": {"black_african": (8, 20, 26), "chinese": (13, 23, 28), "white": (8, 21, 26)},
}


@pytest.mark.parametrize("sex", SEXES)
def test_no_background_told_is_the_mean_of_all_columns(sex: Sex) -> None:
    backgrounds = ["", *COLUMNS[sex]]
    fat = Measured(np.full(4, 30.0 if sex == "female" else 19.0), np.full(4, 4.0))
    columns = {name: np.full(4, np.nan) for name in BY_NAME} | {
        "age_years": np.full(4, 31.0), "weight_kg": np.full(4, 66.0), "height_cm": np.full(4, 170.0)
    }  # fmt: skip
    nothing = {name: np.zeros(4) for name in columns}
    indices = indices_of(
        sex, columns, nothing, np.array(backgrounds, dtype=object), {"density": fat}
    )
    chances = np.full((4, 4), np.nan)
    for group in classified(standards_for("density")["fat"], indices):
        chances[group.people] = group.chances.T
    expected = []
    for limits in COLUMNS[sex].values():
        below = ndtr((np.asarray(limits) - fat.value[0]) / 4.0)
        expected.append(np.diff([0.0, *below, 1.0]))
    np.testing.assert_allclose(chances[1:], expected, atol=1e-6)
    np.testing.assert_allclose(chances[0], np.mean(expected, axis=0), atol=1e-6)
    np.testing.assert_allclose(chances.sum(axis=1), 1.0)

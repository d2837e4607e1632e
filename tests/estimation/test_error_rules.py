"""Two rules of the error model beside the survey they were read off: folds, ages outside a sample."""

from __future__ import annotations

import numpy as np
import pytest

from foldspan.catalogue import equation_by_key
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.error_correlation import (
    AS_PRINTED,
    LEVELLED,
    error_correlation,
)
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import BY_NAME, SEXES, Sex
from foldspan.reference.population import indicators
from learning.check_error_rules import Errors, folds_with_others

KEY = "durnin_womersley1974_female_triceps_subscapular"


@pytest.mark.parametrize("sex", SEXES)
def test_folds_err_with_others_as_the_survey_shows(sex: Sex) -> None:
    """By the rule for all, once what they read off is taken off; other people bear it out to a tenth."""
    learnt, held_out = (
        folds_with_others(Errors(cycles, sex)) for cycles in ("1999_2002", "2003_2004")
    )
    assert learnt == pytest.approx(1.0, abs=0.06)
    assert held_out == pytest.approx(1.0, abs=0.1)


@pytest.mark.parametrize("sex", SEXES)
def test_errors_that_correlate_so_are_a_covariance(sex: Sex) -> None:
    """Positive semi-definite by both rules."""
    cards = cards_for(sex)
    levelled, printed = (error_correlation(cards, sex, rule) for rule in (LEVELLED, AS_PRINTED))
    assert np.linalg.eigvalsh(levelled).min() > -1e-9
    assert np.linalg.eigvalsh(printed).min() > -1e-9
    np.testing.assert_array_equal(np.diag(levelled), 1.0)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("cycles", ["1999_2002", "2003_2004"])
def test_ages_outside_a_sample_add_nothing_that_the_survey_sees(cycles: str, sex: Sex) -> None:
    """Next to nothing of that variance is seen around the curves: a tenth is the most allowed."""
    share, error = Errors(cycles, sex).share_by_age()
    assert abs(share) < 0.1
    assert error < 0.1


def limits(age: float, settings: Settings, *, is_athlete: bool = False) -> float:
    """What limits add to the error of a card built on women of 16 to 68 [points]."""
    columns = {name: np.full(1, np.nan) for name in BY_NAME} | indicators("female", 1)
    columns |= {"is_athlete": np.array([float(is_athlete)])}
    columns |= {"age_years": np.array([age]), "triceps_mm": np.array([20.0])}
    columns |= {"subscapular_mm": np.array([18.0])}
    people = People("female", columns, {}, np.full(1, "", dtype=object))
    card = equation_by_key(KEY)
    answer = reconcile_people([card], people, settings)
    return float(answer.block_sds["limits"][0, 0])


def test_an_age_outside_a_sample_counts_where_nothing_is_levelled() -> None:
    """1.5 points a decade as printed; once levelled in athletes only, in others beyond the survey."""
    low, high = equation_by_key(KEY).limits["age_years"]
    assert (low, high) == (16.0, 68.0)
    for settings in (
        Settings(reference_method="density"),
        Settings(reference_method="dxa", as_printed=True),
    ):
        assert limits(60.0, settings) == 0.0
        assert limits(79.0, settings) == pytest.approx(1.5)
    levelled = Settings(reference_method="dxa")
    assert limits(79.0, levelled) == 0.0
    assert limits(79.0, levelled, is_athlete=True) == pytest.approx(1.5)
    assert limits(95.0, levelled) == pytest.approx(1.5)
    assert limits(95.0, levelled, is_athlete=True) == pytest.approx(1.5 * 2.6)

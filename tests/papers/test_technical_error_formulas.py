"""Technical error of measurement, typed a second time and worked with a pencil.

Formulas: Ulijaszek SJ, Kerr DA. Br J Nutr 1999;82:165-177; Perini TA and others. Rev Bras Med Esporte
2005;11:81-85 (both not verified in print). Chi-square: scipy.stats. Analysis of variance: any textbook.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

from foldspan.measurement.technical_error import (
    between,
    chi_square,
    last_digits,
    smallest_change,
    systematic,
    total,
    within,
)

# pencil arithmetic, exact in decimals; only rounding of doubles is allowed
EXACT = 1e-12

PAIRS = np.array([[10.0, 12.0], [20.0, 19.0], [30.0, 30.0], [15.0, 17.0]])
# differences 2, 1, 0, 2: squares 4 + 1 + 0 + 4 = 9; 2n = 8; TEM² = 9/8
# sum of readings 22 + 39 + 60 + 32 = 153; mean 153/8 = 19.125
# squares of readings 100+144+400+361+900+900+225+289 = 3319; minus 153²/8 = 2926.125: 392.875;
# SD² = 392.875 / 7 = 56.125; R = 1 - 1.125 / 56.125
TRIPLES = np.array([[10.0, 11.0, 12.0], [20.0, 20.0, 23.0]])
# client 1: squares 365, sum 33, 33²/3 = 363: 2; client 2: 1329, 63, 63²/3 = 1323: 6
# TEM² = (2 + 6) / (2 · 2) = 2


def two_readings(pairs: np.ndarray) -> float:
    """Sqrt of the sum of squared differences over 2n."""
    difference = pairs[:, 0] - pairs[:, 1]
    return math.sqrt(float((difference**2).sum()) / (2 * len(pairs)))


def many_readings(table: np.ndarray) -> float:
    """The formula of K readings as printed, sum of squares less squared sum over K."""
    count, repeats = table.shape
    inner = (table**2).sum(axis=1) - table.sum(axis=1) ** 2 / repeats
    return math.sqrt(float(inner.sum()) / (count * (repeats - 1)))


def test_two_readings_by_hand() -> None:
    found = within(PAIRS)
    assert found is not None
    assert found.tem == pytest.approx(math.sqrt(9.0 / 8.0), abs=EXACT)
    assert (found.degrees, found.clients, found.readings) == (4, 4, 8)
    assert found.mean == pytest.approx(19.125, abs=EXACT)
    assert found.relative == pytest.approx(100.0 * math.sqrt(1.125) / 19.125, abs=1e-9)
    assert found.reliability == pytest.approx(1.0 - 1.125 / 56.125, abs=EXACT)
    assert found.alike == 0.25  # one client of four


def test_three_readings_by_hand() -> None:
    found = within(TRIPLES)
    assert found is not None
    assert found.tem == pytest.approx(math.sqrt(2.0), abs=EXACT)
    assert found.degrees == 4
    assert found.reliability is None  # two clients


def test_two_and_three_readings_are_pooled_by_degrees() -> None:
    # one client with 10, 12 (squares about the mean: 2, one degree), one with 20, 20, 23 (6, two)
    found = within(np.array([[10.0, 12.0, np.nan], [20.0, 20.0, 23.0], [5.0, np.nan, np.nan]]))
    assert found is not None
    assert found.tem == pytest.approx(math.sqrt(8.0 / 3.0), abs=EXACT)
    assert (found.degrees, found.clients, found.readings) == (3, 2, 5)
    assert found.mean == pytest.approx(17.0)  # 85 / 5


@pytest.mark.parametrize("seed", range(5))
def test_both_printed_formulas_agree_for_two_readings(seed: int) -> None:
    table = np.random.default_rng(seed).uniform(5.0, 40.0, (9, 2))
    found = within(table)
    assert found is not None
    # cancellation of squares in the printed form costs a few digits
    assert two_readings(table) == pytest.approx(many_readings(table), rel=1e-9)
    assert found.tem == pytest.approx(two_readings(table), rel=1e-9)


@pytest.mark.parametrize("repeats", [2, 3, 5])
def test_square_is_the_mean_square_within_of_an_analysis_of_variance(repeats: int) -> None:
    """Outside: F of scipy.stats.f_oneway is the mean square between clients over that within."""
    random = np.random.default_rng(repeats)
    table = random.normal(20.0, 6.0, (8, 1)) + random.normal(0.0, 1.0, (8, repeats))
    found = within(table)
    assert found is not None
    means = table.mean(axis=1)
    mean_square_between = repeats * float(((means - table.mean()) ** 2).sum()) / (len(table) - 1)
    f = float(scipy.stats.f_oneway(*table).statistic)
    assert found.tem**2 == pytest.approx(mean_square_between / f, rel=1e-9)
    assert found.tem == pytest.approx(many_readings(table), rel=1e-9)


@pytest.mark.parametrize("degrees", [1, 2, 3, 7, 20, 200])
def test_bounds_are_those_of_chi_square(degrees: int) -> None:
    """Outside: scipy.stats.chi2; exact from one degree on, where approximations are poor."""
    for below in (0.025, 0.5, 0.975):
        assert chi_square(below, degrees) == pytest.approx(
            scipy.stats.chi2.ppf(below, degrees), rel=1e-6
        )
    random = np.random.default_rng(degrees)
    found = within(random.normal(20.0, 1.0, (degrees, 2)))
    assert found is not None
    low, high = found.bounds
    assert low == pytest.approx(
        found.tem * math.sqrt(degrees / scipy.stats.chi2.ppf(0.975, degrees))
    )
    assert high == pytest.approx(
        found.tem * math.sqrt(degrees / scipy.stats.chi2.ppf(0.025, degrees))
    )


def test_bounds_hold_the_true_error_in_95_of_100() -> None:
    random = np.random.default_rng(20)
    runs, held = 2000, 0
    for _ in range(runs):
        found = within(random.normal(20.0, 5.0, (6, 1)) + random.normal(0.0, 0.8, (6, 2)))
        assert found is not None
        held += found.bounds[0] <= 0.8 <= found.bounds[1]
    # three standard errors of a share of 0.95 in 2000 runs: 3 sqrt(0.95 · 0.05 / 2000) = 0.015
    assert held / runs == pytest.approx(0.95, abs=0.015)


def test_a_third_reading_where_two_lie_apart_does_not_bias() -> None:
    random = np.random.default_rng(21)
    table = random.normal(20.0, 5.0, (40_000, 1)) + random.normal(0.0, 1.2, (40_000, 3))
    table[np.abs(table[:, 0] - table[:, 1]) <= 2.0, 2] = np.nan
    assert 0.1 < np.isfinite(table[:, 2]).mean() < 0.4  # some have a third, not all
    found = within(table)
    assert found is not None
    # standard error of a TEM with about 50,000 degrees: 1.2 / sqrt(100,000) = 0.004
    assert found.tem == pytest.approx(1.2, abs=0.012)


def test_between_and_total_by_hand() -> None:
    # accepted values A 11, 19.5, 30, 16 (of PAIRS) and B 12, 20, 30, 18: differences 1, .5, 0, 2
    values = {"A": np.array([11.0, 19.5, 30.0, 16.0]), "B": np.array([12.0, 20.0, 30.0, 18.0])}
    found = between(values)
    own = within(PAIRS)
    assert found is not None
    assert own is not None
    assert found.tem == pytest.approx(math.sqrt(5.25 / 8.0), abs=EXACT)
    # own 9/8 for one tester and 2 for the other: mean 1.5625
    other = within(TRIPLES)
    assert other is not None
    assert total([own, other], found) == pytest.approx(math.sqrt(1.5625 + 5.25 / 8.0), abs=EXACT)
    assert total([], found) is None
    assert total([own], None) is None
    assert between({"A": values["A"]}) is None


def test_systematic_difference_is_a_paired_t_test() -> None:
    """Outside: scipy.stats.ttest_rel; each of two testers lies half their difference off the mean."""
    random = np.random.default_rng(5)
    a = random.normal(20.0, 4.0, 9)
    b = a + random.normal(0.8, 0.5, 9)
    found = systematic({"A": a, "B": b})
    interval = scipy.stats.ttest_rel(b, a).confidence_interval(0.95)
    assert found["B"].difference == pytest.approx(float(np.mean(b - a)) / 2.0)
    assert found["B"].low == pytest.approx(interval.low / 2.0)
    assert found["B"].high == pytest.approx(interval.high / 2.0)
    assert found["A"].difference == pytest.approx(-found["B"].difference)
    assert found["B"].is_real


def test_systematic_difference_of_few() -> None:
    found = systematic({"A": np.array([10.0, np.nan]), "B": np.array([12.0, 9.0])})
    assert (found["A"].difference, found["A"].low, found["A"].is_real) == (-1.0, None, False)
    assert systematic({"A": np.array([10.0, np.nan]), "B": np.array([np.nan, 9.0])}) == {}
    assert systematic({"A": np.array([10.0])}) == {}
    assert systematic({}) == {}


def test_smallest_change_of_means() -> None:
    # protocol facts: 2.77 TEM for single readings; of means of two 2.77 / sqrt 2 = 1.96
    assert smallest_change(1.0, 1) == pytest.approx(2.77, abs=0.005)
    assert smallest_change(1.0) == pytest.approx(1.96, abs=0.005)
    # three folds of 20 mm at 5 %: TEM of the sum 1.73 mm, change of duplicate means 3.4 mm
    assert smallest_change(math.sqrt(3.0)) == pytest.approx(3.4, abs=0.05)


@pytest.mark.parametrize(
    ("readings", "count", "on", "step"),
    [
        ([21.0, 21.4, 22.5, 30.1], 4, 2, 0.1),
        ([21.0, 21.5, 22.5], 3, 3, 0.5),
        ([20.0, 21.0, 35.0, 12.0], 4, 2, 1.0),  # last digit is that of the units
        ([82.55, 83.1], 1, 0, 0.1),  # 32 1/2 in
    ],
)
def test_last_digits(readings: list[float], count: int, on: int, step: float) -> None:
    found = last_digits(readings)
    assert found is not None
    assert (found.readings, found.on_0_or_5, found.step) == (count, on, step)
    assert not found.is_rounded  # too few to tell
    assert last_digits([82.55]) is None

"""Readings: accepted values and their standard errors."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldspan.measurement.accepted_values import MEDIAN_OF_THREE, accept, value_and_se
from foldspan.protocol.technical_error import TOLERANCE, technical_error
from foldspan.quantities import BY_NAME, MEASURED

READINGS = st.lists(st.floats(2.0, 80.0), min_size=1, max_size=3)


def typical(name: str) -> float:
    low, high = BY_NAME[name].plausible(None)
    return (low + high) / 2.0


@pytest.mark.parametrize(
    ("readings", "value"),
    [
        # mean of two, median of three: docs/method.md, section 1; ISAK, not verified in print
        ([21.0], 21.0),
        ([21.0, 21.5], 21.25),
        ([21.5, 21.0], 21.25),
        ([18.0, 21.0, 18.5], 18.5),
        ([21.0, 18.0, 18.5], 18.5),
        ([18.0, 18.0, 30.0], 18.0),
    ],
)
def test_accepted_value(readings: list[float], value: float) -> None:
    accepted = accept("triceps_mm", readings)
    assert accepted.value == pytest.approx(value)
    assert accepted.readings == len(readings)
    assert accepted.spread == pytest.approx(max(readings) - min(readings))
    assert accepted.name == "triceps_mm"


@given(READINGS)
def test_accepted_value_lies_among_the_readings_in_any_order(readings: list[float]) -> None:
    accepted = accept("thigh_mm", readings)
    assert accepted.value == pytest.approx(float(np.median(readings)))
    backwards = accept("thigh_mm", readings[::-1])
    assert backwards.value == accepted.value
    assert backwards.se == pytest.approx(accepted.se)


@pytest.mark.parametrize("count", [0, 4, 7])
def test_no_readings_or_too_many(count: int) -> None:
    with pytest.raises(ValueError, match="one to three"):
        accept("triceps_mm", [21.0] * count)


@pytest.mark.parametrize("name", MEASURED)
def test_one_reading_carries_the_published_error(name: str) -> None:
    value = typical(name)
    assert accept(name, [value]).se == pytest.approx(technical_error(name).of(value))


@pytest.mark.parametrize(
    ("name", "value", "lowest", "highest"),
    [
        # Harrison 1988, between testers: triceps 0.8 to 1.89 mm, subscapular 0.88 to 1.53 mm
        ("triceps_mm", 8.0, 0.8, 1.89),
        ("triceps_mm", 24.0, 0.8, 1.89),
        ("subscapular_mm", 10.0, 0.88, 1.53),
        ("subscapular_mm", 20.0, 0.88, 1.53),
        # Int J Obes 2000;24:652-657: folds 7.3 to 16.0 % for one observer, waist 1.4 %
        ("thigh_mm", 30.0, 0.073 * 30.0, 0.160 * 30.0),
        ("abdominal_mm", 30.0, 0.073 * 30.0, 0.160 * 30.0),
        ("waist_midpoint_cm", 85.0, 0.0135 * 85.0, 0.0145 * 85.0),
        ("waist_narrowest_cm", 85.0, 0.0135 * 85.0, 0.0145 * 85.0),
        # Cheuvront 2004: weight of 65 men from morning to morning, SD 0.51 kg
        ("weight_kg", 77.0, 0.505, 0.515),
    ],
)
def test_published_errors_of_one_reading(
    name: str, value: float, lowest: float, highest: float
) -> None:
    assert lowest <= accept(name, [value]).se <= highest


def test_every_technical_error_says_where_it_comes_from() -> None:
    for name in MEASURED:
        error = technical_error(name)
        assert error.source
        assert error.floor > 0.0
        assert TOLERANCE[BY_NAME[name].kind] > 0.0
    with pytest.raises(KeyError):
        technical_error("shoe_size")


@pytest.mark.parametrize("name", MEASURED)
def test_error_falls_with_repeats_and_never_to_zero(name: str) -> None:
    value = typical(name)
    once, twice, thrice = (accept(name, [value] * count) for count in (1, 2, 3))
    assert once.se > twice.se > thrice.se > 0.0
    # identical repeats may hide one mark and one day for all: at least half of the error stays
    assert thrice.se > 0.5 * once.se
    assert twice.spread == thrice.spread == 0.0
    assert not thrice.is_unsteady


@given(st.floats(2.0, 80.0), st.floats(0.0, 5.0), st.floats(0.1, 10.0))
def test_error_of_two_grows_as_they_part(middle: float, apart: float, more: float) -> None:
    near = accept("calf_mm", [middle - apart / 2.0, middle + apart / 2.0])
    far = accept("calf_mm", [middle - (apart + more) / 2.0, middle + (apart + more) / 2.0])
    assert far.se > near.se


@given(READINGS, st.sampled_from(sorted(MEASURED)))
def test_error_is_positive_and_finite_whatever_the_readings(
    readings: list[float], name: str
) -> None:
    accepted = accept(name, readings)
    assert 0.0 < accepted.se < math.inf


def test_error_of_a_median_of_three() -> None:
    """The variance of the median of three normal values is exactly 1 - sqrt(3) / pi.

    A textbook integral (order statistics of the normal distribution). The constant is printed with
    two digits, hence half of the last one.
    """
    assert pytest.approx(math.sqrt(1.0 - math.sqrt(3.0) / math.pi), abs=0.005) == MEDIAN_OF_THREE


def test_stated_errors_cover_what_a_tester_with_the_published_error_does() -> None:
    """Simulate testers whose readings scatter as the error model says: half lasting, half passing.

    The mean stated variance must match the true one within 10 %: 20,000 triples pin a variance to
    about 1 %; the rest is allowed for the scatter that steers ``is_unsteady`` and the pooling.
    """
    rng = np.random.default_rng(20_260_304)
    published = technical_error("thigh_mm").of(20.0)
    lasting = rng.normal(0.0, published * math.sqrt(0.5), (20_000, 1))
    readings = 20.0 + lasting + rng.normal(0.0, published * math.sqrt(0.5), (20_000, 3))
    for count in (1, 2, 3):
        sites = [accept("thigh_mm", list(row[:count])) for row in readings]
        calm = [site for site in sites if not site.is_unsteady]
        stated = np.mean([site.se**2 for site in calm])
        true = np.mean([(site.value - 20.0) ** 2 for site in calm])
        assert stated == pytest.approx(true, rel=0.10)


@pytest.mark.parametrize(
    ("name", "readings", "unsteady"),
    [
        # twice the tolerance: folds the larger of 2 mm and 10 %, a waist 1 cm (PhenX), a neck 0.5 cm
        ("triceps_mm", [18.0, 21.0, 18.5], False),
        ("triceps_mm", [18.0, 22.0, 18.5], False),
        ("triceps_mm", [18.0, 22.5, 18.5], True),
        ("triceps_mm", [18.0, 30.0], False),
        ("triceps_mm", [38.0, 45.5, 39.0], False),
        ("triceps_mm", [4.0, 6.5, 4.5], True),
        ("waist_iliac_cm", [83.0, 84.9, 83.2], False),
        ("waist_iliac_cm", [83.0, 85.1, 83.2], True),
        ("neck_cm", [33.0, 33.9, 33.2], False),
        ("neck_cm", [33.0, 34.1, 33.2], True),
    ],
)
def test_three_readings_far_apart_are_unsteady(
    name: str, readings: list[float], unsteady: bool
) -> None:
    assert accept(name, readings).is_unsteady is unsteady


def test_unsteady_readings_are_used_with_a_wider_error() -> None:
    steady = accept("triceps_mm", [18.0, 18.5, 19.0])
    unsteady = accept("triceps_mm", [14.0, 18.5, 23.0])
    assert unsteady.value == steady.value
    assert unsteady.se > max(2.0 * steady.se, accept("triceps_mm", [18.5]).se)


def test_at_least_is_kept_and_widens_the_error() -> None:
    plain = accept("thigh_mm", [60.0])
    ended = accept("thigh_mm", [60.0], is_at_least=True)
    assert (plain.is_at_least, ended.is_at_least) == (False, True)
    assert ended.value == pytest.approx(1.1 * plain.value)  # thicker, never thinner
    assert ended.se > 1.5 * plain.se


@given(
    name=st.sampled_from(MEASURED),
    readings=st.lists(st.floats(0.5, 300.0, allow_nan=False), min_size=1, max_size=3),
)
def test_what_a_search_tries_is_worth_what_would_be_accepted(
    name: str, readings: list[float]
) -> None:
    site = accept(name, readings)
    assert value_and_se(name, readings) == (site.value, site.se)

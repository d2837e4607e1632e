"""The error function and the quantile of the normal law, against two libraries and by themselves."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.special
from hypothesis import given
from hypothesis import strategies as st

from foldspan.numerics.normal import END, PER_UNIT, error_function, quantile

# one unit in the last place of numbers from 0.5 to 1
LAST_BIT = 2.0**-53
EDGES = np.concatenate([np.arange(-END, END, 0.5 / PER_UNIT), [END]])
VALUES = np.concatenate(
    [EDGES, np.nextafter(EDGES, 9.0), np.nextafter(EDGES, -9.0), np.linspace(-7.0, 7.0, 100_003)]
)


def test_the_error_function_is_right_to_its_last_bits() -> None:
    found = error_function(VALUES)
    assert np.abs(found - [math.erf(value) for value in VALUES.tolist()]).max() <= LAST_BIT
    assert np.abs(found - scipy.special.erf(VALUES)).max() <= 4.0 * LAST_BIT
    assert np.abs(found).max() == 1.0


def test_small_values_keep_their_digits() -> None:
    small = 10.0 ** np.linspace(-300.0, -2.0, 2000)
    np.testing.assert_allclose(error_function(small), scipy.special.erf(small), rtol=1e-15)
    assert error_function(np.array([0.0])).tolist() == [0.0]


def test_both_sides_are_the_same() -> None:
    assert (error_function(-VALUES) == -error_function(VALUES)).all()


def test_what_is_no_number_has_no_value_and_what_is_infinite_is_certain() -> None:
    found = error_function(np.array([np.nan, np.inf, -np.inf, 1e308]))
    assert np.array_equal(found, [np.nan, 1.0, -1.0, 1.0], equal_nan=True)


@given(st.lists(st.floats(allow_nan=False), min_size=1, max_size=40), st.integers(0, 39))
def test_a_value_is_the_same_whatever_else_is_asked(values: list[float], place: int) -> None:
    value = values[place % len(values)]
    alone = error_function(np.array([value]))
    row = error_function(np.array(values))[[place % len(values)]]
    every_other = error_function(np.repeat(values, 3)[::3])[[place % len(values)]]
    table = error_function(np.array([values, values]).T)[place % len(values), 1:]
    assert alone.tolist() == row.tolist() == every_other.tolist() == table.tolist()


@pytest.mark.parametrize("share", [1e-300, 1e-9, 0.025, 0.3, 0.5, 0.8, 0.99, 1.0 - 1e-12])
def test_a_quantile_has_its_share_below_it(share: float) -> None:
    assert quantile(share) == pytest.approx(scipy.special.ndtri(share), rel=1e-13)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, 1.1, math.nan])
def test_no_quantile_without_a_share(share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        quantile(share)

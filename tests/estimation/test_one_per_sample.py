"""Of equations built on the same people one counts; where it fades, the next has what is left."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue import EQUATIONS
from foldspan.estimation.one_per_sample import OnePerSample

FIRST = next(card for card in EQUATIONS if card.method == "skinfold")
SECOND, THIRD = replace(FIRST, key="second_form"), replace(FIRST, key="third_form")
ELSEWHERE = replace(FIRST, key="other_people", lineage="other_people")
PEOPLE = np.ones(4, dtype=bool)


def test_the_next_equation_has_what_the_first_leaves() -> None:
    """Full, three quarters, a quarter, and not usable at all."""
    sample = OnePerSample()
    usable = np.array([True, True, True, False])
    sample.add(FIRST, usable, np.array([1.0, 0.75, 0.25, 0.6]))
    left = sample.share_left(SECOND)
    assert left is not None
    np.testing.assert_allclose(left, [0.0, 0.25, 0.75, 1.0])
    np.testing.assert_array_equal(sample.covered_by_earlier(SECOND), [True, False, False, False])


def test_shares_of_several_that_fade_multiply() -> None:
    sample = OnePerSample()
    sample.add(FIRST, PEOPLE, np.array([0.5, 0.5, 0.0, 1.0]))
    sample.add(SECOND, PEOPLE, np.array([0.5, 0.2, 0.4, 0.3]))
    left = sample.share_left(THIRD)
    assert left is not None
    np.testing.assert_allclose(left, [0.25, 0.4, 0.6, 0.0])


def test_a_card_that_does_not_fade_covers_whom_it_is_usable_for() -> None:
    sample = OnePerSample()
    sample.add(FIRST, np.array([True, False, True, False]))
    assert sample.share_left(SECOND) is None
    np.testing.assert_array_equal(sample.covered_by_earlier(SECOND), [True, False, True, False])
    sample.add(SECOND, np.array([False, True, False, True]))
    assert sample.covered_by_earlier(THIRD) is True


def test_equations_of_other_people_are_untouched() -> None:
    sample = OnePerSample()
    sample.add(FIRST, PEOPLE, np.full(4, 0.5))
    assert sample.share_left(ELSEWHERE) is None
    assert sample.covered_by_earlier(ELSEWHERE) is False

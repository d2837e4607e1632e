"""A person's answer has the same bits alone, in any batch, in any order, whoever else is there.

Not almost: to the last bit. A row of a table and the visit of the same client must never differ, and a
table that is cut in other parts, on another number of cores, must come out the same.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from crowds import MANY, SETTINGS, SOME_MISSING, crowd, numbers_of, some_of
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.families.covariance import AT_ONCE, WIDTH
from foldspan.estimation.pipeline import families_of, reconcile_people
from foldspan.quantities import MEASURED, SEXES, Sex


def same_bits(whole: dict[str, np.ndarray], part: dict[str, np.ndarray], rows: np.ndarray) -> None:
    assert whole.keys() ^ part.keys() <= {"card weights"}
    for name in whole.keys() & part.keys():
        expected = whole[name][..., rows]
        assert np.array_equal(expected, part[name], equal_nan=expected.dtype.kind == "f"), name


@cache
def said_of_all(sex: Sex, missing: float, setting: str, variants: bool) -> dict[str, np.ndarray]:
    people = crowd(sex, missing, variants=variants)
    return numbers_of(
        people, reconcile_people(SETTINGS[setting].cards_for(sex), people, SETTINGS[setting])
    )


def check(
    sex: Sex,
    missing: float,
    rows: np.ndarray,
    *,
    setting: str = "density",
    variants: bool = False,
    every: bool = True,
) -> None:
    """Hold some people, in this order, against the same people in the whole crowd."""
    people = some_of(crowd(sex, missing, variants=variants), rows)
    answer = reconcile_people(
        SETTINGS[setting].cards_for(sex), people, SETTINGS[setting], every=every
    )
    whole = said_of_all(sex, missing, setting, variants)
    same_bits(whole, numbers_of(people, answer), rows)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("missing", SOME_MISSING.values(), ids=list(SOME_MISSING))
@pytest.mark.parametrize("every", [True, False])
def test_alone_as_in_a_crowd(sex: Sex, missing: float, every: bool) -> None:
    for row in np.random.default_rng(1).integers(0, MANY, 40):
        check(sex, missing, np.array([row]), every=every)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("missing", SOME_MISSING.values(), ids=list(SOME_MISSING))
@pytest.mark.parametrize(
    "size", [2, 7, WIDTH - 1, WIDTH, WIDTH + 1, AT_ONCE * WIDTH + 1, 4096, MANY]
)
def test_in_batches_of_any_size_and_order(sex: Sex, missing: float, size: int) -> None:
    rows = np.random.default_rng(size).permutation(MANY)[:size]
    check(sex, missing, rows)
    check(sex, missing, rows[::-1], every=False)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize("every", [True, False])
def test_with_every_setting(sex: Sex, setting: str, every: bool) -> None:
    rng = np.random.default_rng(3)
    for size in (1, 5, 300):
        rows = rng.integers(0, MANY, size)
        check(sex, 0.33, rows, setting=setting, every=every)
        check(sex, 0.33, rows, setting=setting, every=every, variants=True)


@pytest.mark.parametrize("sex", SEXES)
def test_cut_at_random_and_put_together(sex: Sex) -> None:
    rng = np.random.default_rng(4)
    cuts = np.sort(rng.integers(0, MANY, 9))
    for rows in np.split(rng.permutation(MANY), cuts):
        if rows.size:
            check(sex, 0.33, rows, every=bool(rng.integers(0, 2)))


@pytest.mark.parametrize("sex", SEXES)
def test_among_people_with_other_gaps(sex: Sex) -> None:
    """A person with everything measured, alone and among people of whom little is known."""
    full, sparse = crowd(sex, 0.0), crowd(sex, 0.8)
    rows = np.arange(600)
    mixed = {
        name: np.where(rows % 3 == 0, column[rows], sparse.columns[name][rows])
        for name, column in full.columns.items()
    }
    errors = {name: np.maximum(0.2, 0.02 * mixed[name]) for name in MEASURED}
    people = replace(some_of(full, rows), columns=mixed, reading_se=errors)
    whole = numbers_of(people, reconcile_people(cards_for(sex), people, every=False))
    for kept in (rows[::3], rows[1::3], rows[:1], rows[1:2]):
        part = some_of(people, kept)
        same_bits(whole, numbers_of(part, reconcile_people(cards_for(sex), part)), kept)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(
    "setting", [name for name, settings in SETTINGS.items() if settings.local is None]
)
def test_families_alone_are_those_of_the_answer(sex: Sex, setting: str) -> None:
    """What is held against each other where methods would agree, without the errors."""
    people, settings = crowd(sex, 0.33, variants=True), SETTINGS[setting]
    alone = families_of(settings.cards_for(sex), people, settings)
    whole = said_of_all(sex, 0.33, setting, True)["families"]
    assert np.array_equal(alone, whole, equal_nan=True)

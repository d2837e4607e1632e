"""Centiles of US adults: they are what the survey's extract gives, near what was published of it."""

from __future__ import annotations

import numpy as np
import pytest

from foldspan.protocol.site_guide import GUIDES
from foldspan.quantities import BY_NAME, SEXES, Sex
from foldspan.reference.centiles import CENTILES, DECADES, MEASURES, TABLE, decade_of, standing
from learning.learn_centiles import COLUMNS, adults, table_of, weights_of

POUND = 0.45359237  # by definition, 1959


@pytest.mark.parametrize("sex", SEXES)
def test_the_table_is_what_the_extract_gives(sex: Sex) -> None:
    """If this fails: python tests/learning/learn_centiles.py."""
    assert {name: TABLE[sex][name] for name in MEASURES} == {
        name: tuple(table_of(sex, name)) for name in MEASURES
    }


def mean_of(sex: Sex, name: str, oldest: float = 200.0) -> float:
    people, column = adults(), COLUMNS[name]
    rows = (people.sex == sex[0].upper()) & (people.age < oldest) & people[column].notna()
    return float(np.average(people[column][rows], weights=weights_of(people, column)[rows]))


@pytest.mark.parametrize(
    ("sex", "name", "oldest", "published"),
    [
        # Ogden 2004, Advance Data 347 (NHANES 1999-2002, ages 20 to 74): 191.0 and 164.3 lb; these
        # four are not verified in print. The extract alone has 184 and 158 lb: large people had no scan
        ("male", "weight_kg", 75.0, 191.0 * POUND),
        ("female", "weight_kg", 75.0, 164.3 * POUND),
        ("male", "bmi", 75.0, 27.8),
        ("female", "bmi", 75.0, 28.1),
        # Ford 2003, Obes Res 11:1223-1231 (NHANES 1999-2000): waist 98.9 and 92.1 cm; not
        # verified in print
        ("male", "waist_iliac_cm", 200.0, 98.9),
        ("female", "waist_iliac_cm", 200.0, 92.1),
    ],
)
def test_means_are_within_one_and_a_half_percent_of_the_published_ones(
    sex: Sex, name: str, oldest: float, published: float
) -> None:
    assert mean_of(sex, name, oldest) == pytest.approx(published, rel=0.015)


def test_every_cell_is_of_many_people_and_rises() -> None:
    for sex in SEXES:
        for name in MEASURES:
            assert len(TABLE[sex][name]) == len(DECADES)
            for people, limits in TABLE[sex][name]:
                assert people > 150
                assert list(limits) == sorted(set(limits))


def test_between_two_centiles_it_is_straight_line_and_outside_only_the_side_is_told() -> None:
    limits = TABLE["female"]["triceps_mm"][2][1]
    for centile, limit in zip(CENTILES, limits, strict=True):
        found = standing("triceps_mm", "female", 41.9, limit)
        assert found is not None
        assert found.centile == pytest.approx(centile)
        assert not found.is_below
        assert not found.is_above
    halfway = standing("triceps_mm", "female", 49.9, (limits[2] + limits[3]) / 2.0)
    assert halfway is not None
    assert halfway.centile == pytest.approx(37.5)
    low, high = (standing("triceps_mm", "female", 45.0, value) for value in (3.0, 60.0))
    assert low is not None
    assert high is not None
    assert (low.is_below, low.is_above, high.is_below, high.is_above) == (True, False, False, True)


def test_ages_go_with_their_decade_and_nobody_under_20_has_a_reference() -> None:
    assert [decade_of(age) for age in (19.9, 20, 29.9, 30, 79.9, 80, 97)] == [
        *(None, 20, 20, 30, 70, 80, 80),
    ]  # fmt: skip
    assert standing("weight_kg", "male", 19.0, 70.0) is None


def test_only_sites_of_the_same_landmark_have_a_reference() -> None:
    """Every other waist, fold and girth was measured elsewhere by the survey, or not at all."""
    assert set(MEASURES) - {"bmi"} <= set(BY_NAME)
    for name in (*BY_NAME, "bmi"):
        found = standing(name, "male", 45.0, 40.0)
        assert (found is not None) == (name in MEASURES), name
    where = {guide.name: guide.where for guide in GUIDES}
    assert "iliac crest" in where["waist_iliac_cm"]
    assert all("midway" in where[name] for name in ("arm_relaxed_girth_cm", "thigh_mid_girth_cm"))
    assert "largest" in where["calf_girth_cm"]
    assert "halfway" in where["triceps_mm"]
    assert "shoulder blade" in where["subscapular_mm"]

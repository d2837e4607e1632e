"""Bands: chances that sum to one, rise with the measure, and are what drawing true values gives."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import scipy

import foldspan
from foldspan.interpretation.classification import bands_of, likeliest, probabilities
from foldspan.interpretation.contradictions import contradictions
from foldspan.interpretation.indices import Indices, indices_of
from foldspan.interpretation.measured import Measured, chance_below
from foldspan.protocol.waist_sites import BRIDGES
from foldspan.quantities import BY_NAME
from foldspan.standards import ALL_STANDARDS, STANDARD_BY_KEY
from foldspan.standards.card import REACH

RANDOM = np.random.default_rng(5)


def indices(background: str = "", sex: str = "female", **values: float) -> Indices:
    """One person, with one reading error in a hundred of every value."""
    columns = {name: np.array([np.nan]) for name in BY_NAME}
    columns |= {name: np.array([value]) for name, value in values.items()}
    errors = {name: np.array([0.01 * value]) for name, value in values.items()}
    fat = {
        reference_method: Measured(np.array([mean]), np.array([4.0]))
        for reference_method, mean in (("density", 30.0), ("dxa", 34.0))
    }
    return indices_of(sex, columns, errors, np.array([background]), fat)  # type: ignore[arg-type]


@pytest.mark.parametrize("standard", ALL_STANDARDS, ids=lambda standard: standard.key)
def test_chances_sum_to_one_and_rise_with_the_measure(standard: Any) -> None:
    low, high = standard.limits[0], standard.limits[-1]
    values = np.sort(RANDOM.uniform(0.7 * low, 1.3 * high, 300))
    for share in (0.002, 0.05, 0.3):
        error = np.full(300, share * high)
        chances = probabilities(standard, Measured(values, error))
        assert chances.shape == (len(standard.labels), 300)
        assert np.all(chances >= -1e-12)
        assert np.allclose(chances.sum(axis=0), 1.0, atol=1e-12)
        above = np.cumsum(chances[::-1], axis=0)[:-1]  # at or above each limit
        assert np.all(np.diff(above, axis=1) >= -1e-12)
        wanted = scipy.stats.norm.sf(np.array(standard.limits)[::-1, None], values, error)
        assert np.allclose(above, wanted, atol=1e-9)


@pytest.mark.parametrize("standard", ALL_STANDARDS, ids=lambda standard: standard.key)
def test_a_value_without_error_is_wholly_in_its_own_band(standard: Any) -> None:
    near = [np.nextafter(limit, side) for limit in standard.limits for side in (0.0, 1e9)]
    values = np.array([*standard.limits, *near])
    chances = probabilities(standard, Measured(values, np.zeros_like(values)))
    for value, column in zip(values, chances.T, strict=True):
        assert sorted(column)[-2:] == [0.0, 1.0]
        assert standard.labels[int(column.argmax())] == standard.band(float(value))


def test_unknown_values_and_errors_have_no_chance() -> None:
    for value, error in ((np.nan, 1.0), (25.0, np.nan)):
        uncertain = Measured(np.array([value]), np.array([error]))
        assert np.isnan(probabilities(STANDARD_BY_KEY["who2000_bmi"], uncertain)).all()
    assert chance_below(5.0, np.array([5.0]), np.array([0.0]))[0] == 0.0


def drawn(count: int = 200_000) -> dict[str, Any]:
    """True bodies around one set of readings, every error drawn on its own."""

    def around(value: float) -> Any:
        return RANDOM.normal(value, 0.01 * value, count)

    return {
        "weight_kg": around(71.0), "height_cm": around(168.0), "waist_midpoint_cm": around(83.5),
        "hip_cm": around(99.0), "fat": RANDOM.normal(30.0, 4.0, count),
    }  # fmt: skip


def test_errors_of_indices_are_those_of_drawn_bodies() -> None:
    """Ratios and indices are not normal, so chances agree to 0.01, spreads to 2 %."""
    true = drawn()
    bmi = true["weight_kg"] / (true["height_cm"] / 100.0) ** 2
    values = {
        "who2000_bmi": bmi,
        "nice2022_waist_to_height": true["waist_midpoint_cm"] / true["height_cm"],
        "who2008_waist_female": true["waist_midpoint_cm"],
        "who2008_waist_to_hip_female": true["waist_midpoint_cm"] / true["hip_cm"],
        "espen2015_lean_female": bmi * (1.0 - true["fat"] / 100.0),
    }
    at_values = indices(
        age_years=40.0, weight_kg=71.0, height_cm=168.0, waist_midpoint_cm=83.5, hip_cm=99.0
    )
    for key, wanted in values.items():
        standard = STANDARD_BY_KEY[key]
        measured = at_values.of(standard)
        assert measured.se[0] == pytest.approx(wanted.std(), rel=0.02), key
        counted = np.bincount(standard.place(wanted), minlength=len(standard.labels)) / wanted.size
        assert np.allclose(probabilities(standard, measured)[:, 0], counted, atol=0.01), key


def test_fat_mass_index_is_on_the_scale_of_its_standard() -> None:
    measured = indices(age_years=40.0, weight_kg=71.0, height_cm=168.0)
    bmi = 71.0 / 1.68**2
    fat = measured.of(STANDARD_BY_KEY["kelly2009_female"])
    assert fat.value[0] == pytest.approx(bmi * 0.34)
    assert measured.of(STANDARD_BY_KEY["espen2015_lean_female"]).value[0] == pytest.approx(
        bmi * 0.70
    )
    assert np.isnan(measured.of(STANDARD_BY_KEY["kyle2003_percent_female"]).value[0])


@pytest.mark.parametrize(
    "bridge", BRIDGES, ids=lambda bridge: f"{bridge.sex}-{bridge.measured}-{bridge.wanted}"
)
def test_a_waist_stands_in_with_the_published_difference_and_spread(bridge: Any) -> None:
    measured = indices(sex=bridge.sex, age_years=40.0, **{bridge.measured: 90.0})
    got = measured.waist((bridge.wanted,))
    assert got.value[0] == pytest.approx(90.0 + bridge.difference)
    assert got.se[0] == pytest.approx(np.hypot(0.9, bridge.spread))
    assert got.stood_in is not None
    assert got.stood_in[0] == bridge.measured
    # the level that was measured needs no step
    assert measured.waist((bridge.measured,)).se[0] == pytest.approx(0.9)


def test_a_measured_level_is_preferred_to_one_that_stands_in() -> None:
    measured = indices(
        age_years=40.0, waist_narrowest_cm=78.0, waist_iliac_cm=88.0, height_cm=168.0
    )
    ratio = measured.of(STANDARD_BY_KEY["nice2022_waist_to_height"])  # midpoint, else narrowest
    assert ratio.value[0] == pytest.approx(78.0 / 168.0)
    assert ratio.stood_in is not None
    assert ratio.stood_in[0] == ""


def test_columns_are_averaged_only_where_no_background_has_one() -> None:
    body = {"age_years": 30.0, "weight_kg": 71.0, "height_cm": 168.0}
    fat = Measured(np.array([30.0]), np.array([4.0]))
    columns = {
        name: probabilities(STANDARD_BY_KEY[f"gallagher2000_female_20_39_{name}"], fat)[:, 0]
        for name in ("african_american", "asian", "white")
    }
    mean = np.mean(list(columns.values()), axis=0)
    for background, wanted in (
        ("", mean), ("latin_american", mean), ("white", columns["white"]),
        ("chinese", columns["asian"]), ("black_african", columns["african_american"]),
    ):  # fmt: skip
        band = next(
            band for band in bands_of(indices(background, **body)) if "gallagher" in band.key
        )
        assert list(band.probabilities.values()) == pytest.approx(list(wanted))
        assert len(band.rows) == (3 if wanted is mean else 1)
        assert band.key.startswith("gallagher2000_female_20_39")


@pytest.mark.parametrize("age", [18.0, 19.99, 20.0, 39.99, 40.0, 64.99, 65.0, 80.0, 95.0])
def test_standards_go_by_age(age: float) -> None:
    keys = [band.key for band in bands_of(indices(age_years=age, weight_kg=60.0, height_cm=165.0))]
    assert ("who2007_growth_female_18" in keys) == (age < 19)
    assert ("who2007_growth_female_19" in keys) == (19 <= age < 20)
    assert "who2000_bmi" in keys
    assert ("winter2014_bmi_older" in keys) == (age >= 65)
    assert any("gallagher" in key for key in keys) == (20 <= age < 80)
    assert any("nhanes2017" in key for key in keys) == (20 <= age < 60)


def test_nobody_is_held_against_what_is_for_others() -> None:
    for sex, other in (("female", "male"), ("male", "female")):
        for background in ("", "white", "chinese", "black_african", "other"):
            for bmi in (17.0, 22.0, 27.0, 33.0, 41.0):
                of_others = indices(
                    background, sex, age_years=45.0, weight_kg=bmi * 1.7**2, height_cm=170.0,
                    waist_midpoint_cm=90.0, waist_iliac_cm=92.0, hip_cm=100.0,
                )  # fmt: skip
                for band in bands_of(of_others):
                    standard = band.standard
                    assert standard.is_shown
                    assert standard.sex != other
                    assert background not in standard.not_for
                    if standard.backgrounds and not standard.is_averaged:
                        assert background in standard.backgrounds
                    low, high = standard.bmi
                    assert (low or 0.0) <= bmi + 1e-9
                    assert bmi < (high or np.inf)


VISIT = {
    "client": {"sex": "male", "age_years": 48},
    "mass_height": {"weight_kg": 92.4, "height_cm": 178.0},
    "skinfolds_mm": {"triceps": 14.0, "subscapular": 24.0},
    "girths_cm": {"waist_iliac": 101.0, "hip": 104.0},
}


def test_bands_and_flags_do_not_depend_on_the_scale_of_the_answer() -> None:
    """Each band stands on its own scale, so it is the same whatever scale was asked for."""
    visit = foldspan.Visit.from_dict(VISIT)
    by_density, by_dxa = (
        foldspan.health(visit, reference_method=reference_method)
        for reference_method in ("density", "dxa")
    )
    assert [band.standard for band in by_density.bands] == [band.standard for band in by_dxa.bands]
    for band, again in zip(by_density.bands, by_dxa.bands, strict=True):
        assert band.probabilities == pytest.approx(again.probabilities, abs=1e-9)
    assert [flag.to_dict() for flag in by_density.flags] == [
        flag.to_dict() for flag in by_dxa.flags
    ]
    result = foldspan.reconcile(visit, reference_method="density")
    fat = next(band for band in result.bands if band.standard.startswith("gallagher"))
    assert fat.value == pytest.approx(result.fat_percent.estimate)


def test_standards_contradict_only_where_nothing_is_left_open() -> None:
    measured = indices(
        age_years=40.0, weight_kg=75.0, height_cm=168.0, waist_midpoint_cm=74.0, hip_cm=99.0
    )
    bands = bands_of(measured)
    apart = contradictions(bands)
    assert [found.way for found in apart] == ["above"]
    assert "who2000_bmi" in [band.key for band in apart[0].saying]
    assert "nice2022_waist_to_height" in [band.key for band in apart[0].denying]
    assert "measures" in apart[0].reasons
    for found in apart:
        assert all(REACH[band.likeliest] == "a" for band in found.saying)
        assert all("a" not in REACH[band.likeliest] for band in found.denying)
        assert not any(band.is_about_even for band in (*found.saying, *found.denying))
    usual = tuple(band for band in bands if "u" in REACH[band.likeliest])
    assert contradictions(usual) == ()
    tossed = tuple(replace(band, probabilities={"above": 0.5, "usual": 0.5}) for band in bands[:1])
    assert contradictions((*tossed, *usual)) == ()


def test_the_likeliest_band_is_the_first_of_the_largest_chances() -> None:
    chances = np.random.default_rng(4).dirichlet(np.ones(5), 300).T.round(1)
    place, chance = likeliest(chances)
    np.testing.assert_array_equal(place, np.argmax(chances, axis=0))
    np.testing.assert_array_equal(chance, chances.max(axis=0))

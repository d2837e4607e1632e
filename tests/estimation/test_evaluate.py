"""Evaluation: derivatives against finite differences, and the step from what a formula predicts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, SIRI, conversion_by_key, equation_by_key
from foldspan.catalogue.card import FAMILIES, Array, Bmi, Equation, Sum
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.evaluate import (
    arguments,
    fat_percents,
    gradients,
    needed,
    percents,
    points_per_unit,
    to_fat_percent,
)
from foldspan.estimation.pipeline import reconcile_people
from foldspan.quantities import MEASURED, Sex
from foldspan.reference.population import reference_people

SOME = 7
BMI_CARD = next(
    card for card in EQUATIONS if card.inputs == (Bmi(), "age_years") and card.sex == "male"
)
MASS_CARD = next(card for card in EQUATIONS if card.predicts == "fat_free_mass")


def columns_of(card: Equation, count: int = SOME) -> dict[str, Array]:
    """Reference people of a sex that the card serves."""
    sex: Sex = "female" if card.sex == "female" else "male"
    return {name: values[:count].copy() for name, values in reference_people(sex).items()}


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_gradients_equal_central_differences(card: Equation) -> None:
    """Step 1e-5 of the value: truncation and rounding both stay below 1e-6 points a unit."""
    columns = columns_of(card)
    exact: dict[str, Array] = {}
    for name, slope in gradients(card, columns, SIRI):
        exact[name] = exact.get(name, 0.0) + slope
    assert set(exact) == set(needed(card)) - {"age_years"}
    assert any(np.isfinite(slope).any() for slope in exact.values())
    for name, slope in exact.items():
        step = 1e-5 * columns[name]
        high, low = (
            fat_percents((card,), {**columns, name: columns[name] + sign * step}, SIRI)[0][0]
            for sign in (1.0, -1.0)
        )
        np.testing.assert_allclose(slope, (high - low) / (2.0 * step), rtol=1e-5, atol=1e-6)


@pytest.mark.parametrize("key", ["siri1961", "brozek1963", "schutte1984"])
def test_one_unit_of_density_is_worth_the_slope_of_the_conversion(key: str) -> None:
    conversion = conversion_by_key(key)
    card = equation_by_key("jackson_pollock1978_male_7site")
    density = np.array([1.03, 1.05, 1.08])
    slope = (conversion.fat_percent(density + 1e-6) - conversion.fat_percent(density - 1e-6)) / 2e-6
    points = points_per_unit(card, density, np.full(3, 80.0), conversion)
    np.testing.assert_allclose(points, np.abs(slope), rtol=1e-7)


@pytest.mark.parametrize(
    ("predicts", "output", "expected"),
    [
        ("fat_percent", 25.0, 25.0),
        ("fat_mass", 20.0, 25.0),
        ("fat_free_mass", 60.0, 25.0),
        ("adipose_mass", 25.0, 25.0),  # 25 kg adipose tissue, 80 % of it fat: 20 kg of 80
        ("density", 1.05, 21.4286),  # Siri (1961): 495 / 1.05 - 450 = 21.43
    ],
)
def test_every_kind_of_prediction_ends_in_percent(
    predicts: str, output: float, expected: float
) -> None:
    card = replace(BMI_CARD, predicts=predicts)
    percent = to_fat_percent(card, np.array([output]), np.array([80.0]), SIRI)
    assert percent[0] == pytest.approx(expected, abs=5e-5)


def test_one_kilogram_is_worth_its_share_of_the_weight() -> None:
    card = replace(MASS_CARD, see_unit="mass", see=1.0)
    columns = columns_of(card)
    _, se = fat_percents((card,), columns, SIRI)
    np.testing.assert_allclose(se[0], 100.0 / columns["weight_kg"])


def test_arguments_are_sums_indices_and_plain_values() -> None:
    card = replace(BMI_CARD, inputs=(Sum("triceps_mm", "calf_mm"), Bmi(), "age_years"))
    columns = {
        "triceps_mm": np.array([12.0]),
        "calf_mm": np.array([9.5]),
        "weight_kg": np.array([81.0]),
        "height_cm": np.array([180.0]),
        "age_years": np.array([40.0]),
    }
    assert [float(value[0]) for value in arguments(card, columns)] == [21.5, 25.0, 40.0]


def test_a_mass_needs_the_weight_even_where_the_formula_does_not() -> None:
    card = replace(BMI_CARD, predicts="fat_mass", inputs=("waist_iliac_cm",))
    assert needed(card) == ("waist_iliac_cm", "weight_kg")
    assert needed(BMI_CARD) == ("weight_kg", "height_cm", "age_years")


@pytest.mark.parametrize("length", [0, 1, 3, 50])
def test_any_number_of_people(length: int) -> None:
    for sex in ("female", "male"):
        cards = [card for card in EQUATIONS if card.sex in (sex, "both")]
        percent, se = fat_percents(cards, columns_of(cards[0], length), SIRI)
        assert percent.shape == se.shape == (len(cards), length)


def test_what_was_not_measured_stays_unknown() -> None:
    """NaN in one person's fold: that person's estimate is NaN, the neighbours' are as before."""
    card = equation_by_key("jackson_pollock1978_male_7site")
    columns = columns_of(card)
    whole, _ = fat_percents((card,), columns, SIRI)
    columns["thigh_mm"][2] = np.nan
    part, se = fat_percents((card,), columns, SIRI)
    assert np.isnan(part[0, 2])
    assert np.isnan(se[0, 2])
    np.testing.assert_array_equal(np.delete(part[0], 2), np.delete(whole[0], 2))


def test_conversion_matters_only_to_densities() -> None:
    people = columns_of(BMI_CARD)
    cards = [card for card in EQUATIONS if card.sex == "male" and card.audience == "general"]
    siri, _ = fat_percents(cards, people, SIRI)
    brozek, _ = fat_percents(cards, people, conversion_by_key("brozek1963"))
    for row, card in enumerate(cards):
        same = np.allclose(siri[row], brozek[row], equal_nan=True)
        assert same == (card.predicts != "density")


def test_somebody_without_a_height_gets_the_range_of_what_was_measured() -> None:
    """Beside people whose height is known; the weights within every method add up to one."""
    cards = cards_for("male")
    columns = {name: values[:3].copy() for name, values in reference_people("male").items()}
    columns["height_cm"][1] = np.nan
    errors = {name: np.ones(3) for name in MEASURED}
    answer = reconcile_people(cards, People("male", columns, errors, np.full(3, "", dtype=object)))
    assert np.isfinite(answer.combined.se).all()
    methods = np.array([card.method for card in cards])
    for row, family in enumerate(FAMILIES):
        within = answer.weights[methods == family].sum(axis=0)
        np.testing.assert_allclose(within, np.isfinite(answer.families[row]).astype(float))


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_an_equation_gives_nothing_without_a_measurement_that_it_reads(card: Equation) -> None:
    """So a card that everybody lacks a measurement of need not be worked out at all."""
    for form in filter(None, (card.formula, card.table)):
        for name in set(needed(card)) & set(MEASURED):
            columns = columns_of(card)
            assert np.isfinite(percents([replace(card, formula=form)], columns, SIRI)).any()
            columns[name] = np.full(columns[name].shape, np.nan)
            assert np.isnan(percents([replace(card, formula=form)], columns, SIRI)).all()

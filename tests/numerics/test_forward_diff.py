"""Values with slopes, held against the complex step and against each operation written out."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import Equation
from foldspan.estimation.evaluate import Inputs, printed, to_fat_percent, traced
from foldspan.numerics.forward_diff import Dual, scaled
from foldspan.reference.population import reference_people

X = np.array([0.3, 1.0, 2.5])
STEP = 1e-20
FORMS = {
    "sum": lambda x: 3.0 + x + x - 1.0,
    "less": lambda x: np.array([4.0, 5.0, 6.0]) - x,
    "product": lambda x: 2.0 * x * (x + 1.0) * np.array([1.0, 2.0, 3.0]),
    "quotient": lambda x: (x + 1.0) / (2.0 + x * x) - 3.0 / x + x / 2.0,
    "array by it": lambda x: np.array([1.0, 2.0, 3.0]) / x,
    "power": lambda x: x**2 + x**1.5 - x**-1,
    "logs": lambda x: np.log(x) + np.log10(x) * 3.0,
    "roots": lambda x: np.sqrt(x) + np.exp(-x) + np.square(x),
    "bent": lambda x: np.where(np.real(x) <= 1.0, 2.0 * x, 7.0 - x),
    "half known": lambda x: np.where(np.real(x) <= 1.0, x * x, 4.0),
}


@pytest.mark.parametrize("name", FORMS)
def test_slopes_are_those_of_the_complex_step(name: str) -> None:
    form: Any = FORMS[name]
    found = form(Dual(X, {"x": 1.0}))
    np.testing.assert_array_equal(found.value, form(X))
    expected = np.imag(form(X + STEP * 1j)) / STEP
    np.testing.assert_allclose(np.broadcast_to(found.slopes["x"], X.shape), expected, rtol=1e-13)


def test_two_inputs_keep_their_slopes_apart() -> None:
    first, second = Dual(X, {"a": 1.0}), Dual(2.0 * X, {"b": 1.0})
    product = first * second - second / first
    np.testing.assert_allclose(product.slopes["a"], 2.0 * X + 2.0 / X)
    np.testing.assert_allclose(product.slopes["b"], X - 1.0 / X)


def test_a_function_that_is_not_known_is_refused() -> None:
    with pytest.raises(TypeError):
        np.sin(Dual(X, {"x": 1.0}))  # type: ignore[call-overload]


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_every_card_by_the_complex_step(card: Equation) -> None:
    sex: Any = "male" if card.sex == "both" else card.sex
    inputs = Inputs({name: column[:200] for name, column in reference_people(sex).items()})
    with np.errstate(invalid="ignore"):
        found, output = traced(card, inputs, SIRI)
        plain, plain_output = printed(card, inputs, SIRI)
        np.testing.assert_array_equal(found.percent, plain)
        np.testing.assert_array_equal(output, plain_output)
        whole = np.isfinite(plain)
        weight = inputs.columns["weight_kg"].astype(complex)
        for given, slope in scaled(found.slopes, found.points_per_output).items():
            stepped = [inputs.value(given).astype(complex) for given in card.inputs]
            stepped = [
                stepped_input + STEP * 1j if name == given else stepped_input
                for name, stepped_input in zip(card.inputs, stepped, strict=True)
            ]
            mass = weight + STEP * 1j if given == "weight_kg" else weight
            expected = np.imag(to_fat_percent(card, card.formula(*stepped), mass, SIRI)) / STEP
            got = np.broadcast_to(slope, plain.shape)
            np.testing.assert_allclose(got[whole], expected[whole], rtol=1e-10, atol=1e-12)

"""A formula as a card page writes it: read back and worked out, it gives what the catalogue gives.

A formula of a new kind needs its way of being written in ``api/cards/formula.py``.
"""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest

from foldspan.api.cards.formula import CONSTANT, WrittenFormula, written
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Bmi, Equation, Sum

# values that no formula is out of its depth with, each its own
VALUES = {"age_years": 37.0, "weight_kg": 78.3, "height_cm": 174.5, "neck_cm": 38.5}
SIGNS = str.maketrans({"−": "-", "×": "*", "÷": "/"})
RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹·", "0123456789.")
FUNCTIONS: dict[str, Any] = {"ln": math.log, "lg": math.log10, "__builtins__": {}}


def value_of(name: str) -> float:
    if name.startswith("is_"):
        return float(name in ("is_male", "is_asian"))
    number = 1.0 + sum(map(ord, name)) % 7
    return VALUES.get(name, number + (90.0 if name.endswith("_cm") else 8.0))


def argument(given: object) -> float:
    if isinstance(given, Sum):
        return sum(map(value_of, given.names))
    if isinstance(given, Bmi):
        return value_of("weight_kg") / (value_of("height_cm") / 100.0) ** 2
    return value_of(str(given))


def read_back(text: str, known: dict[str, float]) -> float:
    """Work out a formula as somebody with a pocket calculator would."""
    for name in sorted(known, key=len, reverse=True):
        text = re.sub(rf"(?<![\w.]){name}(?![a-z])", f"({known[name]!r})", text)
    text = text.replace("log₁₀", "lg").translate(SIGNS)
    text = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹·]+", lambda found: f"**{found[0].translate(RAISED)}", text)
    return float(eval(text, FUNCTIONS))


def known_of(card: Equation, form: WrittenFormula) -> dict[str, float]:
    known = {name: argument(given) for name, given in form.symbols}
    if form.rows:
        (row,) = [
            row for (low, high), row in zip(form.ages, form.rows, strict=True)
            if (low or 0) <= VALUES["age_years"] < (high or 200) + 1
        ]  # fmt: skip
        known |= {name: float(number) for name, number in zip(form.columns, row, strict=True)}
    return known


def holds(condition: str, known: dict[str, float]) -> bool:
    """Whether a branch is the one to take: ``folds ≤ 35``."""
    if not condition:
        return True
    name, sign, limit = condition.split()
    return (known[name] <= float(limit)) == (sign == "≤")


def printed(card: Equation) -> float:
    given = [np.array([argument(name)]) for name in card.inputs]
    return float(card.printed_formula(*given)[0])


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_a_formula_read_back_gives_what_the_catalogue_gives(card: Equation) -> None:
    form = written(card)
    known = known_of(card, form)
    (branch,) = [branch for branch in form.branches if holds(branch.condition, known)]
    assert read_back(branch.text, known) == pytest.approx(printed(card), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_the_coefficients_times_their_terms_add_up_to_it(card: Equation) -> None:
    form = written(card)
    known = known_of(card, form)
    for branch in form.branches:
        parts = [
            read_back(number, {}) * (1.0 if term == CONSTANT else read_back(term, known))
            for term, number in branch.terms
        ]
        assert sum(parts) == pytest.approx(read_back(branch.text, known), rel=1e-9)


def test_numbers_are_written_as_papers_print_them() -> None:
    for card in EQUATIONS:
        said = " ".join(branch.text for branch in written(card).branches)
        assert not re.search(r"\de[-+]?\d", said), card.key
        assert "is_" not in said
        assert "np." not in said


def test_every_symbol_of_a_formula_is_explained() -> None:
    for card in EQUATIONS:
        form = written(card)
        explained = {name for name, _ in form.symbols} | set(form.columns)
        for branch in form.branches:
            words = re.sub("|".join(sorted(explained, key=len, reverse=True)), "", branch.text)
            left = set(re.findall(r"[A-Za-z]+", words.replace("log₁₀", ""))) - {"ln"}
            assert not left, (card.key, left)

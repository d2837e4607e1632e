"""Second typing: hold every card against numbers typed by somebody who has not seen the card."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from foldspan.catalogue import conversion_by_key, equation_by_key
from foldspan.catalogue.card import Bmi, Sum

PEOPLE = 400
SPANS = {"mm": (4.0, 45.0), "kg": (45.0, 130.0), "age": (16.0, 80.0)}
CENTIMETRES = {
    "height_cm": (150.0, 198.0),
    "neck_cm": (28.0, 48.0),
    "hip_cm": (80.0, 130.0),
    "wrist_girth_cm": (13.0, 21.0),
    "forearm_girth_cm": (19.0, 38.0),
    "ankle_girth_cm": (18.0, 29.0),
    "arm_relaxed_girth_cm": (22.0, 45.0),
    "arm_flexed_girth_cm": (22.0, 46.0),
    "calf_girth_cm": (28.0, 48.0),
    "knee_girth_cm": (32.0, 48.0),
    "thigh_upper_girth_cm": (44.0, 80.0),
    "thigh_mid_girth_cm": (40.0, 70.0),
    "elbow_breadth_cm": (5.0, 9.0),
    "knee_breadth_cm": (7.5, 12.0),
    "wrist_breadth_cm": (4.2, 7.0),
}


@dataclass(frozen=True)
class Typed:
    """One equation as the second typist read it; keyword names of ``formula`` are quantities.

    ``se`` is in the unit of ``see_unit``: ``density``, ``fat_percent`` or ``mass``. None means
    that no source gives one.
    """

    formula: Callable[..., Any]
    predicts: str
    reference_method: str
    sex: str
    se: float | None
    see_unit: str = "fat_percent"
    ages: tuple[float, float] | None = None
    n: int | None = None


@dataclass(frozen=True)
class TypedConversion:
    """One density-to-fat conversion, ``100 (c1 / D - c2)``, as the second typist read it."""

    c1: float
    c2: float
    sex: str
    ages: tuple[float, float]


def plausible_people(names: list[str], seed: int) -> dict[str, np.ndarray]:
    """Draw independent values inside wide plausible spans, indicators as 0 or 1."""
    rng = np.random.default_rng(seed)
    drawn = {}
    for name in names:
        if name.startswith("is_"):
            drawn[name] = rng.integers(0, 2, PEOPLE).astype(float)
            continue
        unit = "age" if name == "age_years" else name.rsplit("_", 1)[1]
        low, high = SPANS.get(unit) or CENTIMETRES.get(name, (60.0, 120.0))
        drawn[name] = rng.uniform(low, high, PEOPLE)
    return drawn


def from_card(key: str, people: dict[str, np.ndarray]) -> np.ndarray:
    """Evaluate a card's formula without the evaluation engine, so that the two stay apart."""
    arguments = []
    for given in equation_by_key(key).inputs:
        if isinstance(given, Sum):
            arguments.append(sum(people[name] for name in given.names))
        elif isinstance(given, Bmi):
            arguments.append(people["weight_kg"] / (people["height_cm"] / 100.0) ** 2)
        else:
            arguments.append(people[given])
    return equation_by_key(key).printed_formula(*arguments)


def double_entry(typed: Mapping[str, Typed]) -> Callable[[str], None]:
    """Build the test that compares every typed equation with its card."""

    @pytest.mark.parametrize("key", sorted(typed))
    def test_card_equals_second_typing(key: str) -> None:
        entry, card = typed[key], equation_by_key(key)
        names = list(inspect.signature(entry.formula).parameters)
        measured = {name for name in names if not name.startswith("is_")}
        assert measured == set(card.quantities)
        people = plausible_people(sorted(set(names) | set(card.quantities)), seed=len(key))
        if "is_male" in people:
            people["is_female"] = 1.0 - people["is_male"]
        second = entry.formula(**{name: people[name] for name in names})
        np.testing.assert_allclose(from_card(key, people), second, rtol=1e-9, atol=1e-9)
        assert (card.predicts, card.reference_method, card.sex) == (
            entry.predicts,
            entry.reference_method,
            entry.sex,
        )
        assert card.see == pytest.approx(entry.se) if entry.se is not None else card.see is None
        if entry.se is not None:
            assert card.see_unit == entry.see_unit
        assert card.limits.get("age_years") == entry.ages
        assert card.n == entry.n

    return test_card_equals_second_typing


def double_entry_conversions(typed: Mapping[str, TypedConversion]) -> Callable[[str], None]:
    """Build the test that compares every typed conversion with its card."""

    @pytest.mark.parametrize("key", sorted(typed))
    def test_conversion_equals_second_typing(key: str) -> None:
        entry, card = typed[key], conversion_by_key(key)
        assert (card.c1, card.c2) == (entry.c1, entry.c2)
        assert (card.sex, card.ages) == (entry.sex, entry.ages)

    return test_conversion_equals_second_typing

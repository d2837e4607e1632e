"""Evaluate: cards × columns → fat percentages and their gradients, whole arrays at a time.

Everything here is arithmetic on float64 arrays of one length, one a quantity, in canonical units.
NaN means not measured and passes through. One person is a batch of one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Conversion, Equation, Input, Sum
from foldspan.numerics.forward_diff import Dual, Slope, Slopes, added, of_some, scaled

Columns = Mapping[str, Array]

# Adipose tissue seen by magnetic resonance holds about 80 % fat by weight (not verified in print).
FAT_IN_ADIPOSE = 0.80
MASSES = frozenset({"fat_mass", "fat_free_mass", "adipose_mass"})


def needed(card: Equation) -> tuple[str, ...]:
    """Names of the quantities a card needs to end in a fat percentage."""
    return _needed(card.inputs, card.predicts in MASSES)


@cache
def _needed(inputs: tuple[Input, ...], is_mass: bool) -> tuple[str, ...]:
    behind = [(given,) if isinstance(given, str) else given.names for given in inputs]
    names = dict.fromkeys(
        name for quantities in behind for name in quantities if not name.startswith("is_")
    )
    return (*names, "weight_kg") if is_mass and "weight_kg" not in names else tuple(names)


class Inputs:
    """The arguments of all formulas for one batch of people, each worked out once."""

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        self._values: dict[Input, Array] = {}
        self._duals: dict[Input, Dual] = {}
        self._missing: dict[str, Array | None] = {}
        self._unmeasured: dict[str, bool] = {}

    @property
    def count(self) -> int:
        """How many people."""
        return int(self.columns["weight_kg"].shape[0])

    def value(self, given: Input) -> Array:
        """Return one argument of a formula; KeyError if a column is not there at all."""
        if isinstance(given, str):
            return self.columns[given]
        if given not in self._values:
            self._values[given] = (
                self._total(given) if isinstance(given, Sum) else given.of(self.columns)
            )
        return self._values[given]

    def _total(self, given: Sum) -> Array:
        # fold by fold: numpy adds up the folds of one person in another order than those of many
        total = self.columns[given.names[0]]
        for name in given.names[1:]:
            total = total + self.columns[name]
        return total

    def dual(self, given: Input) -> Dual:
        """Return one argument of a formula with its slope towards itself."""
        if given not in self._duals:
            self._duals[given] = Dual(self.value(given), {given: 1.0})
        return self._duals[given]

    def missing(self, name: str) -> Array | None:
        """Return who lacks a quantity, bool of shape (N,); None where nobody does."""
        if name not in self._missing:
            unknown = np.isnan(self.columns[name])
            self._missing[name] = unknown if unknown.any() else None
        return self._missing[name]

    def is_unmeasured(self, name: str) -> bool:
        """Whether nobody has a quantity."""
        if name not in self._unmeasured:
            missing = self.missing(name)
            self._unmeasured[name] = missing is not None and bool(missing.all())
        return self._unmeasured[name]

    def unknown(self, names: Sequence[str]) -> Array | None:
        """Return who lacks any of some quantities, bool of shape (N,); None where nobody does."""
        return union([self.missing(name) for name in names])


def union(masks: Sequence[Array | None]) -> Array | None:
    """Return who is in any of the masks; None stands for nobody."""
    anybody: Array | None = None
    for mask in masks:
        if mask is not None:
            anybody = mask if anybody is None else anybody | mask
    return anybody


def is_measured(given: Input) -> bool:
    """Whether an argument carries an error: age and indicators are known without one."""
    return not isinstance(given, str) or (given != "age_years" and not given.startswith("is_"))


def arguments(card: Equation, columns: Columns) -> list[Array]:
    """Return the formula's arguments in order; KeyError if a column is not there at all."""
    inputs = Inputs(columns)
    return [inputs.value(given) for given in card.inputs]


def to_fat_percent(card: Equation, output: Array, weight: Array, conversion: Conversion) -> Array:
    """Turn what a formula predicts into body fat [%], for N people."""
    if card.predicts == "density":
        return conversion.fat_percent(output)
    if card.predicts == "fat_percent":
        return output
    fat: dict[str, Callable[[], Array]] = {
        "fat_mass": lambda: output,
        "adipose_mass": lambda: FAT_IN_ADIPOSE * output,
        "fat_free_mass": lambda: weight - output,
    }
    return 100.0 * fat[card.predicts]() / weight


def printed(card: Equation, inputs: Inputs, conversion: Conversion) -> tuple[Array, Array]:
    """Return what one card prints for N people: body fat [%], and the output of its formula."""
    output = np.asarray(card.formula(*map(inputs.value, card.inputs)), dtype=float)
    percent = to_fat_percent(card, output, inputs.columns["weight_kg"], conversion)
    return np.asarray(percent), output


@dataclass(frozen=True, slots=True, repr=False)
class Traced:
    """What one card prints for N people, and how it moves with every measured input.

    The slope of ``percent`` is ``points_per_output`` times the slope in ``slopes``: after a
    conversion from density all slopes change by one factor, and whoever adds them up needs it once.
    """

    percent: Array
    slopes: Slopes
    points_per_output: Slope

    def some(self, rows: Array) -> Traced:
        """Return what it prints for some of the people, by their numbers."""
        return Traced(
            self.percent.take(rows),
            {given: of_some(slope, rows) for given, slope in self.slopes.items()},
            of_some(self.points_per_output, rows),
        )


def traced(card: Equation, inputs: Inputs, conversion: Conversion) -> tuple[Traced, Array]:
    """Return the same as ``printed``, to the last bit, with slopes towards every measured input."""
    given: list[Any] = [
        inputs.dual(argument) if is_measured(argument) else inputs.value(argument)
        for argument in card.inputs
    ]
    output: Any = card.formula(*given)
    weight = inputs.columns["weight_kg"]
    percent = to_fat_percent(card, output.value, weight, conversion)
    slopes, points_per_output = (
        output.slopes,
        _points_per_output(card, output.value, weight, conversion),
    )
    if card.predicts in MASSES:
        # a mass is divided by the weight: a heavier person of the same mass has less of it
        slopes = added(slopes, {"weight_kg": output.value / -weight})
    return Traced(percent, slopes, points_per_output), output.value


def _points_per_output(
    card: Equation, output: Array, weight: Array, conversion: Conversion
) -> Slope:
    """Points of fat for one more unit of a formula's output, whatever moves it."""
    unit = "mass" if card.predicts in MASSES else card.predicts
    # the denser the body and the larger the lean mass, the less fat there is
    is_less = card.predicts in ("density", "fat_free_mass")
    return _points(card, unit, -100.0 if is_less else 100.0, output, weight, conversion)


def percents(cards: Sequence[Equation], people: Columns | Inputs, conversion: Conversion) -> Array:
    """Return what every card prints for every person, body fat [%], (E, N); see ``fat_percents``.

    ``people`` are columns, or the arguments made of them where several lists of cards are asked.
    """
    inputs = people if isinstance(people, Inputs) else Inputs(people)
    percent = np.empty((len(cards), inputs.count))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for row, card in enumerate(cards):
            percent[row], _ = printed(card, inputs, conversion)
    return percent


def fat_percents(
    cards: Sequence[Equation], columns: Columns, conversion: Conversion
) -> tuple[Array, Array]:
    """Evaluate every card for every person.

    Parameters
    ----------
    cards : sequence of Equation
        E cards.
    columns : mapping of str to array
        Float arrays of one length N in canonical units, with the indicators ``is_…``.
    conversion : Conversion
        Applied to the cards that predict density.

    Returns
    -------
    percent, se : array, array
        Body fat [%] and the printed standard error in points of fat, each of shape (E, N); NaN
        where an input is missing or the formula has no value. ``se`` is NaN where none is printed.
    """
    inputs = Inputs(columns)
    percent = np.full((len(cards), inputs.count), np.nan)
    se = np.full((len(cards), inputs.count), np.nan)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for row, card in enumerate(cards):
            percent[row], output = printed(card, inputs, conversion)
            if card.see is not None:
                per_unit = points_per_unit(card, output, columns["weight_kg"], conversion)
                se[row] = card.see * per_unit
    return percent, se


def points_per_unit(card: Equation, output: Array, weight: Array, conversion: Conversion) -> Slope:
    """Return how many points of fat one unit of the printed error is worth, (N,) or one for all."""
    return _points(card, card.see_unit, 100.0, output, weight, conversion)


def _points(
    card: Equation, unit: str, hundred: float, output: Array, weight: Array, conversion: Conversion
) -> Slope:
    """Points of fat for one unit of density or mass, with the sign of ``hundred``; 1 for a point."""
    if unit == "density":
        return hundred * conversion.c1 / output**2
    if unit == "mass":
        return hundred * (FAT_IN_ADIPOSE if card.predicts == "adipose_mass" else 1.0) / weight
    return 1.0


def gradients(
    card: Equation, people: Columns | Inputs, conversion: Conversion
) -> Iterator[tuple[str, Array]]:
    """Yield ``(quantity, d fat% / d quantity)`` for every input of a card, each of shape (N,).

    ``people`` are columns, or the arguments made of them where several cards are asked.

    A quantity may be yielded more than once; the parts add up. Derivatives are exact to rounding; see
    ``numerics/forward_diff.py``. Age and indicators are known without error and are left out.
    """
    inputs = people if isinstance(people, Inputs) else Inputs(people)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        tracing, _ = traced(card, inputs, conversion)
    yield from gradients_of(tracing, inputs.columns)


def gradients_of(tracing: Traced, columns: Columns) -> Iterator[tuple[str, Array]]:
    """Yield what ``gradients`` yields, for a card traced for people with these columns."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for given, slope in scaled(tracing.slopes, tracing.points_per_output).items():
            whole = np.where(np.isnan(tracing.percent), np.nan, slope)  # no value, no slope
            assert isinstance(given, str | Sum | Bmi)
            yield from spread_slope(given, whole, columns)


def spread_slope(given: Input, slope: Array, columns: Columns) -> Iterator[tuple[str, Array]]:
    """Yield the quantities behind an argument of a formula, each with its part of the slope."""
    if isinstance(given, str):
        yield given, slope
    elif isinstance(given, Sum):
        yield from ((name, slope) for name in given.names)
    else:
        weight, height = columns["weight_kg"], columns["height_cm"]
        # the index is weight over height squared, height in metres
        of_weight = slope / (height / 100.0) ** 2
        yield "weight_kg", of_weight
        yield "height_cm", of_weight * weight * -2.0 / height

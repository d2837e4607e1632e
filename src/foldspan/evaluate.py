"""Evaluate: cards × columns → fat percentages and their gradients, whole arrays at a time.

Everything here is arithmetic on float64 arrays of one length, one a quantity, in canonical units.
NaN means not measured and passes through. One person is a batch of one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Conversion, Equation, Sum

Columns = Mapping[str, Array]

# Adipose tissue seen by magnetic resonance holds about 80 % fat by weight (from memory).
FAT_IN_ADIPOSE = 0.80
# Complex step: the imaginary part carries the derivative without any rounding of a difference.
STEP = 1e-20
MASSES = frozenset({"fat_mass", "lean_mass", "adipose_mass"})


def needed(card: Equation) -> tuple[str, ...]:
    """Names of the quantities a card needs to end in a fat percentage."""
    names = card.quantities
    if card.predicts in MASSES and "weight_kg" not in names:
        return (*names, "weight_kg")
    return names


def arguments(card: Equation, columns: Columns) -> list[Array]:
    """Return the formula's arguments in order; KeyError if a column is not there at all."""
    built: list[Array] = []
    for given in card.inputs:
        if isinstance(given, Sum):
            built.append(np.sum([columns[name] for name in given.names], axis=0))
        elif isinstance(given, Bmi):
            built.append(columns["weight_kg"] / (columns["height_cm"] / 100.0) ** 2)
        else:
            built.append(columns[given])
    return built


def to_fat_percent(card: Equation, output: Array, weight: Array, conversion: Conversion) -> Array:
    """Turn what a formula predicts into body fat [%]."""
    if card.predicts == "density":
        return conversion.fat_percent(output)
    if card.predicts == "fat_percent":
        return output
    fat = {
        "fat_mass": output,
        "adipose_mass": FAT_IN_ADIPOSE * output,
        "lean_mass": weight - output,
    }[card.predicts]
    return np.asarray(100.0 * fat / weight)


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
    length = columns["weight_kg"].shape[0]
    percent = np.full((len(cards), length), np.nan)
    se = np.full((len(cards), length), np.nan)
    weight = columns["weight_kg"]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for row, card in enumerate(cards):
            output = np.asarray(card.formula(*arguments(card, columns)), dtype=float)
            percent[row] = to_fat_percent(card, output, weight, conversion)
            if card.se is not None:
                se[row] = card.se * points_per_unit(card, output, weight, conversion)
    return percent, se


def points_per_unit(card: Equation, output: Array, weight: Array, conversion: Conversion) -> Array:
    """Return how many points of fat one unit of the printed error is worth, shape (N,)."""
    if card.se_unit == "density":
        return 100.0 * conversion.c1 / output**2
    if card.se_unit == "mass":
        fat = FAT_IN_ADIPOSE if card.predicts == "adipose_mass" else 1.0
        return 100.0 * fat / weight
    return np.ones_like(weight)


def gradients(
    card: Equation, columns: Columns, conversion: Conversion
) -> Iterator[tuple[str, Array]]:
    """Yield ``(quantity, d fat% / d quantity)`` for every input of a card, each of shape (N,).

    A quantity may be yielded more than once; the parts add up. Derivatives are taken by the complex
    step, exact to rounding. Age and indicators are known without error and are left out.
    """
    given = [np.asarray(value, dtype=complex) for value in arguments(card, columns)]
    weight = np.asarray(columns["weight_kg"], dtype=complex)

    def derivative(values: list[Array], mass: Array) -> Array:
        output = card.formula(*values)
        return np.imag(to_fat_percent(card, output, mass, conversion)) / STEP

    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for place, source in enumerate(card.inputs):
            if source == "age_years" or (isinstance(source, str) and source.startswith("is_")):
                continue
            stepped = list(given)
            stepped[place] = stepped[place] + STEP * 1j
            slope = derivative(stepped, weight)
            if isinstance(source, Sum):
                yield from ((name, slope) for name in source.names)
            elif isinstance(source, Bmi):
                bmi = np.real(given[place])
                yield "weight_kg", slope * bmi / columns["weight_kg"]
                yield "height_cm", slope * -2.0 * bmi / columns["height_cm"]
            else:
                yield source, slope
        if card.predicts in MASSES:
            yield "weight_kg", derivative(given, weight + STEP * 1j)

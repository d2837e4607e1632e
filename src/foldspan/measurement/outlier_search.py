"""Outlier search: which reading, written down another way, would make the whole visit fit far better.

Every reading is compared with the ways in which numbers go wrong on the way from the tape to the
page: another unit, a decimal point, two digits swapped, a wrong tens digit, a misreading by 2 mm or
1 cm, two sites exchanged. Each such version of the visit is weighed by how well its measurements go
together in one body (``reference.body_dimensions``) and how well the repeats of the site agree. No
equation is asked, so a slip is not confused with an equation's error.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from foldspan.measurement.accepted_values import middle, value_and_se
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, CENTIMETRES_PER, KILOGRAMS_PER, Quantity, Sex
from foldspan.reference.body_dimensions import joint_log_likelihood

# What a version must gain (natural log of the odds) before a reading is called a likely slip. Set on
# invented clients without a slip, of whom fewer than 1 in 20 may be asked back.
SUSPECT_FROM = 4.0
# Versions within this of the best (natural log of the odds, a factor of 3) are as good as it.
TIED_WITHIN = 1.1
# Handicap of a kind of slip (natural log): the rarer, or the more ways there are to try it (ours).
HANDICAP = {
    "unit": 0.0,
    "decimal": 0.0,
    "digits": 0.0,
    "tens": 1.5,
    "misread": 1.0,
    "exchanged": 1.5,
}
# the same slip in every repeat of a site: only units come in all of them alike
REPEATED_HANDICAP = {"unit": 0.0, "decimal": 1.0, "digits": 2.0, "tens": 2.0, "misread": 2.0}
OTHER_UNITS = {"mm": ("cm",), "cm": ("in",), "kg": ("lb", "st")}
MISREAD = {"skinfold": 2.0, "girth": 1.0, "breadth": 0.5, "height": 1.0, "mass": 1.0}
TENS = 10.0
LEAST_MOVE = 0.1  # what an accepted value has to move by, in the unit it was typed in


@dataclass(frozen=True, slots=True, repr=False)
class Suspect:
    """One way to write a visit down that fits better."""

    kind: str
    """Kind of slip: digits exchanged, another unit, …."""
    names: tuple[str, ...]
    """One quantity, or the two that were exchanged."""
    values: tuple[float, ...]
    """Accepted values as they would be, same order [units of the quantities]."""
    gain: float
    """Natural logarithm of the odds for it, handicap taken off [no unit]."""
    reading: int = 0
    """Place of the reading that slipped, or was exchanged at both sites [1 to 3]; 0 for all."""
    moves_an_accepted_value: bool = True
    """Whether an accepted value would move."""


@dataclass(frozen=True, slots=True)
class _Version:
    kind: str
    names: tuple[str, ...]
    values: tuple[float, ...]
    errors: tuple[float, ...]
    repeats: float
    handicap: float
    reading: int


def suspect_readings(
    sex: Sex,
    age: float,
    readings: Mapping[str, tuple[float, ...]],
    units: Mapping[str, str] | None = None,
) -> tuple[Suspect, ...]:
    """Return for every site the version of it that fits best, the most likely first.

    Parameters
    ----------
    sex : str
        ``female`` or ``male``.
    age : float
        In years.
    readings : mapping of str to tuple of float
        One to three readings of each quantity in canonical units; leave out readings that stopped at
        the end of a scale.
    units : mapping of str to str, optional
        Unit in which a site was typed, where it is not the canonical one: digits slip there.

    Returns
    -------
    tuple of Suspect
        At most one a site, or pair of sites. Those with a gain below ``SUSPECT_FROM`` are no reason
        to doubt a reading.
    """
    names = tuple(readings)
    if len(names) < 2:
        return ()
    accepted = [value_and_se(name, given) for name, given in readings.items()]
    logs = np.log([value for value, _ in accepted])
    noise = np.array([se / value for value, se in accepted])
    known_units = units or {}
    before = dict(zip(names, (value for value, _ in accepted), strict=True))
    versions = [
        *_single_versions(readings, sex, known_units),
        *_exchanges(readings, sex),
        *_exchanged_readings(readings, sex),
    ]
    tried = np.tile(logs, (len(versions) + 1, 1))
    errors = np.tile(noise, (len(versions) + 1, 1))
    places = {name: place for place, name in enumerate(names)}
    changed = [
        (row, places[name], value, error)
        for row, version in enumerate(versions, start=1)
        for name, value, error in zip(version.names, version.values, version.errors, strict=True)
    ]
    if changed:
        rows, columns, values, theirs = zip(*changed, strict=True)
        tried[rows, columns] = np.log(values)
        errors[rows, columns] = theirs
    fits, _ = joint_log_likelihood(sex, names, tried, errors, age)
    scatter = {name: _repeats(name, given) for name, given in readings.items()}
    best: dict[tuple[str, ...], Suspect] = {}
    for version, better in zip(versions, (fits[1:] - fits[0]).tolist(), strict=True):
        gain = better - version.handicap
        gain += version.repeats - sum(scatter[name] for name in version.names)
        known = best.get(version.names)
        if gain > 0.0 and (known is None or gain > known.gain):
            best[version.names] = Suspect(
                version.kind, version.names, version.values, gain, version.reading,
                _changes_something(version, before, known_units),
            )  # fmt: skip
    return tuple(sorted(best.values(), key=lambda suspect: -suspect.gain))


def _changes_something(
    version: _Version, before: Mapping[str, float], units: Mapping[str, str]
) -> bool:
    """Whether a version moves an accepted value by what is printed of it: a tenth, as typed.

    A reading put right may leave the median where it is; to measure that again would change nothing.
    """
    return any(
        abs(value - before[name]) / _unit_size(units.get(name, ""), BY_NAME[name]) >= LEAST_MOVE
        for name, value in zip(version.names, version.values, strict=True)
    )


def doubted(suspects: tuple[Suspect, ...]) -> tuple[Suspect, ...]:
    """Return the readings to doubt: the best suspect and those as good as it, if likely enough.

    One that leaves every accepted value where it is gives nothing to do.
    """
    likely = [
        suspect
        for suspect in suspects
        if suspect.gain >= SUSPECT_FROM and suspect.moves_an_accepted_value
    ]
    return tuple(suspect for suspect in likely if suspect.gain >= likely[0].gain - TIED_WITHIN)


def _repeats(name: str, readings: tuple[float, ...]) -> float:
    """Log likelihood of the scatter of a site's repeats, up to what all versions share."""
    if len(readings) == 1:
        return 0.0
    total, squares = 0.0, 0.0
    for reading in readings:
        total += reading
    middle = total / len(readings)
    for reading in readings:
        squares += (reading - middle) ** 2
    error = technical_error(name).of(middle)
    return -(len(readings) - 1) * math.log(error) - squares / (2.0 * error**2)


def _version(
    kind: str, name: str, readings: tuple[float, ...], handicap: float, reading: int
) -> _Version:
    value, se = value_and_se(name, readings)
    repeats = _repeats(name, readings)
    return _Version(kind, (name,), (value,), (se / value,), repeats, handicap, reading)


def _single_versions(
    readings: Mapping[str, tuple[float, ...]], sex: Sex, units: Mapping[str, str]
) -> Iterator[_Version]:
    """Every reading of every site in every other way it may have been meant."""
    for name, given in readings.items():
        quantity = BY_NAME[name]
        span, per = quantity.possible(sex), _unit_size(units.get(name, ""), quantity)
        meant = [dict(_meant(reading, quantity, span, per)) for reading in given]
        for place, others in enumerate(meant):
            for value, kind in others.items():
                changed = (*given[:place], value, *given[place + 1 :])
                order = place + 1 if len(given) > 1 else 0
                yield _version(kind, name, changed, HANDICAP[kind], order)
        if len(given) == 1:
            continue
        kinds = {kind for others in meant for kind in others.values()}
        for kind in kinds:
            for step in _steps(kind, given, quantity, per):
                if all(_within(value, span) for value in step):
                    handicap = HANDICAP[kind] + REPEATED_HANDICAP[kind]
                    yield _version(kind, name, step, handicap, 0)


def _unit_size(unit: str, quantity: Quantity) -> float:
    """How many canonical units the unit that was typed holds."""
    table = KILOGRAMS_PER if quantity.unit == "kg" else CENTIMETRES_PER
    return table[unit] / table[quantity.unit] if unit else 1.0


def _steps(
    kind: str, given: tuple[float, ...], quantity: Quantity, per: float
) -> Iterator[tuple[float, ...]]:
    """All readings of a site changed by the same kind of slip; ``per`` as in ``_unit_size``."""
    if kind == "unit":
        yield from (tuple(value * f for value in given) for f in _unit_factors(quantity))
    elif kind == "decimal":
        yield from (tuple(value * f for value in given) for f in (10.0, 0.1))
    elif kind == "digits":
        swapped = [[per * number for number in _swaps(value / per)] for value in given]
        for place in range(min(len(numbers) for numbers in swapped)):
            yield tuple(numbers[place] for numbers in swapped)
    else:
        size = TENS * per if kind == "tens" else MISREAD[quantity.kind]
        yield from (tuple(value + sign * size for value in given) for sign in (1.0, -1.0))


def _meant(
    value: float, quantity: Quantity, span: tuple[float, float], per: float
) -> Iterator[tuple[float, str]]:
    """Values that may have been meant, the likelier kinds last so that they name the slip."""
    ways: list[tuple[float, str]] = []
    for sign in (1.0, -1.0):
        ways.append((value + sign * MISREAD[quantity.kind], "misread"))
        ways.append((value + sign * TENS * per, "tens"))
    ways += [(per * number, "digits") for number in _swaps(value / per) if per * number != value]
    ways += [(value * factor, "decimal") for factor in (10.0, 0.1)]
    ways += [(value * factor, "unit") for factor in _unit_factors(quantity)]
    for alternative, kind in ways:
        if _within(alternative, span):
            yield round(alternative, 6), kind


def _unit_factors(quantity: Quantity) -> tuple[float, ...]:
    """What a number typed in another unit has to be multiplied by, and the way back."""
    table = KILOGRAMS_PER if quantity.unit == "kg" else CENTIMETRES_PER
    factors = [table[unit] / table[quantity.unit] for unit in OTHER_UNITS[quantity.unit]]
    return (*factors, *(1.0 / factor for factor in factors))


def _swaps(value: float) -> list[float]:
    """The number with two neighbouring digits swapped, each way; a decimal point stays in place."""
    text = f"{value:.1f}".removesuffix(".0")
    places = [place for place, sign in enumerate(text) if sign != "."]
    swaps = []
    for left, right in pairwise(places):
        signs = list(text)
        signs[left], signs[right] = signs[right], signs[left]
        swaps.append(float("".join(signs)))
    return swaps


def _within(value: float, span: tuple[float, float]) -> bool:
    """Whether a value lies in the span of what is possible, its ends included."""
    return span[0] <= value <= span[1]


def _exchanges(readings: Mapping[str, tuple[float, ...]], sex: Sex) -> Iterator[_Version]:
    """Every two sites of one kind in each other's place."""
    middles = {name: middle(given) for name, given in readings.items()}
    spans = {name: BY_NAME[name].possible(sex) for name in readings}
    for first_site, second_site in combinations(readings, 2):
        if BY_NAME[first_site].kind != BY_NAME[second_site].kind:
            continue
        if not (
            _within(middles[second_site], spans[first_site])
            and _within(middles[first_site], spans[second_site])
        ):
            continue
        first, first_se = value_and_se(first_site, readings[second_site])
        second, second_se = value_and_se(second_site, readings[first_site])
        yield _Version(
            "exchanged",
            (first_site, second_site),
            (first, second),
            (first_se / first, second_se / second),
            _repeats(first_site, readings[second_site])
            + _repeats(second_site, readings[first_site]),
            HANDICAP["exchanged"],
            0,
        )


def _exchanged_readings(readings: Mapping[str, tuple[float, ...]], sex: Sex) -> Iterator[_Version]:
    """One round of two sites in each other's place, where that brings the readings of both together.

    Both are written down one after the other, so it is the same reading of both.
    """
    spans = {name: BY_NAME[name].possible(sex) for name in readings}
    for first_site, second_site in combinations(readings, 2):
        first, second = readings[first_site], readings[second_site]
        if (
            BY_NAME[first_site].kind != BY_NAME[second_site].kind
            or min(len(first), len(second)) < 2
        ):
            continue
        for place in range(min(len(first), len(second))):
            swapped = (
                (*first[:place], second[place], *first[place + 1 :]),
                (*second[:place], first[place], *second[place + 1 :]),
            )
            if _spread(swapped[0]) >= _spread(first) or _spread(swapped[1]) >= _spread(second):
                continue
            if not (
                _within(second[place], spans[first_site])
                and _within(first[place], spans[second_site])
            ):
                continue
            now = value_and_se(first_site, swapped[0]), value_and_se(second_site, swapped[1])
            yield _Version(
                "exchanged",
                (first_site, second_site),
                (now[0][0], now[1][0]),
                (now[0][1] / now[0][0], now[1][1] / now[1][0]),
                _repeats(first_site, swapped[0]) + _repeats(second_site, swapped[1]),
                HANDICAP["exchanged"],
                place + 1,
            )


def _spread(readings: tuple[float, ...]) -> float:
    return max(readings) - min(readings)

"""Applicability: does an equation fit this person, and how far outside its sample is she?

Two answers for every card and person: flag bits that say why, and the standard deviation [points of
fat] that the distance outside adds. Some flags keep an equation out; others only make it vaguer. The
growth is smooth: no cliff at the edge of a sample, and no equation is used at face value beyond it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import IntFlag
from functools import cache
from typing import NamedTuple

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Equation, Input, Sum
from foldspan.estimation.evaluate import Inputs
from foldspan.numerics.forward_diff import Slope


class Fit(IntFlag):
    """Why an equation is left out, or used with a wider error. Names are the codes in results."""

    WRONG_SEX = 1
    MISSING_INPUT = 2
    OUTSIDE_AGE = 4
    OUTSIDE_SPAN = 8
    SITE_DIFFERS = 16
    DISPUTED = 32
    SCALE_END = 64
    WAIST_BRIDGED = 128
    YOUTH_ONLY = 256
    ATHLETES_ONLY = 512
    OBESITY_ONLY = 1024
    CLINICAL_ONLY = 2048
    OTHER_ANCESTRY = 4096
    SAME_SAMPLE = 8192
    NO_SOUND_VALUE = 16384


LEAVES_OUT = (
    Fit.WRONG_SEX
    | Fit.MISSING_INPUT
    | Fit.DISPUTED
    | Fit.YOUTH_ONLY
    | Fit.ATHLETES_ONLY
    | Fit.OBESITY_ONLY
    | Fit.CLINICAL_ONLY
    | Fit.OTHER_ANCESTRY
    | Fit.SAME_SAMPLE
    | Fit.NO_SOUND_VALUE
)
"""Flags that keep an equation out of the range; the others widen its error."""

# Points of fat added per decade outside the ages of the sample. Equations without an age term are
# known to drift by 1-1.4 points a decade at one BMI (Meeuwsen 2010); the rest is our choice.
POINTS_PER_DECADE = 1.5
# Points of fat added per whole width of the sample's span beyond its edge, for sums of folds and BMI.
# Quadratic sums turn over about one width beyond (Nevill 2008); the points are our choice.
POINTS_PER_SPAN = 8.0
# A fold taken at another variant of its site: ± 10 % of the reading (our choice, no source).
SITE_VARIANT_SHARE = 0.10
# An ancestry term left at its reference group because nothing was stated: the terms in print are worth
# 0.3 to 2.5 points [points].
ANCESTRY_UNSTATED = 1.0
# A formula that returns less or more than this is far outside its sample.
# It fades out over so many points before it comes to that, and counts for nothing below this share.
SOUND_PERCENT, SOUND_FADE = (-5.0, 95.0), 5.0
LEAST_PRECISION = 1e-6
# Equations for large bodies come in from this body mass index and this much of their own answer on,
# over these widths (the widths are ours).
OBESE_BMI, OBESE_BMI_FADE = 30.0, 1.5
OBESE_PERCENT, OBESE_PERCENT_FADE = 30.0, 3.0
# Flags are kept as small numbers: there is one for every equation and person.
Bits = np.int16


Who = Array | bool
"""For whom something holds, bool of shape (N,); True stands for everybody and False for nobody."""


def for_both(first: Who, second: Who) -> Who:
    """Return for whom two things hold."""
    if isinstance(first, bool):
        return second if first else False
    if isinstance(second, bool):
        return first if second else False
    return np.asarray(first & second)


def for_first_only(first: Who, second: Who) -> Who:
    """Return for whom one thing holds and the other does not."""
    return for_both(first, not second if isinstance(second, bool) else ~second)


ANCESTRY_INDICATORS = {
    "black": "is_black",
    "asian": "is_asian",
    "japanese": "is_asian",
    "singaporean": "is_asian",
    "mexican_american": "is_mexican_american",
    "hispanic": "is_hispanic",
    "other": "is_other_ancestry",
}
"""Self-described ancestry → the indicator that published formulas know; others have no term."""


def reads_ancestry(card: Equation) -> bool:
    """Whether a formula has a term for ancestry."""
    return _read_ancestry(card.inputs)


@cache
def _read_ancestry(inputs: tuple[Input, ...]) -> bool:
    return not set(inputs).isdisjoint(ANCESTRY_INDICATORS.values())


def rising(value: Array, start: float, width: float) -> Array:
    """Return 0 up to ``start``, 1 from ``start + width`` on and a straight line between; NaN as 0."""
    share = np.asarray(((value - start) / width).clip(0.0, 1.0))
    return np.where(np.isnan(share), 0.0, share)


def beyond(value: Array, low: float, high: float) -> Array:
    """Return how far ``value`` lies outside ``[low, high]``, in its own unit; 0 inside."""
    return np.maximum(np.maximum(low - value, value - high), 0.0)


def _limited(card: Equation, name: str) -> Input | None:
    """The argument of a formula that an entry of ``card.limits`` limits; None if it has none such."""
    if name == "bmi":
        return Bmi()
    if name == "sum":
        return next((given for given in card.inputs if isinstance(given, Sum)), None)
    return name


class Outside(NamedTuple):
    """How far N people lie outside a card's limits.

    ``flags`` are bits of ``Fit``, None where nobody is outside; ``variance`` what sums and sizes outside
    add [points²], ``by_age`` what age does.
    """

    flags: Array | None
    variance: Slope
    by_age: Slope


class Limits:
    """How far N people lie outside limits; cards of one sample share them, so each is asked once."""

    def __init__(self, inputs: Inputs) -> None:
        self.inputs = inputs
        self._spans: dict[Input, tuple[float, float, bool]] = {}
        self._known: dict[tuple[Input, float, float], tuple[Array, Array] | None] = {}

    def value(self, card: Equation, name: str) -> Array | None:
        """The people's values for one entry of ``card.limits``; None where they cannot be known."""
        given = _limited(card, name)
        if given is None or (isinstance(given, str) and given not in self.inputs.columns):
            return None
        return self.inputs.value(given)

    def outside(self, card: Equation) -> Outside:
        """Return flag bits and the variance [points²] that limits add."""
        flags: Array | None = None
        variance: Slope = 0.0
        by_age: Slope = 0.0
        for name, (low, high) in card.limits.items():
            limit = self._beyond(card, name, low, high)
            if limit is None:
                continue
            flags = limit[0] if flags is None else flags | limit[0]
            if name == "age_years":
                by_age = limit[1]
            else:
                variance = variance + limit[1]
        return Outside(flags, variance, by_age)

    def _beyond(
        self, card: Equation, name: str, low: float, high: float
    ) -> tuple[Array, Array] | None:
        """Flag bits and variance of one limit; None where nobody is outside."""
        given = _limited(card, name)
        if given is None:
            return None
        if (given, low, high) not in self._known:
            value = self.value(card, name)
            cost = None if value is None else self._cost(name, given, value, low, high)
            self._known[given, low, high] = cost
        return self._known[given, low, high]

    def _cost(
        self, name: str, given: Input, value: Array, low: float, high: float
    ) -> tuple[Array, Array] | None:
        upper = high + 1.0 if name == "age_years" else high  # the last completed year belongs
        distance = self._distance(given, value, low, upper)
        if distance is None:
            return None
        out = distance != 0.0
        if name == "age_years":
            flag, points = Fit.OUTSIDE_AGE, POINTS_PER_DECADE / 10.0
        else:
            flag, points = Fit.OUTSIDE_SPAN, POINTS_PER_SPAN / (high - low)
        distance *= points
        distance *= distance
        return out * Bits(flag), distance

    def _distance(self, given: Input, value: Array, low: float, high: float) -> Array | None:
        """How far values lie outside, up or down, 0 where unknown; None where nobody's does."""
        if given not in self._spans:
            least = np.fmin.reduce(value, initial=np.inf)
            most = np.fmax.reduce(value, initial=-np.inf)
            self._spans[given] = float(least), float(most), bool(np.isnan(value).any())
        least, most, with_unknown = self._spans[given]
        if low <= least and most <= high:
            return None
        distance: Array = value - value.clip(low, high)
        if with_unknown:
            np.putmask(distance, np.isnan(distance), 0.0)
        return distance


def outside(card: Equation, columns: Mapping[str, Array]) -> tuple[Array, Array]:
    """Flags and added standard deviation for one card.

    Parameters
    ----------
    card : Equation
        Its ``limits`` are read.
    columns : mapping of str to array
        Float arrays of length N.

    Returns
    -------
    flags : int array of shape (N,)
        Bits of ``Fit``.
    added : float array of shape (N,)
        Standard deviation [points of fat]; contributions of several limits add up in quadrature.
    """
    inputs = Inputs(columns)
    found = Limits(inputs).outside(card)
    if found.flags is None:
        return np.zeros(inputs.count, dtype=Bits), np.zeros(inputs.count)
    return found.flags, np.sqrt(found.variance + found.by_age)


def beyond_limits(card: Equation, columns: Mapping[str, Array]) -> dict[str, float]:
    """How far person 0 lies outside each limit of a card, in its own unit; only what lies outside.

    Keys are those of ``card.limits``: a quantity, ``"sum"`` [mm] or ``"bmi"`` [kg/m²].
    """
    distances: dict[str, float] = {}
    limits = Limits(Inputs(columns))
    for name, (low, high) in card.limits.items():
        value = limits.value(card, name)
        upper = high + 1.0 if name == "age_years" else high
        distance = 0.0 if value is None else float(np.fmax(beyond(value, low, upper), 0.0)[0])
        if distance > 0.0:
            distances[name] = distance
    return distances


_FOR_NO_ADULT = {"youth": Fit.YOUTH_ONLY, "clinical": Fit.CLINICAL_ONLY}


class TargetPopulation:
    """For whom cards were made, asked of N people; every question once."""

    def __init__(self, inputs: Inputs, ancestry: Array) -> None:
        self.inputs, self.ancestry = inputs, ancestry
        self._stated = set(ancestry.tolist())
        self._asked: dict[str, Who] = {}
        self._unstated: Array | None = None

    def _once(self, question: str, ask: Callable[[], Who]) -> Who:
        if question not in self._asked:
            answer = ask()
            is_all = answer if isinstance(answer, bool) else bool(answer.all())
            self._asked[question] = True if is_all else answer
        return self._asked[question]

    def others(self, word: str) -> Who:
        """Return who describes an ancestry other than ``word``, or none; True stands for all."""
        return self._once(word, lambda: word not in self._stated or self.ancestry != word)

    def unstated(self) -> Array:
        """Return who describes no ancestry, bool of shape (N,)."""
        if self._unstated is None:
            stated = self.others("")
            self._unstated = np.zeros(self.ancestry.shape, dtype=bool)
            np.logical_not(stated, out=self._unstated)
        return self._unstated

    @staticmethod
    def never(card: Equation) -> Fit | None:
        """Return why no adult may use a card, whoever she is; None where some may."""
        return Fit.DISPUTED if card.status == "disputed" else _FOR_NO_ADULT.get(card.audience)

    def wrong(self, card: Equation) -> dict[Fit, Who]:
        """Return for whom a card was not made, by flag; True stands for everybody."""
        excluded: dict[Fit, Who] = {}
        columns = self.inputs.columns
        if card.status == "disputed":
            excluded[Fit.DISPUTED] = True
        if card.audience in _FOR_NO_ADULT:
            excluded[_FOR_NO_ADULT[card.audience]] = True
        if card.audience == "athlete":
            excluded[Fit.ATHLETES_ONLY] = self._once(
                "athlete", lambda: ~(columns["is_athlete"] > 0)
            )
        if card.audience == "obese":
            small = self._once("obese", lambda: ~(self.inputs.value(Bmi()) > OBESE_BMI))
            excluded[Fit.OBESITY_ONLY] = small
        if card.ancestry:
            excluded[Fit.OTHER_ANCESTRY] = self.others(card.ancestry)
        return excluded


class Applicability:
    """What many cards ask of N people: arguments of formulas, limits, for whom; each is answered once.

    ``ancestry`` (N,) is what they stated, "" for nothing.
    """

    def __init__(self, inputs: Inputs, ancestry: Array) -> None:
        self.inputs = inputs
        self.limits = Limits(inputs)
        self.target_population = TargetPopulation(inputs, ancestry)


@cache
def codes(bits: int) -> tuple[str, ...]:
    """Return the names of the flags in ``bits``, in lower case, as results carry them."""
    return tuple(str(flag.name).lower() for flag in Fit if bits & flag.value)

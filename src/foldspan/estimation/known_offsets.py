"""Known offsets: what an equation is known to read off, taken off, for people whom the survey covers.

The equations stay as printed. A public survey shows how far each of those it could be tried on reads
off by age, and how it scatters around that (``reference/equation_errors.py``, always on the DXA
scale); of skinfold equations also how far by what they give (``reference/proportional_bias.py``). Both
belong to the error model. What is known of the survey's people says less of others: it
fades out beyond the ages and sizes that were seen, and athletes are none of its people.

Where a client states a background for which the survey knows more
(``reference/background_offsets.py``), that is taken off as well, with its own error; for whoever
states none, or another, nothing changes.

On the scale of underwater weighing no equation is levelled. The offsets hold the gap between the two
reference methods, which is nearer six points than three in lean young people. Tried on people weighed
under water, levelling all made young women worse, and levelling those built on DXA alone made the 249
men worse (bias +2.6 instead of +2.5 points, CRPS 3.18 instead of 3.15).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import Array, Bmi, Conversion, Equation, ReferenceMethod
from foldspan.estimation.applicability import POINTS_PER_DECADE
from foldspan.numerics.forward_diff import Slope
from foldspan.quantities import Sex
from foldspan.reference.background_offsets import SHIFTS, Shift
from foldspan.reference.equation_errors import DECADE, MIDDLE_AGE, SURVEY_ERRORS
from foldspan.reference.proportional_bias import PROPORTIONAL_BIAS, TEN_POINTS, ProportionalBias

# Ages and body mass indices the survey saw, and how far beyond they fade out (the widths are ours).
AGES, AGES_FADE = (18.0, 85.0), 20.0
SIZES, SIZES_FADE = (16.0, 45.0), 4.0
# Own part of the error of carrying a levelled equation to new people [points]: how far its mean error
# in one of the survey's five groups of self-described background lies from that in all, root mean
# square over equations and groups (``tests/learning/learn_carrying.py``).
LEVELLED_OWN = 0.6
# Least standard deviation of an equation around its curve [points].
LEAST_SPREAD = 1.5


@dataclass(frozen=True, slots=True, repr=False)
class Levelled:
    """What levelling makes of one equation for N people, each (N,).

    ``offset`` is what to take off [points], ``variance`` the equation's own without the part that
    readings explain [points²]; ``slope`` what is left of a point that the equation goes up, one where
    the offset is by age alone.
    """

    offset: Array
    variance: Array
    slope: Slope = 1.0


class Levelling:
    """Levels the equations of N people of one sex.

    ``ancestry`` (N,), or (1,) for all alike, is what they stated, "" for nothing.
    """

    def __init__(
        self,
        columns: Mapping[str, Array],
        sex: Sex,
        reference_method: ReferenceMethod,
        conversion: Conversion = SIRI,
        *,
        ancestry: Array | None = None,
        as_printed: bool = False,
    ) -> None:
        self._sex, self._is_on = sex, reference_method == "dxa" and not as_printed
        self._conversion = conversion.key
        self._columns, self._ancestry = columns, ancestry

    # worked out where an equation asks: where fat is stated by density, none does

    @cached_property
    def share(self) -> Array:
        """How far each of N people is the survey's, 0 to 1, (N,)."""
        return survey_share(self._columns)

    @cached_property
    def tapered(self) -> Array:
        """Numbers of the people who are not the survey's in full."""
        return np.flatnonzero(self.share != 1.0)

    @cached_property
    def _decades(self) -> Array:
        return (self._columns["age_years"].clip(*AGES) - MIDDLE_AGE) / DECADE

    @cached_property
    def _is_athlete(self) -> Array:
        return self._columns["is_athlete"] > 0

    @cached_property
    def _beyond(self) -> Array | None:
        """Variance by ages beyond the survey's [points²], (N,); None where it counts for nobody."""
        age = self._columns["age_years"]
        beyond = POINTS_PER_DECADE / DECADE * (age - age.clip(*AGES))
        is_counted = bool(beyond.any() or self._is_athlete.any())
        return beyond**2 if is_counted else None

    @cached_property
    def _stated(self) -> dict[str, Array]:
        """Who states a background for which more is known, 0 or 1, by its word."""
        if self._ancestry is None:
            return {}
        stated = {word: self._ancestry == word for word in SHIFTS}
        return {word: who.astype(float) for word, who in stated.items() if who.any()}

    @property
    def has_background(self) -> bool:
        """Whether anybody states a background for which more is known."""
        return bool(self._stated)

    def applies_to(self, card: Equation) -> bool:
        """Whether an equation is levelled: only where fat is stated as DXA would read it.

        What predicts density was tried with the conversion of Siri; with another it is another equation.
        """
        if not self._is_on or (card.predicts == "density" and self._conversion != SIRI.key):
            return False
        return self._sex in SURVEY_ERRORS.get(card.key, {})

    def of(self, card: Equation, percent: Array) -> Levelled | None:
        """Return what levelling makes of one equation, None where it is not levelled.

        ``percent`` (N,) is what it gives as printed.
        """
        if not self.applies_to(card):
            return None
        proportional = PROPORTIONAL_BIAS.get(card.key, {}).get(self._sex)
        seen = proportional or SURVEY_ERRORS[card.key][self._sex]
        offset = np.asarray(_on_curve(seen.curve, self._decades))
        slope: Slope = 1.0
        if proportional is not None:
            more, slope = _by_percent(proportional, percent)
            offset += more
        at_middle, by_decade = seen.spread
        variance = self._decades * by_decade
        variance += at_middle - seen.reading
        np.maximum(variance, LEAST_SPREAD**2, out=variance)
        for who, shift in self._shifts(card):
            offset = offset + who * shift.points
            variance += who * shift.se**2
        return Levelled(offset, variance, slope)

    def _shifts(self, card: Equation) -> list[tuple[Array, Shift]]:
        """Who states a background for which one equation is known to read off, and by how much."""
        return [
            (who, SHIFTS[word][card.key][self._sex])
            for word, who in self._stated.items()
            if self._sex in SHIFTS[word].get(card.key, {})
        ]

    def for_background(self, card: Equation) -> Array | float:
        """Return the part of ``offset`` [points] that rests on a stated background, faded, (N,)."""
        if not self.applies_to(card):
            return 0.0
        return sum((who * shift.points * self.share for who, shift in self._shifts(card)), 0.0)

    def offset(self, card: Equation, percent: Array) -> Array | float:
        """Return what is taken off one equation [points], faded, (N,); 0 where it is not levelled."""
        levelled = self.of(card, percent)
        return 0.0 if levelled is None else levelled.offset * self.share

    def slope(self, card: Equation, percent: Array) -> Slope:
        """Return what is left of a point that one equation goes up, faded, (N,) or one."""
        levelled = self.of(card, percent)
        return 1.0 if levelled is None else 1.0 - self.share * (1.0 - levelled.slope)

    def by_age(self, variance: Slope) -> Slope:
        """Return what of ``variance`` by ages beyond its sample a levelled equation keeps [points²].

        The survey tried it at every age, and its curve and the scatter around it are by age. What is
        left is how far an age lies beyond the survey's; in athletes, who are none of its people, all.
        """
        if self._beyond is None:
            return 0.0
        return np.where(self._is_athlete, variance, np.minimum(variance, self._beyond))

    def taper(self, levelled: Levelled, printed: Slope, carrying: float) -> Slope:
        """Blend into the printed error where people are not the survey's; return the carrying error.

        Between the two it is open how much of the offset holds: that is part of the variance.
        """
        if not self.tapered.size:
            return LEVELLED_OWN
        share = self.share[self.tapered]
        whole = levelled.offset[self.tapered]
        levelled.offset[self.tapered] = whole * share
        if isinstance(levelled.slope, np.ndarray):
            levelled.slope[self.tapered] = 1.0 - share * (1.0 - levelled.slope[self.tapered])
        printed_variance = printed[self.tapered] if isinstance(printed, np.ndarray) else printed
        variance = share * levelled.variance[self.tapered] + (1.0 - share) * printed_variance
        levelled.variance[self.tapered] = variance + share * (1.0 - share) * whole**2
        blended = np.full(self.share.shape, LEVELLED_OWN)
        blended[self.tapered] = np.sqrt(share * LEVELLED_OWN**2 + (1.0 - share) * carrying**2)
        return blended


def offset_at(card: Equation, sex: Sex, age: float) -> float | None:
    """Return how much one equation reads too high at an age [points], None where it is not known."""
    seen = SURVEY_ERRORS.get(card.key, {}).get(sex)
    if seen is None:
        return None
    decades = (min(max(age, AGES[0]), AGES[1]) - MIDDLE_AGE) / DECADE
    return float(_on_curve(seen.curve, decades))


def _on_curve(curve: tuple[float, float, float], decades: Slope) -> Slope:
    """Points that an equation reads too high, so many decades from the middle age."""
    level, slope, bend = curve
    return level + decades * (slope + decades * bend)


def _by_percent(seen: ProportionalBias, percent: Array) -> tuple[Array, Array]:
    """Points that an equation reads too high by what it gives, and what is left of a point it goes up.

    Beyond the span of the survey the first is held, so that the equation climbs as printed.
    """
    slope, bend = seen.steep
    held = percent.clip(*seen.span)
    is_inside = held == percent
    held -= seen.middle
    held /= TEN_POINTS
    np.nan_to_num(held, copy=False)  # where it gives nothing, nothing is added
    levelled_slope = 1.0 - is_inside * ((slope + 2.0 * bend * held) / TEN_POINTS)
    return held * (slope + held * bend), levelled_slope


def survey_share(columns: Mapping[str, Array]) -> Array:
    """How far each of N people is one of the survey's kind, 0 to 1; an unknown size counts in full."""
    with np.errstate(invalid="ignore", divide="ignore"):
        bmi = Bmi().of(columns)
    share = _inside(columns["age_years"], AGES, AGES_FADE)
    share *= _inside(np.where(np.isnan(bmi), SIZES[0], bmi), SIZES, SIZES_FADE)
    share *= columns["is_athlete"] <= 0
    return share


def _inside(value: Array, span: tuple[float, float], width: float) -> Array:
    """One inside a span, falling to zero over a width beyond either end."""
    distance = value - value.clip(*span)
    return np.asarray(np.maximum(1.0 - np.abs(distance) / width, 0.0))

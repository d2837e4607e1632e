"""Fitting: which equation fits whom, what it prints, and what the misfit of its sample adds.

Cards are taken in their order, because within a lineage the first usable one speaks. A card that
nobody in the batch can use need not be worked out; whether it is changes nothing for the others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan import applicability
from foldspan.applicability import (
    SOUND_PERCENT,
    Audience,
    Bits,
    Fit,
    Limits,
    Who,
    Witnesses,
    both,
    but,
    reads_ancestry,
)
from foldspan.catalogue.card import Array, Conversion, Equation
from foldspan.dual import Slope
from foldspan.evaluate import (
    Inputs,
    Traced,
    gradients,
    needed,
    points_per_unit,
    printed,
    traced,
)
from foldspan.people import People, Settings
from foldspan.waist_bridging import Bridged


@dataclass(frozen=True, slots=True)
class Fitted:
    """One card that was worked out for N people.

    ``percent`` is what it prints, ``se`` its printed error in points, NaN where none is printed;
    ``variance`` [points²] what the distance outside its sample adds; ``traced`` holds its slopes where
    somebody uses the card, and ``everybody`` says that all do.
    """

    row: int
    percent: Array
    se: Slope
    variance: Slope
    traced: Traced | None
    usable: Array
    everybody: bool


class Fitting:
    """The cards of one batch of people, one after the other; ``flags`` (E, N) fills on the way."""

    def __init__(
        self, cards: Sequence[Equation], people: People, settings: Settings, bridged: Bridged
    ) -> None:
        self.people, self.settings, self.bridged = people, settings, bridged
        self.inputs = Inputs(bridged.columns)
        self.flags = np.zeros((len(cards), self.inputs.count), dtype=Bits)
        self._everybody = np.ones(self.inputs.count, dtype=bool)
        self._limits = Limits(self.inputs)
        self._audience = Audience(self.inputs, people.ancestry)
        self._witnesses = Witnesses()
        self._plain = {card.lineage for card in cards if not reads_ancestry(card)}

    def fit(self, row: int, card: Equation, *, every: bool) -> Fitted | None:
        """Return a card as worked out; None if nobody can use it and not ``every`` card is wanted."""
        bits, spoken = self.flags[row], self._witnesses.spoken_for(card)
        if not every and self._is_for_nobody(card, bits, spoken):
            return None
        names = needed(card)
        may_use = self._marked(card, bits, names)
        is_used = self._is_used(may_use, spoken)
        if not (is_used or every):
            bits |= may_use * Bits(Fit.SAME_SAMPLE)
            return None
        percent, se, found = self._work_out(card, is_used)
        usable = both(may_use, self._sound(card, bits, names, percent))
        self._witnesses.speaks(card, usable)
        if spoken is not False:
            bits |= both(usable, spoken) * Bits(Fit.SAME_SAMPLE)
            usable = but(usable, spoken)
        variance = self._vagueness(card, bits, names)
        if isinstance(usable, bool):
            usable = self._everybody if usable else ~self._everybody
        everybody = usable is self._everybody or bool(usable.all())
        return Fitted(row, percent, se, variance, found, usable, everybody)

    def _is_for_nobody(self, card: Equation, bits: Array, spoken: Who) -> bool:
        """Whether one reason leaves a card out for all alike; marks that one."""
        reason = Fit.SAME_SAMPLE if spoken is True else self._audience.never(card)
        if reason is None and any(map(self.inputs.is_unmeasured, needed(card))):
            reason = Fit.MISSING_INPUT
        if reason is None or (reason is Fit.DISPUTED and self.settings.with_disputed):
            return False
        bits |= Bits(reason)
        return True

    def _marked(self, card: Equation, bits: Array, names: Sequence[str]) -> Who:
        """Mark for whom a card was not made, and who lacks an input; return who may use it."""
        marks = self._audience.wrong(card)
        if self.settings.with_disputed:
            marks.pop(Fit.DISPUTED, None)
        for flag, who in marks.items():
            bits |= who * Bits(flag)
        if reads_ancestry(card) and card.lineage in self._plain:
            # the form without the term speaks where nothing is stated
            bits |= self._audience.unstated() * Bits(Fit.OTHER_ANCESTRY)
            marks[Fit.OTHER_ANCESTRY] = self._audience.unstated()
        missing = self.inputs.unknown(names)
        if missing is not None:
            bits |= missing * Bits(Fit.MISSING_INPUT)
        if any(who is True for who in marks.values()):
            return False
        return np.asarray(bits == 0) if marks or missing is not None else True

    @staticmethod
    def _is_used(may_use: Who, spoken: Who) -> bool:
        """Whether anybody may use a card who is not spoken for yet; True is everybody."""
        left = but(may_use, spoken)
        return left if isinstance(left, bool) else bool(left.any())

    def _work_out(self, card: Equation, is_used: bool) -> tuple[Array, Slope, Traced | None]:
        conversion, weight = self.settings.conversion, self.inputs.columns["weight_kg"]
        found: Traced | None = None
        if is_used:
            found, output = traced(card, self.inputs, conversion)
            percent = found.percent
        else:
            percent, output = printed(card, self.inputs, conversion)
        if card.se is None:
            return percent, np.nan, found
        return percent, card.se * points_per_unit(card, output, weight, conversion), found

    def _sound(self, card: Equation, bits: Array, names: Sequence[str], percent: Array) -> Who:
        """For whom a card prints what can be believed; marks the others."""
        low, high = SOUND_PERCENT
        sound: Who = True
        if not (percent.min(initial=np.inf) > low and percent.max(initial=-np.inf) < high):
            sound = (percent > low) & (percent < high)
            missing = self.inputs.unknown(names)
            wrong = ~sound if missing is None else ~(sound | missing)
            bits |= wrong * Bits(Fit.NO_SOUND_VALUE)
        if card.audience == "obese":
            # built above 30 % fat: a strong build can pass the weight, not the card's own answer
            lean = percent < 30.0
            bits |= lean * Bits(Fit.OBESITY_ONLY)
            sound = both(sound, ~lean)
        return sound

    def _vagueness(self, card: Equation, bits: Array, names: Sequence[str]) -> Slope:
        """Variance [points²] from a person outside the sample or a site elsewhere; marks who."""
        outside = self._limits.outside(card)
        variance: Slope = 0.0
        if outside is not None:
            bits |= outside[0]
            variance = outside[1]
        if reads_ancestry(card):
            variance = variance + self._audience.unstated() * applicability.ANCESTRY_UNSTATED**2
        for name in names:
            if name in self.bridged.numbers:
                bits |= (self.bridged.numbers[name] != 0) * Bits(Fit.WAIST_BRIDGED)
            if name in self.people.at_least:
                bits |= self.people.at_least[name] * Bits(Fit.SCALE_END)
        conversion = self.settings.conversion
        variant = variant_variance(card, self.people, self.inputs.columns, conversion)
        if variant is not None:
            bits |= Bits(Fit.SITE_DIFFERS)
            variance = variance + variant
        return variance


def variant_variance(
    card: Equation, people: People, columns: Mapping[str, Array], conversion: Conversion
) -> Array | None:
    """Variance from folds taken at another variant of their site; None where none was."""
    if not people.site_variants:
        return None
    off = {
        name
        for name, built_on in card.sites.items()
        if people.site_variants.get(name, built_on) != built_on
    }
    if not off:
        return None
    variance = np.zeros_like(columns["weight_kg"])
    for name, slope in gradients(card, columns, conversion):
        if name in off:
            shift = slope * applicability.SITE_VARIANT_SHARE * columns[name]
            variance += np.nan_to_num(shift) ** 2
    return variance

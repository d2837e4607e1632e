"""Select equations: who may use which equation, its estimate, and the error from leaving its sample.

Cards are taken in their order, because within a lineage the first usable one counts. A card that
nobody in the batch can use need not be worked out; whether it is changes nothing for the others.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from foldspan.catalogue.card import Array, Bmi, BoolArray, Conversion, Equation
from foldspan.estimation import applicability
from foldspan.estimation.applicability import (
    LEAST_PRECISION,
    OBESE_BMI,
    OBESE_BMI_FADE,
    OBESE_PERCENT,
    OBESE_PERCENT_FADE,
    SOUND_FADE,
    SOUND_PERCENT,
    Applicability,
    Bits,
    Fit,
    Outside,
    Who,
    for_both,
    for_first_only,
    reads_ancestry,
    rising,
)
from foldspan.estimation.batch import People
from foldspan.estimation.cached import cached
from foldspan.estimation.evaluate import (
    Inputs,
    Traced,
    gradients,
    needed,
    points_per_unit,
    printed,
    traced,
)
from foldspan.estimation.one_per_sample import OnePerSample
from foldspan.estimation.settings import Settings
from foldspan.measurement.waist_conversion import Bridged
from foldspan.numerics.forward_diff import Slope, of_some


@dataclass(frozen=True, slots=True)
class EvaluatedCard:
    """One card evaluated for N people.

    ``percent`` is its estimate as printed, ``se`` its printed error in points, NaN where there is none;
    ``variance`` [points²] what the distance outside its sample adds, and ``by_age`` what an age outside
    it adds to that; ``traced`` holds its slopes where somebody uses the card, and ``everybody`` says
    that all do. ``precision`` is how far a card counts that fades in beyond a limit, 0 to 1.
    """

    row: int
    card: Equation
    percent: Array
    se: Slope
    variance: Slope
    by_age: Slope
    traced: Traced | None
    usable: BoolArray
    everybody: bool
    precision: Slope = 1.0

    def some(self, rows: Array) -> EvaluatedCard | None:
        """Return the card for some of the people, by their numbers; None if none of them uses it."""
        if self.traced is None:
            return None
        usable, everybody = np.ones(rows.size, dtype=bool), self.everybody
        if not everybody:
            usable = self.usable.take(rows)
            everybody = bool(usable.all())
            if not (everybody or usable.any()):
                return None
        traced = self.traced.some(rows)
        is_plain = self.percent is self.traced.percent
        return EvaluatedCard(
            self.row,
            self.card,
            traced.percent if is_plain else self.percent.take(rows),
            of_some(self.se, rows),
            of_some(self.variance, rows),
            of_some(self.by_age, rows),
            traced,
            usable,
            everybody,
            of_some(self.precision, rows),
        )


class Selection:
    """The cards of one batch of people, one after the other; ``flags`` (E, N) fills on the way.

    Where another list of cards was selected from for the same people, ``known_applicability`` holds what
    it has asked of them, and ``known`` the cards that are evaluated already, by their keys.
    """

    def __init__(
        self,
        cards: Sequence[Equation],
        people: People,
        settings: Settings,
        bridged: Bridged,
        known_applicability: Applicability | None = None,
    ) -> None:
        self.cards, self.people, self.settings, self.bridged = cards, people, settings, bridged
        self.flags = np.zeros((len(cards), people.ancestry.shape[0]), dtype=Bits)
        self._everybody = np.ones(people.ancestry.shape[0], dtype=bool)
        self.applicability = known_applicability or Applicability(
            Inputs(bridged.columns), people.ancestry
        )
        self.inputs = self.applicability.inputs
        self.known: dict[str, EvaluatedCard] = {}
        self._one_per_sample = OnePerSample()
        self._plain = {card.lineage for card in cards if not reads_ancestry(card)}

    def evaluated(self, *, every: bool) -> Iterator[EvaluatedCard]:
        """Yield the cards with their estimates, without those that ``evaluate`` leaves out."""
        for row, card in enumerate(self.cards):
            evaluation = self.evaluate(row, card, every=every)
            if evaluation is not None:
                yield evaluation

    def again(
        self, cards: Sequence[Equation], settings: Settings, evaluated: Sequence[EvaluatedCard]
    ) -> tuple[Selection, list[EvaluatedCard]]:
        """Select from another list of cards for the same people; return those that somebody uses.

        Which card of a sample counts for whom rests on the cards of that sample alone. So where both
        lists have the same of them, what is ``evaluated`` here is taken over as it is.
        """
        other = Selection(cards, self.people, settings, self.bridged, self.applicability)
        other.known = {evaluation.card.key: evaluation for evaluation in evaluated}
        mine, theirs = cached(by_sample, self.cards), cached(by_sample, cards)
        found = []
        for row, card in enumerate(cards):
            is_known = mine.get(card.lineage) == theirs[card.lineage]
            evaluation = (
                other.known.get(card.key) if is_known else other.evaluate(row, card, every=False)
            )
            if evaluation is not None and evaluation.traced is not None:
                found.append(evaluation if evaluation.row == row else replace(evaluation, row=row))
        return other, found

    def evaluate(self, row: int, card: Equation, *, every: bool) -> EvaluatedCard | None:
        """Return a card with its estimates; None if nobody can use it and not ``every`` is wanted.

        None too where everybody lacks the same measurement: a formula gives nothing then.
        """
        bits, covered = self.flags[row], self._one_per_sample.covered_by_earlier(card)
        if not every and self._is_for_nobody(card, bits, covered):
            return None
        names = needed(card)
        may_use = self._marked(card, bits, names)
        if any(self.inputs.is_unmeasured(name) for name in names if name != "age_years"):
            self._mark_doubts(card, bits, names)
            if card.audience == "obese":
                bits |= Bits(Fit.OBESITY_ONLY)  # nobody's estimate is large
            return None
        is_used = self._is_used(may_use, covered)
        if not (is_used or every):
            bits |= may_use * Bits(Fit.SAME_SAMPLE)
            return None
        percent, se, tracing = self._work_out(card, is_used)
        sound, precision = self._sound(card, bits, names, percent)
        usable = for_both(may_use, sound)
        left = self._one_per_sample.share_left(card)
        self._one_per_sample.add(card, usable, precision)
        if covered is not False:
            bits |= for_both(usable, covered) * Bits(Fit.SAME_SAMPLE)
            usable = for_first_only(usable, covered)
        if left is not None:
            precision = precision * np.where(left > 0.0, left, 1.0)
        variance, by_age = self._added_variance(card, bits, names)
        if isinstance(usable, bool):
            usable = self._everybody if usable else ~self._everybody
        everybody = usable is self._everybody or bool(usable.all())
        return EvaluatedCard(
            row, card, percent, se, variance, by_age, tracing, usable, everybody, precision
        )

    def as_printed(self, evaluated: EvaluatedCard) -> Array:
        """Return what the source prints, (N,): rows of a table by age are not blended there."""
        card = evaluated.card
        if card.table is None:
            return evaluated.percent
        table = replace(card, formula=card.table)
        return printed(table, self.inputs, self.settings.conversion)[0]

    def _is_for_nobody(self, card: Equation, bits: Array, covered: Who) -> bool:
        """Whether one reason leaves a card out for all alike; marks that one."""
        reason = (
            Fit.SAME_SAMPLE if covered is True else self.applicability.target_population.never(card)
        )
        if reason is None and any(map(self.inputs.is_unmeasured, needed(card))):
            reason = Fit.MISSING_INPUT
        if reason is None or (reason is Fit.DISPUTED and self.settings.with_disputed):
            return False
        bits |= Bits(reason)
        return True

    def _marked(self, card: Equation, bits: Array, names: Sequence[str]) -> Who:
        """Mark for whom a card was not made, and who lacks an input; return who may use it."""
        marks = self.applicability.target_population.wrong(card)
        if self.settings.with_disputed:
            marks.pop(Fit.DISPUTED, None)
        for flag, who in marks.items():
            bits |= who * Bits(flag)
        if reads_ancestry(card) and card.lineage in self._plain:
            # the form without the term is used where nothing is stated
            bits |= self.applicability.target_population.unstated() * Bits(Fit.OTHER_ANCESTRY)
            marks[Fit.OTHER_ANCESTRY] = self.applicability.target_population.unstated()
        missing = self.inputs.unknown(names)
        if missing is not None:
            bits |= missing * Bits(Fit.MISSING_INPUT)
        if any(who is True for who in marks.values()):
            return False
        return np.asarray(bits == 0) if marks or missing is not None else True

    @staticmethod
    def _is_used(may_use: Who, covered: Who) -> bool:
        """Whether anybody may use a card who has no earlier one of its sample; True is everybody."""
        left = for_first_only(may_use, covered)
        return left if isinstance(left, bool) else bool(left.any())

    def _work_out(self, card: Equation, is_used: bool) -> tuple[Array, Slope, Traced | None]:
        conversion, weight = self.settings.conversion, self.inputs.columns["weight_kg"]
        known = self.known.get(card.key)
        if known is not None and known.traced is not None and known.card.formula is card.formula:
            return known.percent, known.se, known.traced
        tracing: Traced | None = None
        if is_used:
            tracing, output = traced(card, self.inputs, conversion)
            percent = tracing.percent
        else:
            percent, output = printed(card, self.inputs, conversion)
        if card.see is None:
            return percent, np.nan, tracing
        return percent, card.see * points_per_unit(card, output, weight, conversion), tracing

    def _sound(
        self, card: Equation, bits: Array, names: Sequence[str], percent: Array
    ) -> tuple[Who, Slope]:
        """For whom a card prints what can be believed, and how far it counts; marks the others."""
        precision: Slope = 1.0
        low, high = SOUND_PERCENT
        least, most = percent.min(initial=np.inf), percent.max(initial=-np.inf)
        if not (least >= low + SOUND_FADE and most <= high - SOUND_FADE):
            precision = rising(percent, low, SOUND_FADE) * rising(-percent, -high, SOUND_FADE)
            missing = self.inputs.unknown(names)
            sound = precision > LEAST_PRECISION
            wrong = ~sound if missing is None else ~(sound | missing)
            bits |= wrong * Bits(Fit.NO_SOUND_VALUE)
        if card.audience == "obese":
            # built above 30 % fat: a strong build can pass the weight, not the card's own answer
            large = rising(percent, OBESE_PERCENT, OBESE_PERCENT_FADE)
            large *= rising(self.inputs.value(Bmi()), OBESE_BMI, OBESE_BMI_FADE)
            bits |= ~(large > LEAST_PRECISION) * Bits(Fit.OBESITY_ONLY)
            precision = precision * large
        if not isinstance(precision, np.ndarray):
            return True, precision
        counts = precision > LEAST_PRECISION
        return counts, np.where(counts, precision, 1.0)

    def _added_variance(
        self, card: Equation, bits: Array, names: Sequence[str]
    ) -> tuple[Slope, Slope]:
        """Variance [points²] from a person outside the sample or a site elsewhere; marks who.

        What an age outside the sample adds stands by itself.
        """
        outside = self._mark_doubts(card, bits, names)
        variance, by_age = outside.variance, outside.by_age
        if reads_ancestry(card):
            variance = (
                variance
                + self.applicability.target_population.unstated()
                * applicability.ANCESTRY_UNSTATED**2
            )
        conversion = self.settings.conversion
        variant = variant_variance(card, self.people, self.inputs.columns, conversion)
        return (variance if variant is None else variance + variant), by_age

    def _mark_doubts(self, card: Equation, bits: Array, names: Sequence[str]) -> Outside:
        """Mark who lies outside the sample or was measured elsewhere; return how far outside."""
        outside = self.applicability.limits.outside(card)
        if outside.flags is not None:
            bits |= outside.flags
        for name in names:
            if name in self.bridged.numbers:
                bits |= (self.bridged.numbers[name] != 0) * Bits(Fit.WAIST_BRIDGED)
            if name in self.people.at_least:
                bits |= self.people.at_least[name] * Bits(Fit.SCALE_END)
        if other_variants(card, self.people):
            bits |= Bits(Fit.SITE_DIFFERS)
        return outside


def by_sample(cards: Sequence[Equation]) -> dict[str, list[object]]:
    """Return what tells the cards of every lineage apart, in their order."""
    samples: dict[str, list[object]] = {}
    for card in cards:
        samples.setdefault(card.lineage, []).extend((card.key, card.formula))
    return samples


def other_variants(card: Equation, people: People) -> set[str]:
    """Return the folds of a card that were taken at another variant of their site."""
    if not people.site_variants:
        return set()
    return {
        name
        for name, built_on in card.sites.items()
        if people.site_variants.get(name, built_on) != built_on
    }


def variant_variance(
    card: Equation, people: People, columns: Mapping[str, Array], conversion: Conversion
) -> Array | None:
    """Variance from folds taken at another variant of their site; None if there are none."""
    off = other_variants(card, people)
    if not off:
        return None
    variance = np.zeros_like(columns["weight_kg"])
    for name, slope in gradients(card, columns, conversion):
        if name in off:
            shift = slope * applicability.SITE_VARIANT_SHARE * columns[name]
            variance += np.nan_to_num(shift) ** 2
    return variance

"""Case: the quantities of one case that explaining its differences needs, each computed once.

A method is a family or a single equation; its weights over the cards sum to one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Conversion, Equation
from foldspan.estimation.applicability import LEAVES_OUT, Bits, Fit
from foldspan.estimation.batch import People
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.evaluate import Columns, Inputs, gradients, gradients_of, percents, printed
from foldspan.estimation.known_offsets import Levelling
from foldspan.explanation.build_signs import Sign, has_muscular_limbs, signs_of
from foldspan.explanation.what_if import Case, versions
from foldspan.measurement.outlier_search import Suspect, doubted, suspect_readings
from foldspan.measurement.waist_conversion import Bridged, bridge_waists
from foldspan.numerics.ordered_sums import inner, product
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import Sex
from foldspan.reference.body_dimensions import simulated_people

# Age at which equations with and without an age term are compared [years]: the middle of the adults
# that most were built on.
MIDDLE_AGE = 40.0


@dataclass(frozen=True, repr=False)
class CaseAnalysis:
    """The quantities of one case that every pair of its methods needs, each computed once."""

    case: Case

    @cached_property
    def suspects(self) -> tuple[Suspect, ...]:
        """Readings that may be transcription errors, the most likely first."""
        people = self.case.people
        return suspect_readings(people.sex, self.case.age, self.case.readings, self.case.units)

    @cached_property
    def doubted(self) -> tuple[Suspect, ...]:
        """Readings to measure again: the likeliest error, or several that are equally likely."""
        return doubted(self.suspects)

    @property
    def slip(self) -> Suspect | None:
        """The reading that is corrected before anything else is explained; None in a tie."""
        return self.doubted[0] if len(self.doubted) == 1 else None

    @cached_property
    def corrected(self) -> People:
        """The client with the suspected reading corrected."""
        if self.slip is None:
            return self.case.people
        change = dict(zip(self.slip.names, self.slip.values, strict=True))
        return versions(self.case.people, [change])

    @cached_property
    def signs(self) -> tuple[Sign, ...]:
        """Signs of the build, read off the measurements once a suspected slip is corrected."""
        people = self.corrected
        return signs_of(people.sex, people.columns, self._other_than_weight(), _open_ended(people))

    @property
    def is_muscular(self) -> bool:
        """Whether the limbs show more muscle than usual, called out as a reason would be."""
        people = self.corrected
        return has_muscular_limbs(people.sex, people.columns, _open_ended(people))

    def _other_than_weight(self) -> tuple[float, Array] | None:
        """Fat [%] by all families but weight for height: the client's, the simulated population's."""
        answer = self.case.answer
        families = np.array([FAMILIES.index(card.method) for card in answer.cards])
        weights = answer.weights[:, 0] * (families != FAMILIES.index("mass_height"))
        if not weights.any():
            return None
        shares = weights / weights.sum()
        usual = product(shares[self.used], self.usual)
        return inner(shares, self.corrected_at_middle_age), usual

    @cached_property
    def used(self) -> Array:
        """Which cards have weight in the answer, bool of shape (E,)."""
        return np.asarray((self.case.answer.flags[:, 0] & int(LEAVES_OUT)) == 0)

    @cached_property
    def bridged(self) -> Bridged:
        """The client's waists, with those that were not taken filled from their neighbours."""
        return bridge_waists(self.case.people.columns, self.case.people.sex)

    @property
    def printed(self) -> Array:
        """What every used card prints for the client, levelled, shape (E,), 0 where it has no value."""
        return self._percent_versions[0]

    @property
    def corrected_percent(self) -> Array:
        """The same once a suspected slip is corrected."""
        return self._percent_versions[1]

    @property
    def corrected_at_middle_age(self) -> Array:
        """The same at the middle age."""
        return self._percent_versions[2]

    @cached_property
    def _percent_versions(self) -> tuple[Array, ...]:
        """What every used card prints for the client in three versions, evaluated as one batch."""
        before = corrected = self.bridged.columns
        if self.slip is not None:
            corrected = bridge_waists(self.corrected.columns, self.corrected.sex).columns
        columns = {
            name: np.concatenate([column, corrected[name], corrected[name]])
            for name, column in before.items()
        }
        columns["age_years"][2] = MIDDLE_AGE
        rows, cards = np.flatnonzero(self.used), self.case.answer.cards
        used = [cards[row] for row in rows]
        given = percents(used, columns, self.case.settings.conversion)
        levelling = self._levelling(columns)
        for card_percent, card in zip(given, used, strict=True):
            card_percent -= levelling.offset(card, card_percent)
        percent = np.zeros((3, len(cards)))
        percent[:, rows] = np.nan_to_num(given).T
        return tuple(percent)

    @cached_property
    def levelled(self) -> Array:
        """How far each card is levelled for the client, 0 to 1, shape (E,)."""
        applies = np.array([self._as_answered.applies_to(card) for card in self.case.answer.cards])
        return np.asarray(applies * self._as_answered.share[0])

    @cached_property
    def known_biases(self) -> Array:
        """What each used card is known to read off for the client [points], levelled or not, shape (E,).

        Zero where nobody knows, and on the scale of underwater weighing.
        """
        found = np.zeros(len(self.case.answer.cards))
        for row in np.flatnonzero(self.used).tolist():
            card = self.case.answer.cards[row]
            found[row] = np.ravel(self._known.offset(card, self._given[row]))[0]
        return found

    @cached_property
    def known_biases_by_background(self) -> Array:
        """The part of it that rests on a stated background [points], shape (E,)."""
        return self._for_background(self._known)

    @cached_property
    def _given(self) -> Array:
        """What every card gives before it is moved and levelled, shape (E, 1)."""
        answer, stated = self.case.answer, self.case.settings.reference_method
        return answer.percent + answer.offset - reference_shifts(answer.cards, stated)[:, None]

    @cached_property
    def _known(self) -> Levelling:
        """Levels as where nothing is asked for that leaves offsets in."""
        people, reference_method = self.case.people, self.case.settings.reference_method
        return Levelling(
            self.bridged.columns, people.sex, reference_method, ancestry=people.ancestry
        )

    def _for_background(self, levelling: Levelling) -> Array:
        cards = self.case.answer.cards
        if not levelling.has_background:
            return np.zeros(len(cards))
        each = map(levelling.for_background, cards)
        return np.array([points if isinstance(points, float) else points[0] for points in each])

    @cached_property
    def for_background(self) -> Array:
        """The part of each card's offset that rests on a stated background [points], shape (E,)."""
        return self._for_background(self._as_answered)

    @cached_property
    def _as_answered(self) -> Levelling:
        return self._levelling(self.bridged.columns)

    def _levelling(self, columns: Columns) -> Levelling:
        """Levels what the cards print, as in the answer."""
        settings, people = self.case.settings, self.case.people
        return Levelling(
            columns,
            people.sex,
            settings.reference_method,
            settings.conversion,
            ancestry=people.ancestry,
            as_printed=settings.as_printed,
        )

    def slopes(self, row: int) -> tuple[tuple[str, float], ...]:
        """How one card moves with every input: (quantity, points a unit); see ``gradients``."""
        if row not in self._slopes:
            card, conversion = self.case.answer.cards[row], self.case.settings.conversion
            levelled_slope = self._as_answered.slope(card, self._given[row])
            known, columns = self.case.answer.traced.get(row), self.bridged.columns
            self._slopes[row] = tuple(
                (name, _finite(float((slope * levelled_slope)[0])))
                for name, slope in (
                    gradients(card, self._inputs, conversion)
                    if known is None
                    else gradients_of(known, columns)
                )
            )
        return self._slopes[row]

    @cached_property
    def _slopes(self) -> dict[int, tuple[tuple[str, float], ...]]:
        return {}

    @cached_property
    def _inputs(self) -> Inputs:
        return Inputs(self.bridged.columns)

    @cached_property
    def usual(self) -> Array:
        """What the U used cards print for the simulated population at the middle age, shape (U, P)."""
        people, cards = self.case.people, self.case.answer.cards
        marks = {
            name: float(column[0])
            for name, column in people.columns.items()
            if name.startswith("is_")
        }
        inputs = _pattern_inputs(people.sex, tuple(sorted(marks.items())))
        used = np.flatnonzero(self.used).tolist()
        usual = np.empty((len(used), inputs.count))
        levelling = self._levelling(inputs.columns)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            for place, row in enumerate(used):
                usual[place] = _usual_levelled(
                    inputs, cards[row], self.case.settings.conversion, levelling
                )
        return usual


def _finite(value: float) -> float:
    """A number, 0 where there is none and the largest where it is infinite."""
    return value if math.isfinite(value) else float(np.nan_to_num(value))


class _PatternInputs(Inputs):
    """The simulated population as arguments, and what each card printed for it before."""

    def __init__(self, columns: Columns) -> None:
        super().__init__(columns)
        self.percent_by_card: dict[tuple[object, ...], Array] = {}
        self.levelled_by_card: dict[tuple[object, ...], Array] = {}


@lru_cache(maxsize=32)
def _pattern_inputs(sex: Sex, marks: tuple[tuple[str, float], ...]) -> _PatternInputs:
    """The simulated population at the middle age, all with the client's indicators."""
    people = simulated_people(sex)
    ages = people["age_years"]
    columns = people | {"age_years": np.full_like(ages, MIDDLE_AGE)}
    return _PatternInputs(columns | {name: np.full_like(ages, value) for name, value in marks})


def _usual_percent(inputs: _PatternInputs, card: Equation, conversion: Conversion) -> Array:
    """What a card prints for the simulated population, its mean where it has no value; cached."""
    name = _name_of(card, conversion)
    if name not in inputs.percent_by_card:
        percent, _ = printed(card, inputs, conversion)
        inputs.percent_by_card[name] = np.where(np.isfinite(percent), percent, np.nanmean(percent))
    return inputs.percent_by_card[name]


def _usual_levelled(
    inputs: _PatternInputs, card: Equation, conversion: Conversion, levelling: Levelling
) -> Array:
    """The same, levelled; cached for all who state no background."""
    percent = _usual_percent(inputs, card, conversion)
    if not levelling.applies_to(card):
        return percent
    if levelling.has_background:
        return np.asarray(percent - levelling.offset(card, percent))
    name = _name_of(card, conversion)
    if name not in inputs.levelled_by_card:
        inputs.levelled_by_card[name] = np.asarray(percent - levelling.offset(card, percent))
    return inputs.levelled_by_card[name]


def _name_of(card: Equation, conversion: Conversion) -> tuple[object, ...]:
    return card.key, card.formula, conversion.key, conversion.c1, conversion.c2


def card_weights(analysis: CaseAnalysis, name: str) -> Array:
    """Return the weights of the cards in a family, or of one equation, shape (E,), summing to one.

    Raises
    ------
    FoldspanError
        E501 if it is neither a family nor an equation, or could not be used for this client.
    """
    answer = analysis.case.answer
    keys = [card.key for card in answer.cards]
    if name in FAMILIES:
        mask = np.array([card.method == name for card in answer.cards])
        weights = np.where(mask, answer.weights[:, 0], 0.0)
        if weights.sum() > 0.0:
            return np.asarray(weights)
        what = "this method group could not be used for this visit"
        remedy = "Run foldspan reconcile to see which method groups were used."
        raise FoldspanError([Problem("E501", f"pair {name}", what, remedy)])
    if name not in keys:
        remedy = f"Use {', '.join(FAMILIES)}, or the key of an equation for this client's sex."
        raise FoldspanError([Problem("E501", f"pair {name}", "not known", remedy)])
    row = keys.index(name)
    if not np.isfinite(answer.percent[row, 0]) or answer.flags[row, 0] & int(Fit.NO_SOUND_VALUE):
        what = "this equation gives no result for this visit"
        remedy = "Run foldspan reconcile --all to see why."
        raise FoldspanError([Problem("E501", f"pair {name}", what, remedy)])
    alone: Array = np.zeros(len(keys))
    alone[row] = 1.0
    return alone


def with_cards_of(
    analysis: CaseAnalysis, first_weights: Array, second_weights: Array
) -> CaseAnalysis:
    """The same case, with the equations of two methods let in that have no weight in the answer."""
    unused = ((first_weights > 0.0) | (second_weights > 0.0)) & ~analysis.used
    if not unused.any():
        return analysis
    flags = analysis.case.answer.flags.copy()
    flags[unused] &= Bits(~int(LEAVES_OUT))
    return CaseAnalysis(replace(analysis.case, answer=replace(analysis.case.answer, flags=flags)))


def _open_ended(people: People) -> frozenset[str]:
    """Folds of one client that stopped at the end of the scale."""
    return frozenset(name for name, flag in people.at_least.items() if flag[0])

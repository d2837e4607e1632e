"""Case: one case opened up, with everything that taking its methods apart needs.

A voice is what a family or one equation says: weights over the cards that sum to one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Conversion, Equation
from foldspan.estimation.applicability import LEAVES_OUT, Bits, Fit
from foldspan.estimation.evaluate import Columns, Inputs, fat_percents, gradients, printed
from foldspan.estimation.known_offsets import Levelling
from foldspan.estimation.pipeline import Bridged, People, bridge_waists
from foldspan.explanation.build_signs import Sign, signs_of
from foldspan.explanation.what_if import Case, versions
from foldspan.measurement.outlier_search import Suspect, doubted, slip_suspects
from foldspan.numerics.ordered_sums import inner, product
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import Sex
from foldspan.reference.body_dimensions import pattern_people

# Age at which equations with and without an age term are compared [years]: the middle of the adults
# that most were built on.
MIDDLE_AGE = 40.0


@dataclass(frozen=True, repr=False)
class Anatomy:
    """A case opened up: what every pair of it needs, computed once."""

    case: Case

    @cached_property
    def suspects(self) -> tuple[Suspect, ...]:
        """Readings that may have slipped, the most telling first."""
        people = self.case.people
        return slip_suspects(people.sex, self.case.age, self.case.readings, self.case.units)

    @cached_property
    def doubted(self) -> tuple[Suspect, ...]:
        """Readings to measure again: one, or several that are as doubtful as each other."""
        return doubted(self.suspects)

    @property
    def slip(self) -> Suspect | None:
        """The one reading that is put right before anything else is explained; None in a tie."""
        return self.doubted[0] if len(self.doubted) == 1 else None

    @cached_property
    def mended(self) -> People:
        """The client with the suspected reading put right."""
        if self.slip is None:
            return self.case.people
        change = dict(zip(self.slip.names, self.slip.values, strict=True))
        return versions(self.case.people, [change])

    @cached_property
    def signs(self) -> tuple[Sign, ...]:
        """Signs of the build, read off the measurements once a suspected slip is put right."""
        people = self.mended
        open_ended = frozenset(name for name, flag in people.at_least.items() if flag[0])
        return signs_of(people.sex, people.columns, self._other_than_weight(), open_ended)

    @property
    def is_muscular(self) -> bool:
        """Whether the limbs show more muscle than usual, called out as a reason would be."""
        return any(one.name == "muscle" and one.is_called_out and one.z > 0 for one in self.signs)

    def _other_than_weight(self) -> tuple[float, Array] | None:
        """Fat by the families but weight for height: the client's, the pattern people's."""
        answer = self.case.answer
        families = np.array([FAMILIES.index(card.family) for card in answer.cards])
        weights = answer.weights[:, 0] * (families != FAMILIES.index("mass_height"))
        if not weights.any():
            return None
        shares = weights / weights.sum()
        return inner(shares, self.mended_at_middle_age), product(shares, self.usual)

    @cached_property
    def used(self) -> Array:
        """Which cards carry the answer, bool of shape (E,)."""
        return np.asarray((self.case.answer.flags[:, 0] & int(LEAVES_OUT)) == 0)

    @cached_property
    def bridged(self) -> Bridged:
        """The client's waists, with those that were not taken filled from their neighbours."""
        return bridge_waists(self.case.people.columns, self.case.people.sex)

    @property
    def printed(self) -> Array:
        """What every card prints for the client, levelled, shape (E,), 0 where it has no value."""
        return self._prints[0]

    @property
    def mended_prints(self) -> Array:
        """The same once a suspected slip is put right."""
        return self._prints[1]

    @property
    def mended_at_middle_age(self) -> Array:
        """The same at the middle age."""
        return self._prints[2]

    @cached_property
    def _prints(self) -> tuple[Array, ...]:
        """What every card prints for the client in three versions, worked out as one batch."""
        before = mended = self.bridged.columns
        if self.slip is not None:
            mended = bridge_waists(self.mended.columns, self.mended.sex).columns
        columns = {
            name: np.concatenate([column, mended[name], mended[name]])
            for name, column in before.items()
        }
        columns["age_years"][2] = MIDDLE_AGE
        percent, _ = fat_percents(self.case.answer.cards, columns, self.case.settings.conversion)
        levelling = self._levelling(columns)
        for one, card in zip(percent, self.case.answer.cards, strict=True):
            one -= levelling.offset(card)
        return tuple(np.nan_to_num(percent[:, version]) for version in range(3))

    @cached_property
    def levelled(self) -> Array:
        """How far each card is levelled for the client, 0 to 1, shape (E,)."""
        levelling = self._levelling(self.bridged.columns)
        applies = np.array([levelling.applies_to(card) for card in self.case.answer.cards])
        return np.asarray(applies * levelling.share[0])

    @cached_property
    def reads_off(self) -> Array:
        """What each card is known to read off for the client [points], levelled or not, shape (E,).

        Zero where nobody knows, and on the scale of underwater weighing.
        """
        return self._by_card(self._known.offset)

    @cached_property
    def reads_off_by_background(self) -> Array:
        """The part of it that rests on a stated background [points], shape (E,)."""
        return self._by_card(self._known.for_background)

    @cached_property
    def _known(self) -> Levelling:
        """Levels as where nothing is asked for that leaves offsets in."""
        people, scale = self.case.people, self.case.settings.scale
        return Levelling(self.bridged.columns, people.sex, scale, ancestry=people.ancestry)

    def _by_card(self, of: Callable[[Equation], Array | float]) -> Array:
        return np.array([np.broadcast_to(of(card), 1)[0] for card in self.case.answer.cards])

    @cached_property
    def for_background(self) -> Array:
        """The part of each card's offset that rests on a stated background [points], shape (E,)."""
        return self._by_card(self._levelling(self.bridged.columns).for_background)

    def _levelling(self, columns: Columns) -> Levelling:
        """Levels what the cards print, as in the answer."""
        settings, people = self.case.settings, self.case.people
        return Levelling(
            columns,
            people.sex,
            settings.scale,
            settings.conversion,
            ancestry=people.ancestry,
            as_printed=settings.as_printed,
        )

    def slopes(self, row: int) -> tuple[tuple[str, float], ...]:
        """How one card moves with every input: (quantity, points a unit); see ``gradients``."""
        if row not in self._slopes:
            card, conversion = self.case.answer.cards[row], self.case.settings.conversion
            self._slopes[row] = tuple(
                (name, _finite(float(slope[0])))
                for name, slope in gradients(card, self._inputs, conversion)
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
        """What every used card prints for the pattern people at the middle age, shape (E, P)."""
        people, cards = self.case.people, self.case.answer.cards
        marks = {
            name: float(one[0]) for name, one in people.columns.items() if name.startswith("is_")
        }
        inputs = _pattern_inputs(people.sex, tuple(sorted(marks.items())))
        usual = np.zeros((len(cards), inputs.count))
        levelling = self._levelling(inputs.columns)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            for row in np.flatnonzero(self.used):
                usual[row] = _usual_prints(inputs, cards[row], self.case.settings.conversion)
                usual[row] -= levelling.offset(cards[row])
        return usual


def _finite(value: float) -> float:
    """A number, 0 where there is none and the largest where it is infinite."""
    return value if math.isfinite(value) else float(np.nan_to_num(value))


class _PatternInputs(Inputs):
    """The pattern people as arguments, and what was printed for them before."""

    def __init__(self, columns: Columns) -> None:
        super().__init__(columns)
        self.said: dict[tuple[object, ...], Array] = {}


@lru_cache(maxsize=32)
def _pattern_inputs(sex: Sex, marks: tuple[tuple[str, float], ...]) -> _PatternInputs:
    """The pattern people at the middle age, all with the client's indicators."""
    people = pattern_people(sex)
    ages = people["age_years"]
    columns = people | {"age_years": np.full_like(ages, MIDDLE_AGE)}
    return _PatternInputs(columns | {name: np.full_like(ages, value) for name, value in marks})


def _usual_prints(inputs: _PatternInputs, card: Equation, conversion: Conversion) -> Array:
    """What a card prints for the pattern people, its mean where it has no value; remembered."""
    name = (card.key, card.formula, conversion.key, conversion.c1, conversion.c2)
    if name not in inputs.said:
        percent, _ = printed(card, inputs, conversion)
        inputs.said[name] = np.where(np.isfinite(percent), percent, np.nanmean(percent))
    return inputs.said[name]


def voice(anatomy: Anatomy, name: str) -> Array:
    """Return the weights of the cards in a family, or of one equation, shape (E,), summing to one.

    Raises
    ------
    FoldspanError
        E501 if it is neither a family nor an equation, or could not be used for this client.
    """
    answer = anatomy.case.answer
    keys = [card.key for card in answer.cards]
    if name in FAMILIES:
        mask = np.array([card.family == name for card in answer.cards])
        weights = np.where(mask, answer.weights[:, 0], 0.0)
        if weights.sum() > 0.0:
            return np.asarray(weights)
        what = "this family could not be used for this visit"
        remedy = "See which families spoke: foldspan reconcile."
        raise FoldspanError([Problem("E501", f"pair {name}", what, remedy)])
    if name not in keys:
        remedy = f"Use {', '.join(FAMILIES)}, or the key of an equation for this client's sex."
        raise FoldspanError([Problem("E501", f"pair {name}", "not known", remedy)])
    row = keys.index(name)
    if not np.isfinite(answer.percent[row, 0]) or answer.flags[row, 0] & int(Fit.NO_SOUND_VALUE):
        what = "this equation has no value for this visit"
        remedy = "See why: foldspan reconcile --all."
        raise FoldspanError([Problem("E501", f"pair {name}", what, remedy)])
    one: Array = np.zeros(len(keys))
    one[row] = 1.0
    return one


def with_voices(anatomy: Anatomy, one: Array, other: Array) -> Anatomy:
    """The same anatomy, with equations that do not carry the answer let in if they are asked for."""
    silent = ((one > 0.0) | (other > 0.0)) & ~anatomy.used
    if not silent.any():
        return anatomy
    flags = anatomy.case.answer.flags.copy()
    flags[silent] &= Bits(~int(LEAVES_OUT))
    return Anatomy(replace(anatomy.case, answer=replace(anatomy.case.answer, flags=flags)))

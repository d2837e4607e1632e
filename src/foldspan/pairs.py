"""Pairs: take any two families or equations apart, reason by reason, in points of fat.

The difference of two voices, as each is printed, is a sum:

    difference = slip + scale + age term + usual gap + build + conversion + doubtful errors + rest

Everything but the rest is computed, not fitted to the client: a slip from putting the suspected
reading right, the age term from the equations at another age, the scale from the stated offset, the
usual gap and the build (muscle, belly, trunk) from running the same equations on the people of
``body_pattern``. Errors without a known direction (limits, site variant, waist that stood in,
unsteady readings) take the share of what is left that their variance earns them, and never more than
one standard deviation. The parts add up to the difference exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from foldspan import errormodel
from foldspan.applicability import LEAVES_OUT, Fit
from foldspan.body_pattern import pattern_people
from foldspan.body_signs import Sign, signs_of
from foldspan.case import Case, versions
from foldspan.catalogue.card import FAMILIES, Array, Conversion, Equation
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.evaluate import fat_percents, gradients, needed
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import WAISTS, Sex
from foldspan.reconciliation import People, bridge_waists, conversion_fits, variant_variance
from foldspan.slip_search import SUSPECT_FROM, Suspect, slip_suspects

# Age at which equations with and without an age term are compared [years]: the middle of the adults
# that most were built on.
MIDDLE_AGE = 40.0
# Reasons smaller than this are not worth a line [points]; signs of the build must weigh more.
SMALLEST, SMALLEST_SIGN = 0.5, 1.0
# the code of a sign, by the side it stands on
SIGN_CODES = {
    "muscle": ("more_muscle", "less_muscle"),
    "belly": ("belly_fat", "fat_under_skin"),
    "trunk": ("trunk_fat", "limb_fat"),
}


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason with its size [points]: above zero it lifts the first voice above the second."""

    code: str
    points: float
    about: tuple[str, ...] = ()
    detail: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two voices taken apart.

    ``difference`` is first less second as each is printed, ``on_scale`` the same once both stand on
    the stated scale [points]; ``by_chance`` the standard deviation that their errors allow for it;
    ``reasons`` and ``unexplained`` add up to ``difference``.
    """

    between: tuple[str, str]
    difference: float
    on_scale: float
    by_chance: float
    reasons: tuple[Reason, ...]
    unexplained: float

    @property
    def is_ordinary(self) -> bool:
        """Whether chance alone would make a difference this large in 1 case of 10 or more."""
        return abs(self.on_scale) <= ORDINARY * self.by_chance

    @property
    def is_explained(self) -> bool:
        """Whether what the reasons leave is ordinary."""
        return abs(self.unexplained) <= ORDINARY * self.by_chance


ORDINARY = 1.645  # normal quantile at .95: 1 in 10 on the two sides together


@dataclass(frozen=True)
class Anatomy:
    """A case opened up: what every pair of it needs, computed once."""

    case: Case

    @cached_property
    def suspects(self) -> tuple[Suspect, ...]:
        """Readings that may have slipped, the most telling first."""
        people = self.case.people
        return slip_suspects(people.sex, self.case.age, self.case.readings)

    @cached_property
    def slip(self) -> Suspect | None:
        """The one reading to doubt, if any is doubtful enough."""
        return next((one for one in self.suspects if one.gain >= SUSPECT_FROM), None)

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
        return signs_of(self.mended.sex, self.mended.columns, self._other_than_weight())

    def _other_than_weight(self) -> tuple[float, Array] | None:
        """Fat by the families but weight for height: the client's, the pattern people's."""
        answer = self.case.answer
        families = np.array([FAMILIES.index(card.family) for card in answer.cards])
        weights = answer.weights[:, 0] * (families != FAMILIES.index("mass_height"))
        if not weights.any():
            return None
        shares = weights / weights.sum()
        return float(shares @ self.printed(self.mended, MIDDLE_AGE)), shares @ self.usual

    @cached_property
    def used(self) -> Array:
        """Which cards carry the answer, bool of shape (E,)."""
        return np.asarray((self.case.answer.flags[:, 0] & int(LEAVES_OUT)) == 0)

    def printed(self, people: People, age: float | None = None) -> Array:
        """What every card prints for one column, shape (E,), 0 where it has no value."""
        columns = dict(bridge_waists(people.columns, people.sex).columns)
        if age is not None:
            columns["age_years"] = np.array([age])
        percent, _ = fat_percents(
            self.case.answer.cards, columns, self.case.settings.conversion
        )
        return np.nan_to_num(percent[:, 0])

    @cached_property
    def usual(self) -> Array:
        """What every used card prints for the pattern people at the middle age, shape (E, P)."""
        return _usual(self.case.answer.cards, self.used, self.case.people.sex, self.case)


def _usual(cards: tuple[Equation, ...], used: Array, sex: Sex, case: Case) -> Array:
    people = pattern_people(sex)
    columns = people | {"age_years": np.full_like(people["age_years"], MIDDLE_AGE)}
    for name, column in case.people.columns.items():
        if name.startswith("is_"):
            columns[name] = np.full_like(people["age_years"], column[0])
    speaking = [card for card, is_used in zip(cards, used, strict=True) if is_used]
    percent, _ = fat_percents(speaking, columns, case.settings.conversion)
    usual = np.zeros((len(cards), people["age_years"].size))
    means = np.nanmean(percent, axis=1, keepdims=True)
    usual[used] = np.where(np.isfinite(percent), percent, means)
    return usual


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


def pair(anatomy: Anatomy, first: str, second: str) -> Pair:
    """Take the difference of two voices apart.

    Parameters
    ----------
    anatomy : Anatomy
    first, second : str
        Families, or keys of equations.

    Raises
    ------
    FoldspanError
        E501; see ``voice``.
    """
    one, other = voice(anatomy, first), voice(anatomy, second)
    anatomy = _with_voices(anatomy, one, other)
    apart, case = one - other, anatomy.case
    printed, mended = anatomy.printed(case.people), anatomy.printed(anatomy.mended)
    difference = float(apart @ printed)
    moves = errormodel.scale_moves(case.answer.cards, case.settings.scale)
    reasons: list[Reason] = []
    left = difference
    for reason in (
        _slip(anatomy, float(apart @ (printed - mended))),
        Reason("scale", -float(apart @ moves)),
        _age_term(anatomy, apart, mended),
        *_build(anatomy, apart, float(apart @ moves)),
        _conversion(anatomy, apart, mended),
    ):
        if reason is not None and abs(reason.points) >= SMALLEST:
            reasons.append(reason)
            left -= reason.points
    variance = _variances(anatomy, apart)
    for reason in _doubtful(anatomy, apart, variance, left):
        reasons.append(reason)
        left -= reason.points
    by_chance = float(np.sqrt(sum(variance.values())))
    ranked = tuple(sorted(reasons, key=lambda reason: -abs(reason.points)))
    on_scale = difference + float(apart @ moves)
    return Pair((first, second), difference, on_scale, by_chance, ranked, left)


def _with_voices(anatomy: Anatomy, one: Array, other: Array) -> Anatomy:
    """The same anatomy, with equations that do not carry the answer let in if they are asked for."""
    silent = ((one > 0.0) | (other > 0.0)) & ~anatomy.used
    if not silent.any():
        return anatomy
    flags = anatomy.case.answer.flags.copy()
    flags[silent] &= ~np.int64(int(LEAVES_OUT))
    return Anatomy(replace(anatomy.case, answer=replace(anatomy.case.answer, flags=flags)))


def _slip(anatomy: Anatomy, points: float) -> Reason | None:
    slip = anatomy.slip
    if slip is None:
        return None
    return Reason("slip", points, (slip.kind, *slip.names), {"gain": slip.gain})


def _age_term(anatomy: Anatomy, apart: Array, mended: Array) -> Reason:
    """What the equations' own age terms make of this age, against the middle age."""
    middle = anatomy.printed(anatomy.mended, MIDDLE_AGE)
    return Reason("age_term", float(apart @ (mended - middle)), (), {"age": anatomy.case.age})


def _build(anatomy: Anatomy, apart: Array, moved: float) -> list[Reason]:
    """Usual gap of the two voices at this size, and what the signs of the build add.

    One least-squares fit of the pattern people's differences on size and signs.
    """
    columns, people = anatomy.mended.columns, pattern_people(anatomy.mended.sex)
    size = [name for name in ("weight_kg", "height_cm") if np.isfinite(columns[name][0])]
    gaps = apart @ anatomy.usual
    here = [float(np.log(columns[name][0])) for name in size]
    design = [np.ones_like(gaps), *(np.log(people[name]) for name in size)]
    design += [sign.usual for sign in anatomy.signs]
    slope, *_ = np.linalg.lstsq(np.column_stack(design), gaps, rcond=None)
    usual_gap = float(np.dot(slope[: 1 + len(size)], [1.0, *here]))
    reasons = [Reason("usual_gap", usual_gap + moved)]
    for sign, per_spread in zip(anatomy.signs, slope[1 + len(size) :], strict=True):
        points = float(per_spread) * sign.z
        if sign.is_called_out and abs(points) >= SMALLEST_SIGN:
            code = SIGN_CODES[sign.name][int(sign.z < 0.0)]
            reasons.append(Reason(code, points, sign.about, {"spreads": sign.z}))
    return reasons


def _conversion(anatomy: Anatomy, apart: Array, mended: Array) -> Reason | None:
    """How far the conversion in use lifts density-built equations for a person of this group."""
    case = anatomy.case
    fitting = fitting_conversion(case)
    if fitting is None:
        return None
    dense = np.array([float(card.predicts == "density") for card in case.answer.cards])
    used = case.settings.conversion
    density = used.c1 / (mended / 100.0 + used.c2)
    lifted = dense * (mended - fitting.fat_percent(density))
    return Reason("conversion", float(apart @ lifted), (fitting.key,))


def fitting_conversion(case: Case) -> Conversion | None:
    """Return the published conversion made for people like this client, if it is not in use.

    Looked for only where the client's group is stated or very young: by ancestry, for athletes, or
    below 25 years. The first one in catalogue order counts.
    """
    people = case.people
    age, ancestry = people.columns["age_years"], people.ancestry
    athlete = people.columns["is_athlete"]
    for card in CONVERSIONS:
        is_special = bool(card.ancestry) or card.audience == "athlete" or card.ages[1] <= 25
        if is_special and conversion_fits(card, people.sex, age, ancestry, athlete)[0]:
            return None if card.key == case.settings.conversion.key else card
    return None


def _variances(anatomy: Anatomy, apart: Array) -> dict[str, float]:
    """Variance of the difference by block [points²]; what both share drops out."""
    case, answer = anatomy.case, anatomy.case.answer
    cards, people, settings = answer.cards, case.people, case.settings
    correlation = errormodel.error_correlation_of(cards, people.sex)
    found: dict[str, float] = {}
    for name, spread in answer.spreads.items():
        loaded = np.where(apart != 0.0, apart * np.nan_to_num(spread[:, 0]), 0.0)
        found[name] = float(loaded @ correlation @ loaded)
    moved = np.array([float(card.scale != settings.scale) for card in cards])
    dense = np.array([float(card.predicts == "density") for card in cards])
    found["scale"] = float(apart @ moved) ** 2 * errormodel.SCALE_SD[settings.scale] ** 2
    found["conversion"] = float(apart @ dense) ** 2 * errormodel.CONVERSION_SD**2
    loads, stand_in = _reading_loads(anatomy, apart)
    found["tester"] = sum(
        (load * float(people.reading_se[name][0])) ** 2
        for name, load in loads.items()
        if name in people.reading_se
    )
    spread_of = bridge_waists(people.columns, people.sex).spread
    found["waist_site"] = sum(
        (load * float(spread_of[name][0])) ** 2 for name, load in stand_in.items()
    )
    return found


def _reading_loads(anatomy: Anatomy, apart: Array) -> tuple[dict[str, float], dict[str, float]]:
    """Points of the difference per unit of each reading, and per cm of each waist that stood in."""
    case = anatomy.case
    bridged = bridge_waists(case.people.columns, case.people.sex)
    loads: dict[str, float] = {}
    stand_in: dict[str, float] = {}
    for row in np.flatnonzero(apart):
        card = case.answer.cards[row]
        for name, slope in gradients(card, bridged.columns, case.settings.conversion):
            load = float(apart[row] * np.nan_to_num(slope[0]))
            source = str(bridged.measured_at[name][0]) if name in WAISTS else ""
            loads[source or name] = loads.get(source or name, 0.0) + load
            if source:
                stand_in[name] = stand_in.get(name, 0.0) + load
    return loads, stand_in


def _doubtful(
    anatomy: Anatomy, apart: Array, variance: Mapping[str, float], left: float
) -> list[Reason]:
    """Errors of unknown direction that have a cause here, with the share of the rest they earn."""
    case, total = anatomy.case, sum(variance.values())
    loads, stand_in = _reading_loads(anatomy, apart)
    shaky = {name: load for name, load in loads.items() if name in case.unsure}
    site = _site_variance(anatomy, apart)
    flags = case.answer.flags[apart != 0.0, 0]
    beyond = int(np.bitwise_or.reduce(flags)) & int(Fit.OUTSIDE_AGE | Fit.OUTSIDE_SPAN)
    causes: list[tuple[str, float, tuple[str, ...]]] = [
        ("site_variant", site, ()),
        ("waist_stood_in", variance["waist_site"], tuple(sorted(stand_in))),
        ("unsure_readings", _tester_share(case, shaky), tuple(shaky)),
    ]
    if beyond:
        limits = max(variance["limits"] - site, 0.0)
        words = ((Fit.OUTSIDE_AGE, "age"), (Fit.OUTSIDE_SPAN, "size"))
        about = tuple(word for flag, word in words if beyond & int(flag))
        causes.append(("outside_limits", limits, about))
    reasons = []
    for code, part, about in causes:
        deviation = float(np.sqrt(part))
        if deviation < SMALLEST:
            continue
        points = float(np.clip(left * part / total, -deviation, deviation))
        if abs(points) >= SMALLEST:
            reasons.append(Reason(code, points, about, {"deviation": deviation}))
    return reasons


def _tester_share(case: Case, loads: Mapping[str, float]) -> float:
    return sum((load * float(case.people.reading_se[n][0])) ** 2 for n, load in loads.items())


def _site_variance(anatomy: Anatomy, apart: Array) -> float:
    """Variance of the difference from folds taken at another variant [points²]."""
    case = anatomy.case
    spread = np.zeros(apart.size)
    for row in np.flatnonzero(apart):
        card = case.answer.cards[row]
        if not set(needed(card)) & set(case.people.site_variants):
            continue
        found = variant_variance(
            card, case.people, case.people.columns, case.settings.conversion
        )
        spread[row] = 0.0 if found is None else float(np.sqrt(found[0]))
    loaded = apart * spread
    correlation = errormodel.error_correlation_of(case.answer.cards, case.people.sex)
    return float(loaded @ correlation @ loaded)

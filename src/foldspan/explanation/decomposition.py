"""Decomposition: take any two families or equations apart, reason by reason, in points of fat.

The difference of two methods, as each is printed, is a sum:

    difference = slip + scale + site + age term + usual gap + build + conversion + doubtful errors + rest

``site`` is what a site's own correction takes off. Everything but the rest is computed, not fitted to
the client: a slip from putting the suspected
reading right, the age term from the equations at another age, the scale from the stated offset, the
usual gap and the build (muscle, belly, trunk) from running the same equations on the people of
``reference.body_dimensions``. Errors without a known direction (limits, site variant, waist that
stood in, unsteady readings) take the share of what is left that their variance earns them, and
never more than one standard deviation. The parts add up to the difference exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, Conversion
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.estimation import error_model
from foldspan.estimation.applicability import beyond_limits
from foldspan.estimation.error_correlation import error_correlation_of
from foldspan.estimation.evaluate import needed
from foldspan.estimation.local_correction import by_family
from foldspan.estimation.select_equations import variant_variance
from foldspan.estimation.settings import conversion_fits
from foldspan.explanation.case import CaseAnalysis, card_weights, with_cards_of
from foldspan.explanation.what_if import Case
from foldspan.numerics.ordered_sums import inner, least_squares, product, quadratic
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import WAISTS
from foldspan.reference.body_dimensions import simulated_people

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
    """One reason with its size [points]: above zero it lifts the first method above the second."""

    code: str
    """Code of the reason; see docs/explain.md."""
    points: float
    """Its size [percentage points]; above zero it raises the first method above the second."""
    about: tuple[str, ...] = ()
    """Names of the quantities or equations it is about."""
    detail: Mapping[str, float] = field(default_factory=dict)
    """Numbers for its sentence by name [unit by name]."""


@dataclass(frozen=True, slots=True)
class Pair:
    """The difference of two methods, reason by reason."""

    between: tuple[str, str]
    """The two methods, first and second."""
    difference: float
    """First minus second, as published; known average errors removed if ``is_levelled``
    [points]."""
    on_reference_method: float
    """The same for the stated reference method, after any local correction [points]."""
    by_chance: float
    """Standard deviation that their errors allow for it [points]."""
    reasons: tuple[Reason, ...]
    """Reasons with sizes; with ``unexplained`` they add up to ``difference``."""
    unexplained: float
    """The part that no reason explains [points]."""
    reads_off: tuple[float, float] = (0.0, 0.0)
    """Known average errors of first and second [points]; above zero is too high."""
    is_levelled: bool = False
    """Whether they were removed."""
    by_background: bool = False
    """Whether they include that of a stated background."""

    @property
    def beyond_usual(self) -> float:
        """Difference by the stated method, less what these equations make in usual bodies [points]."""
        usual = sum(reason.points for reason in self.reasons if reason.code == "usual_gap")
        return self.on_reference_method - usual

    @property
    def allowed(self) -> float:
        """How large a difference chance makes in 9 cases of 10 [points]."""
        return ORDINARY * self.by_chance

    @property
    def is_ordinary(self) -> bool:
        """Whether chance alone makes it, or what is beyond usual in it, in 1 case of 10 or more."""
        return min(abs(self.on_reference_method), abs(self.beyond_usual)) <= self.allowed

    @property
    def is_explained(self) -> bool:
        """Whether what the reasons leave is ordinary."""
        return abs(self.unexplained) <= self.allowed


ORDINARY = 1.645  # normal quantile at .95: 1 in 10 on the two sides together


def pair(analysis: CaseAnalysis, first: str, second: str) -> Pair:
    """Decompose the difference of two methods.

    Parameters
    ----------
    analysis : CaseAnalysis
    first, second : str
        Families, or keys of equations.

    Raises
    ------
    FoldspanError
        E501 if both are the same; see ``card_weights`` too.
    """
    if first == second:
        remedy = "Give two different method groups or equations."
        raise FoldspanError([Problem("E501", f"pair {first}", "the same method twice", remedy)])
    first_weights, second_weights = card_weights(analysis, first), card_weights(analysis, second)
    analysis = with_cards_of(analysis, first_weights, second_weights)
    contrast, case = first_weights - second_weights, analysis.case
    printed, corrected = analysis.printed, analysis.corrected_percent
    difference = inner(contrast, printed)
    by_reference = inner(
        contrast, error_model.reference_shifts(case.answer.cards, case.settings.reference_method)
    )
    by_site = inner(contrast, _site_moves(case))
    moved = by_reference + by_site
    reasons: list[Reason] = []
    rest = difference
    for reason in (
        _slip(analysis, inner(contrast, printed - corrected)),
        Reason("reference_method", -by_reference),
        Reason("site_correction", -by_site),
        _age_term(analysis, contrast),
        *_build(analysis, contrast, moved),
        _conversion(analysis, contrast),
    ):
        if reason is not None and abs(reason.points) >= SMALLEST:
            reasons.append(reason)
            rest -= reason.points
    loads = _reading_loads(analysis, contrast)
    variance = _variances(analysis, contrast)
    for reason in _doubtful(analysis, contrast, loads, variance, rest):
        reasons.append(reason)
        rest -= reason.points
    by_chance = float(np.sqrt(sum(variance.values())))
    ranked = tuple(sorted(reasons, key=lambda reason: -abs(reason.points)))
    known = (
        inner(first_weights, analysis.known_biases),
        inner(second_weights, analysis.known_biases),
    )
    is_levelled = bool((analysis.levelled[(first_weights + second_weights) != 0.0] > 0.0).any())
    by_background = bool(
        analysis.known_biases_by_background[(first_weights + second_weights) != 0.0].any()
    )
    return Pair(
        (first, second), difference, difference + moved, by_chance, ranked, rest, known, is_levelled,
        by_background,
    )  # fmt: skip


def _site_moves(case: Case) -> Array:
    """What a site's own correction adds to every card [points], shape (E,)."""
    offset = by_family(case.settings.local, case.people.sex).offset
    return np.array([-offset[FAMILIES.index(card.method)] for card in case.answer.cards])


def _slip(analysis: CaseAnalysis, points: float) -> Reason | None:
    slip = analysis.slip
    if slip is None:
        return None
    return Reason("slip", points, (slip.kind, *slip.names), {"gain": slip.gain})


def _age_term(analysis: CaseAnalysis, contrast: Array) -> Reason:
    """What the equations' own age terms make of this age, against the middle age."""
    by_age = analysis.corrected_percent - analysis.corrected_at_middle_age
    return Reason("age_term", inner(contrast, by_age), (), {"age": analysis.case.age})


def _build(analysis: CaseAnalysis, contrast: Array, moved: float) -> list[Reason]:
    """Usual gap of the two methods at this size, and what the signs of the build add.

    One least-squares fit of the simulated population's differences on size and signs.
    """
    columns, people = analysis.corrected.columns, simulated_people(analysis.corrected.sex)
    size = [name for name in ("weight_kg", "height_cm") if np.isfinite(columns[name][0])]
    gaps = product(contrast[analysis.used], analysis.usual)
    client_size = [float(np.log(columns[name][0])) for name in size]
    design = [np.ones_like(gaps), *(np.log(people[name]) for name in size)]
    design += [sign.usual for sign in analysis.signs]
    slope = least_squares(np.column_stack(design), gaps)
    usual_gap = inner(slope[: 1 + len(size)], np.array([1.0, *client_size]))
    reasons = [Reason("usual_gap", usual_gap + moved)]
    for sign, per_sd in zip(analysis.signs, slope[1 + len(size) :], strict=True):
        points = float(per_sd) * sign.size
        if sign.is_notable and abs(points) >= SMALLEST_SIGN:
            code = SIGN_CODES[sign.name][int(sign.z < 0.0)]
            reasons.append(Reason(code, points, sign.about, {"spreads": sign.z}))
    return reasons


def _conversion(analysis: CaseAnalysis, contrast: Array) -> Reason | None:
    """How far the conversion in use lifts density-built equations for a person of this group."""
    case = analysis.case
    fitting = fitting_conversion(case)
    if fitting is None:
        return None
    # a levelled equation was levelled with the conversion in it
    dense = np.array([float(card.predicts == "density") for card in case.answer.cards])
    dense = dense * (1.0 - analysis.levelled)
    used, corrected = case.settings.conversion, analysis.corrected_percent
    density = used.c1 / (corrected / 100.0 + used.c2)
    lifted = dense * (corrected - fitting.fat_percent(density))
    return Reason("conversion", inner(contrast, lifted), (fitting.key,))


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


@dataclass(frozen=True, slots=True)
class _Loads:
    """Points of the difference per unit of each reading, and per cm of each waist that stood in."""

    readings: Mapping[str, float]
    stand_in: Mapping[str, float]


def _variances(analysis: CaseAnalysis, contrast: Array) -> dict[str, float]:
    """Variance of the difference by block [points²]; what both share drops out.

    Where a site learnt how a family reads, its own errors count by the factor learnt, and what is
    left uncertain of the offsets takes the place of scale and conversion, as in the range.
    """
    case, answer = analysis.case, analysis.case.answer
    cards, people, settings = answer.cards, case.people, case.settings
    correlation = error_correlation_of(cards, people.sex, settings.correlation_rule)
    family_of = np.array([FAMILIES.index(card.method) for card in cards])
    site = by_family(settings.local, people.sex)
    own, elsewhere = (
        contrast * site.spread[family_of],
        np.where(site.known[family_of], 0.0, contrast),
    )
    loads = _reading_loads(analysis, own)
    variances: dict[str, float] = {}
    for name, spread in answer.block_sds.items():
        loaded = np.where(own != 0.0, own * np.nan_to_num(spread[:, 0]), 0.0)
        variances[name] = quadratic(loaded, correlation)
    # the error of a levelled equation holds the way to the scale it was levelled on
    elsewhere = elsewhere * (1.0 - analysis.levelled)
    moved = np.array([float(card.reference_method != settings.reference_method) for card in cards])
    dense = np.array([float(card.predicts == "density") for card in cards])
    variances["reference_method"] = (
        inner(elsewhere, moved) ** 2 * error_model.REFERENCE_SD[settings.reference_method] ** 2
    )
    variances["conversion"] = inner(elsewhere, dense) ** 2 * error_model.CONVERSION_SD**2
    contrast_by_family = np.bincount(family_of, weights=contrast, minlength=len(FAMILIES))
    variances["local"] = quadratic(contrast_by_family, site.uncertainty)
    variances["tester"] = _squares(loads.readings, people.reading_se)
    variances["waist_site"] = _squares(loads.stand_in, analysis.bridged.spread)
    return variances


def _squares(loads: Mapping[str, float], errors: Mapping[str, Array]) -> float:
    """Variance from independent errors, each with its load; what has no error adds nothing."""
    return sum((load * float(errors[n][0])) ** 2 for n, load in loads.items() if n in errors)


def _reading_loads(analysis: CaseAnalysis, contrast: Array) -> _Loads:
    bridged = analysis.bridged
    loads: dict[str, float] = {}
    stand_in: dict[str, float] = {}
    for row in np.flatnonzero(contrast):
        for name, slope in analysis.slopes(int(row)):
            load = float(contrast[row] * slope)
            source = str(bridged.measured_at[name][0]) if name in WAISTS else ""
            loads[source or name] = loads.get(source or name, 0.0) + load
            if source:
                stand_in[name] = stand_in.get(name, 0.0) + load
    return _Loads(loads, stand_in)


def _doubtful(
    analysis: CaseAnalysis,
    contrast: Array,
    loads: _Loads,
    variance: Mapping[str, float],
    rest: float,
) -> list[Reason]:
    """Errors of unknown direction that have a cause here, with the share of the rest they earn."""
    case, total = analysis.case, sum(variance.values())
    stand_in = loads.stand_in
    shaky = {name: load for name, load in loads.readings.items() if name in case.unsure}
    site = _site_variance(analysis, contrast)
    far, limits = _how_far(analysis, contrast), max(variance["limits"] - site, 0.0)
    causes: list[tuple[str, float, tuple[str, ...], dict[str, float]]] = [
        ("site_variant", site, tuple(sorted(case.people.site_variants)), {}),
        (
            "waist_stood_in",
            variance["waist_site"],
            tuple(sorted(stand_in)),
            _steps(analysis, stand_in),
        ),
        ("unsure_readings", _squares(shaky, case.people.reading_se), tuple(shaky), {}),
        ("outside_limits", limits, tuple(far), far),
    ]
    reasons = []
    for code, part, about, detail in causes:
        deviation = float(np.sqrt(part))
        if deviation < SMALLEST:
            continue
        points = float(np.clip(rest * part / total, -deviation, deviation))
        if abs(points) >= SMALLEST:
            reasons.append(Reason(code, points, about, detail | {"deviation": deviation}))
    return reasons


def _how_far(analysis: CaseAnalysis, contrast: Array) -> dict[str, float]:
    """How far the client lies outside the limits of the card that this weighs on most, by limit.

    Empty where the card's limits hold and it is body size itself that makes its error grow. An age
    outside adds nothing to a levelled card.
    """
    case = analysis.case
    spread = np.nan_to_num(case.answer.block_sds["limits"][:, 0])
    heaviest = int(np.argmax(np.abs(np.where(contrast != 0.0, contrast * spread, 0.0))))
    far = beyond_limits(case.answer.cards[heaviest], analysis.bridged.columns)
    if analysis.levelled[heaviest] == 1.0:
        far.pop("age_years", None)
    return far


def _steps(analysis: CaseAnalysis, stand_in: Mapping[str, float]) -> dict[str, float]:
    """Published mean difference [cm] that was added for each waist that stood in."""
    columns, bridged = analysis.case.people.columns, analysis.bridged
    return {
        name: float(bridged.columns[name][0] - columns[str(bridged.measured_at[name][0])][0])
        for name in stand_in
    }


def _site_variance(analysis: CaseAnalysis, contrast: Array) -> float:
    """Variance of the difference from folds taken at another variant [points²]."""
    case = analysis.case
    spread = np.zeros(contrast.size)
    for row in np.flatnonzero(contrast):
        card = case.answer.cards[row]
        if not set(needed(card)) & set(case.people.site_variants):
            continue
        variant = variant_variance(card, case.people, case.people.columns, case.settings.conversion)
        spread[row] = 0.0 if variant is None else float(np.sqrt(variant[0]))
    loaded = contrast * spread
    rule = case.settings.correlation_rule
    correlation = error_correlation_of(case.answer.cards, case.people.sex, rule)
    return quadratic(loaded, correlation)


def turned(given: Pair) -> Pair:
    """Return the pair with the higher method first."""
    if given.on_reference_method >= 0.0:
        return given
    reasons = tuple(Reason(r.code, -r.points, r.about, r.detail) for r in given.reasons)
    return Pair(
        (given.between[1], given.between[0]),
        -given.difference, -given.on_reference_method, given.by_chance, reasons, -given.unexplained,
        (given.reads_off[1], given.reads_off[0]), given.is_levelled, given.by_background,
    )  # fmt: skip

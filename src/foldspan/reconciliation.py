"""Reconciliation: from columns of accepted values to the agreement range of every person.

One sex at a time, because equations and reference people are by sex. Nothing here loops over people.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from foldspan import agreement, applicability, errormodel
from foldspan.applicability import LEAVES_OUT, SOUND_PERCENT, Fit
from foldspan.catalogue import EQUATIONS, SIRI, conversion_by_key
from foldspan.catalogue.card import FAMILIES, SCALES, Array, Conversion, Equation, Scale
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.evaluate import fat_percents, gradients, needed
from foldspan.local import LocalCorrection, corrected
from foldspan.problems import FoldspanError, Problem
from foldspan.protocol.waist_sites import bridges_to
from foldspan.quantities import MEASURED, WAISTS, Sex

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


@dataclass(frozen=True, slots=True)
class People:
    """N people of one sex: accepted values, and how uncertain each is.

    Parameters
    ----------
    sex : str
        ``female`` or ``male``.
    columns : mapping of str to array
        Every quantity and indicator, float arrays of length N in canonical units, NaN = unknown.
    reading_se : mapping of str to array
        Standard error of each accepted value, same units; a missing name means no error.
    ancestry : array of str
        Self-described word or "", length N.
    at_least : mapping of str to bool array
        Readings that stopped at the end of the scale.
    site_variants : mapping of str to str
        Variant at which a fold was taken, where it is known; the same for all N.
    """

    sex: Sex
    columns: Mapping[str, Array]
    reading_se: Mapping[str, Array]
    ancestry: Array
    at_least: Mapping[str, Array] = field(default_factory=dict)
    site_variants: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Settings:
    """What the caller asked for; the same for all people."""

    scale: Scale = "density"
    conversion: Conversion = SIRI
    with_disputed: bool = False
    local: LocalCorrection | None = None


def cards_for(sex: Sex) -> tuple[Equation, ...]:
    """Return the cards that can be evaluated for one sex, in catalogue order."""
    return tuple(card for card in EQUATIONS if card.sex in (sex, "both"))


def settings_for(
    scale: str,
    conversion: str,
    *,
    with_disputed: bool = False,
    local: LocalCorrection | None = None,
) -> Settings:
    """Return checked settings.

    Raises
    ------
    FoldspanError
        E501 for a scale or conversion that is not known, E601 for a local correction of another scale.
    """
    if scale not in SCALES:
        words = " or ".join(SCALES)
        raise FoldspanError([Problem("E501", "scale", "not a known scale", f"Use {words}.")])
    try:
        chosen = conversion_by_key(conversion)
    except KeyError:
        remedy = f"Use one of {', '.join(card.key for card in CONVERSIONS[:4])}, …; see equations."
        raise FoldspanError(
            [Problem("E501", "conversion", "not a known conversion", remedy)]
        ) from None
    known: Scale = "dxa" if scale == "dxa" else "density"
    if local is not None and local.scale != known:
        what = f"it was learnt on the {local.scale} scale"
        remedy = f"Say --scale {local.scale}, or leave it out."
        raise FoldspanError([Problem("E601", "local correction", what, remedy)])
    return Settings(known, chosen, with_disputed, local)


def conversion_fits(
    conversion: Conversion, sex: Sex, ages: Array, ancestry: Array, athlete: Array
) -> Array:
    """Whether a conversion was made for people like these, bool of shape (N,); Siri's always is."""
    length = ages.shape[0]
    if conversion is SIRI:
        return np.ones(length, dtype=bool)
    low, high = conversion.ages
    fits = (ages >= low) & (ages < high + 1.0) & (conversion.sex in (sex, "both"))
    if conversion.ancestry:
        fits &= ancestry == conversion.ancestry
    if conversion.audience == "athlete":
        fits &= athlete > 0
    return np.asarray(fits & (conversion.audience not in ("clinical", "youth")))


@dataclass(frozen=True, slots=True)
class Reconciled:
    """The answer for N people of one sex, with everything that led to it.

    ``percent`` (E, N) is on the stated scale, ``flags`` (E, N) bits of ``Fit``, ``equation_sd`` (E, N)
    each equation's own standard deviation without the shared blocks, ``weights`` (E, N) its weight
    within its family, ``families`` (4, N) the family estimates, ``blocks`` the covariance (N, 4, 4) by
    name, ``covariance`` their sum, ``bridges`` the waist that stood in: wanted site → measured site.
    ``printed_se`` (E, N) holds the printed errors in points, the largest of its kind where none is,
    ``spreads`` (E, N) each equation's standard deviation by block before it is shared out.
    """

    cards: tuple[Equation, ...]
    percent: Array
    flags: Array
    equation_sd: Array
    weights: Array
    families: Array
    blocks: Mapping[str, Array]
    covariance: Array
    combined: agreement.Combined
    bridges: Mapping[str, Array]
    printed_se: Array
    spreads: Mapping[str, Array]


@dataclass(frozen=True, slots=True)
class Bridged:
    """Waists filled from their neighbours: values, where from, and the spread of the step."""

    columns: Mapping[str, Array]
    measured_at: Mapping[str, Array]
    spread: Mapping[str, Array]


def bridge_waists(columns: Mapping[str, Array], sex: Sex) -> Bridged:
    """Fill a waist that was not measured from one that was, with the published difference."""
    filled = dict(columns)
    measured_at: dict[str, Array] = {}
    spread: dict[str, Array] = {}
    for wanted in WAISTS:
        value = columns[wanted].copy()
        source = np.full(value.shape, "", dtype="<U20")
        step = np.zeros(value.shape)
        for row in bridges_to(wanted, sex):
            use = np.isnan(value) & ~np.isnan(columns[row.measured])
            value = np.where(use, columns[row.measured] + row.difference, value)
            source[use], step[use] = row.measured, row.spread
        filled[wanted], measured_at[wanted], spread[wanted] = value, source, step
    return Bridged(filled, measured_at, spread)


def _fit_flags(
    cards: Sequence[Equation], people: People, settings: Settings, bridged: Bridged, percent: Array
) -> tuple[Array, Array]:
    """Flag bits and limit variance, both of shape (E, N)."""
    columns = bridged.columns
    flags = np.zeros(percent.shape, dtype=np.int64)
    variance = np.zeros(percent.shape)
    plain = {card.lineage for card in cards if not _reads_ancestry(card)}
    for row, card in enumerate(cards):
        flags[row], added = applicability.outside(card, columns)
        if _reads_ancestry(card):
            unstated = people.ancestry == ""
            added = np.hypot(added, np.where(unstated, applicability.ANCESTRY_UNSTATED, 0.0))
            if card.lineage in plain:  # the form without the term speaks where nothing is stated
                flags[row] |= np.where(unstated, int(Fit.OTHER_ANCESTRY), 0)
        flags[row] |= applicability.audience_flags(card, columns, people.ancestry)
        names = needed(card)
        missing = np.any([np.isnan(columns[name]) for name in names], axis=0)
        flags[row] |= np.where(missing, int(Fit.MISSING_INPUT), 0)
        if card.audience == "obese":
            # built above 30 % fat: a strong build can pass the weight, not the card's own answer
            with np.errstate(invalid="ignore"):
                flags[row] |= np.where(percent[row] < 30.0, int(Fit.OBESITY_ONLY), 0)
        low, high = SOUND_PERCENT
        with np.errstate(invalid="ignore"):
            unsound = ~missing & ~((percent[row] > low) & (percent[row] < high))
        flags[row] |= np.where(unsound, int(Fit.NO_SOUND_VALUE), 0)
        for name in names:
            if name in bridged.measured_at:
                stood_in = bridged.measured_at[name] != ""
                flags[row] |= np.where(stood_in, int(Fit.WAIST_BRIDGED), 0)
            if name in people.at_least:
                flags[row] |= np.where(people.at_least[name], int(Fit.SCALE_END), 0)
        variance[row] = added**2
        variant = variant_variance(card, people, columns, settings.conversion)
        if variant is not None:
            flags[row] |= int(Fit.SITE_DIFFERS)
            variance[row] += variant
    if settings.with_disputed:
        flags &= ~np.int64(int(Fit.DISPUTED))
    return applicability.speak_once(cards, flags), variance


def _reads_ancestry(card: Equation) -> bool:
    return any(given in ANCESTRY_INDICATORS.values() for given in card.inputs)


def variant_variance(
    card: Equation, people: People, columns: Mapping[str, Array], conversion: Conversion
) -> Array | None:
    """Variance from folds taken at another variant of their site; None where none was."""
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


def _reading_blocks(
    cards: Sequence[Equation], weights: Array, people: People, bridged: Bridged, settings: Settings
) -> tuple[Array, Array]:
    """Covariance of the families from readings and from waists that stood in, (N, 4, 4) each."""
    length = weights.shape[1]
    loading = {name: np.zeros((len(FAMILIES), length)) for name in MEASURED}
    stand_in = {name: np.zeros((len(FAMILIES), length)) for name in WAISTS}
    for row, card in enumerate(cards):
        if not weights[row].any():
            continue
        family = FAMILIES.index(card.family)
        for name, slope in gradients(card, bridged.columns, settings.conversion):
            pull = np.where(weights[row] > 0, weights[row] * np.nan_to_num(slope), 0.0)
            if name not in bridged.measured_at:
                loading[name][family] += pull
                continue
            source = bridged.measured_at[name]
            loading[name][family] += np.where(source == "", pull, 0.0)
            for site in WAISTS:
                loading[site][family] += np.where(source == site, pull, 0.0)
            stand_in[name][family] += np.where(source == "", 0.0, pull)
    tester = np.zeros((length, len(FAMILIES), len(FAMILIES)))
    for name, load in loading.items():
        if name in people.reading_se and load.any():
            tester += errormodel.outer_block(load, np.nan_to_num(people.reading_se[name]) ** 2)
    waist = np.zeros_like(tester)
    for name, load in stand_in.items():
        if load.any():
            waist += errormodel.outer_block(load, bridged.spread[name] ** 2)
    return tester, waist


def _family_weights(usable: Array, variance: Array, members: Array) -> Array:
    """Weights of the equations within their families, (E, N): inverse variance, summing to one."""
    weights = np.where(usable, 1.0 / variance, 0.0)
    total = members.T @ (members @ weights)
    shares: Array = np.divide(weights, total, out=np.zeros_like(weights), where=total > 0)
    return shares


def reconcile_people(
    cards: Sequence[Equation], people: People, settings: Settings | None = None
) -> Reconciled:
    """Reconcile N people of one sex.

    Parameters
    ----------
    cards : sequence of Equation
        The catalogue, or part of it, in its order; cards for the other sex are not allowed.
    people : People
        Columns of length N.
    settings : Settings, optional
        Scale, conversion, disputed equations.

    Returns
    -------
    Reconciled

    Raises
    ------
    FoldspanError
        E502 if the errors of the families do not form a covariance.
    """
    settings = settings or Settings()
    bridged = bridge_waists(people.columns, people.sex)
    printed, se = fat_percents(cards, bridged.columns, settings.conversion)
    flags, limit_variance = _fit_flags(cards, people, settings, bridged, printed)
    percent = printed + errormodel.scale_moves(cards, settings.scale)[:, None]
    usable = (flags & int(LEAVES_OUT)) == 0

    bmi = people.columns["weight_kg"] / (people.columns["height_cm"] / 100.0) ** 2
    spreads = errormodel.equation_spreads(cards, se, limit_variance, bmi, people.sex)
    equation_variance = np.sum([spread**2 for spread in spreads.values()], axis=0)
    members = errormodel.family_rows(cards)
    weights = _family_weights(usable, equation_variance, members)
    families = members @ (weights * np.where(usable, percent, 0.0))
    present = (members @ usable.astype(float) > 0).T

    correlation = errormodel.error_correlation_of(cards, people.sex)
    blocks = {
        name: errormodel.correlated_block(weights * spread, correlation, members)
        for name, spread in spreads.items()
    }
    blocks |= errormodel.shared_blocks(cards, weights, members, present, settings.scale)
    blocks["tester"], blocks["waist_site"] = _reading_blocks(
        cards, weights, people, bridged, settings
    )
    learnt = settings.local.by_sex.get(people.sex) if settings.local is not None else None
    if learnt is not None:
        families, blocks = corrected(families, blocks, present, learnt, settings.scale)
    covariance = np.sum(list(blocks.values()), axis=0)
    absent = np.eye(len(FAMILIES)) * ~present[:, None, :]
    errormodel.require_positive_definite(covariance + absent)
    combined = agreement.combine(families.T, covariance, present)
    return Reconciled(
        cards=tuple(cards),
        percent=percent,
        flags=flags,
        equation_sd=np.sqrt(equation_variance),
        weights=weights,
        families=np.where(present.T, families, np.nan),
        blocks=blocks,
        covariance=covariance,
        combined=combined,
        bridges=bridged.measured_at,
        printed_se=errormodel.printed_or_largest(cards, se),
        spreads=spreads,
    )

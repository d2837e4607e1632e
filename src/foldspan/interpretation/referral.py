"""Referral: the chance that each rule holds, and which rules are raised.

A rule that rests on measurements has a chance: that the true value is beyond its limit, given the
errors. What was self-reported counts in full. A flag never says that somebody has an illness.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.intake.as_arrays import SelfReported
from foldspan.intake.rules import is_after_birth
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.measured import Measured, zero_where_unknown
from foldspan.interpretation.referral_measured import (
    WHO_BMI,
    limb_missing,
    limits_of_weight,
    low_weight_older,
    measured_chances,
    thin_for_age,
)
from foldspan.interpretation.referral_self_reported import (
    WEAK,
    Chances,
    as_chance,
    fast_loss,
    periods,
    pressure,
    self_reported_chances,
    weak_muscle,
    weakness,
    weight_loss_chances,
    word_chances,
)
from foldspan.standards import referral_rules
from foldspan.standards.referral_rules import (
    BY_URGENCY,
    LEVELS,
    ROUNDING,
    RULE_BY_CODE,
    RULES,
    SURE_AT,
    Level,
    Rule,
)

# the ladder of rules about a low weight for height
LOW_WEIGHT = "low_weight"


@dataclass(frozen=True, slots=True, repr=False)
class Raised:
    """One rule that is raised for one client, and the chance that it holds (1 where reported)."""

    rule: Rule
    chance: float

    @property
    def level(self) -> Level:
        """How soon somebody should act."""
        return self.rule.level

    @property
    def is_borderline(self) -> bool:
        """Whether the measurements leave it open."""
        return self.chance < SURE_AT


def raised_flags(chances: Mapping[str, Array], person: int = 0) -> tuple[Raised, ...]:
    """Return the flags of one client, the most urgent first; of a ladder only the highest."""
    rows = raised(chances)
    return tuple(
        Raised(rule, float(chances[rule.code][person]))
        for rule in BY_URGENCY
        if rule.code in rows and rows[rule.code][person]
    )


def raised(chances: Mapping[str, Array]) -> dict[str, Array]:
    """Return which rules are raised for whom, bool (N,) by code; of a ladder only the highest.

    A rule that is raised for nobody is left out.
    """
    found: dict[str, Array] = {}
    best: dict[str, Array] = {}
    ranks: dict[str, Array] = {}
    for rule in RULES:
        if rule.code not in chances:
            continue
        chance = chances[rule.code]
        is_found = chance >= rule.raised_at - ROUNDING  # what is not known is not raised
        if not is_found.any():
            continue
        found[rule.code] = is_found
        if rule.ladder:  # the more urgent first, of those the sure ones
            rank = np.where(is_found, 2.0 * LEVELS.index(rule.level) + (chance >= SURE_AT), -1.0)
            ranks[rule.code] = rank
            best[rule.ladder] = np.maximum(best.get(rule.ladder, rank), rank)
    shown: dict[str, Array] = {}
    for code, rank in ranks.items():
        ladder = RULE_BY_CODE[code].ladder
        here = found[code] & (rank == best[ladder])
        if ladder in shown:  # and of those the one that stands first
            here &= ~shown[ladder]
        found[code] = here
        shown[ladder] = shown.get(ladder, np.zeros_like(here)) | here
    return found


def has_low_weight(rows: Mapping[str, Array], count: int) -> Array:
    """For whom of N people a low weight is raised, bool (N,), by what ``raised`` returned."""
    found = np.zeros(count, dtype=bool)
    for code, is_raised in rows.items():
        if RULE_BY_CODE[code].ladder == LOW_WEIGHT:
            found |= is_raised
    return found


def chances_of(indices: Indices, reported: SelfReported, *, is_strong: BoolArray) -> Chances:
    """Return the chances of the rules for N adults, 0 to 1, NaN where nothing is known.

    A rule that rests on self-reported words is left out where nobody reported them.

    Parameters
    ----------
    indices : Indices
        Measures with their errors.
    reported : SelfReported
        Their intake.
    is_strong : bool array (N,)
        Athletes, and bodies whose limbs show more muscle than usual.
    """
    chances = self_reported_chances(reported, indices.age)
    chances |= measured_chances(indices, reported, is_strong)
    # a waist that is a little large at a usual weight is no matter where weight is low
    low = has_low_weight(raised(chances), indices.count)
    if low.any():
        chances["central_fat"] = np.where(low, 0.0, chances["central_fat"])
    return chances


def chances_without_range(
    reported: SelfReported,
    sex: str,
    age: Array,
    background: Array,
    bmi: Measured,
    *,
    is_expecting: bool,
) -> Chances:
    """Return the chances of the rules that rest on what N people reported who get no adult range.

    ``sex`` may be "" where it is not known, ``age`` NaN. In pregnancy and the months after a birth
    (``is_expecting``) stopped periods mean nothing, and raised blood pressure or swelling cannot wait;
    after a birth a loss of weight means nothing. A low weight is flagged all the same: a pregnancy or
    fluid makes the true one lower still; under 18 it is held against the growth reference, and where a
    limb is missing against limits that leave room for it. Whoever is of unknown age is taken for an
    adult here.
    """
    found = word_chances(reported) | pressure(reported) | weakness(reported, age)
    if reported.has(*WEAK, "grip_kg"):
        found["muscle_signs"] = weak_muscle(reported, sex, age, background)
    with np.errstate(invalid="ignore"):
        young = age < referral_rules.ADULT_AGE
    after_birth = is_after_birth(reported.number("birth_months_ago"))
    lost = reported.any_of("limb_loss")
    bmi.below_each(limits_of_weight())  # all at once
    classes = ("bmi_severely_low", "bmi_clearly_low", "bmi_low")
    for code, limit in zip(classes, WHO_BMI.limits, strict=False):
        found[code] = np.where(young | lost, 0.0, zero_where_unknown(bmi.below(limit)))
    for chances, here in ((thin_for_age(sex, age, bmi), young & ~lost), (limb_missing(bmi), lost)):
        found |= {
            code: np.where(here, zero_where_unknown(chance), 0.0)
            for code, chance in chances.items()
        }
    found |= {
        code: np.where(young | lost, 0.0, zero_where_unknown(chance))
        for code, chance in low_weight_older(age, bmi).items()
    }
    losses = weight_loss_chances(reported)
    if losses:
        losses["bmi_low_with_fast_loss"] = found["bmi_low"] * fast_loss(reported)
    found |= {code: np.where(after_birth, 0.0, chance) for code, chance in losses.items()}
    if is_expecting:
        swollen = as_chance(reported.any_of("swelling"))
        found["pregnancy_signs"] = np.maximum(found.get("pressure_raised", swollen), swollen)
        if "swelling" in found:  # said by the sign above, sooner
            found["swelling"] = found["swelling"] * (1.0 - swollen)
        return found
    return found | periods(reported, age)

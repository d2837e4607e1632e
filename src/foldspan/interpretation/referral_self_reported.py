"""Referral, self-reported: chances of the rules that rest on what people said before the measuring.

What was reported counts in full. A loss of weight has a chance, because both weights carry an error.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.indices import is_among
from foldspan.interpretation.measured import Measured, zero_where_unknown
from foldspan.quantities import WEEKS_A_MONTH
from foldspan.standards import referral_rules
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.referral_rules import RULES

Chances = dict[str, Array]
# Intake words: signs of weak muscle.
WEAK = ("weak", "slow", "falls")


def self_reported_chances(reported: SelfReported, age: Array) -> Chances:
    """Return the rules that rest on what N adults reported alone, but for what nobody reported."""
    return (
        word_chances(reported)
        | weight_loss_chances(reported)
        | pressure(reported)
        | periods(reported, age)
        | weakness(reported, age)
    )


def word_chances(reported: SelfReported) -> Chances:
    """Return the rules that words of the intake raise by themselves, but for those nobody reported."""
    chances = {
        rule.code: as_chance(reported.any_of(*rule.intake_words))
        for rule in RULES
        if reported.has(*rule.intake_words)
    }
    if reported.has("eating_concern"):
        chances["eating_concern"] = as_chance(reported.any_of("eating_concern"))
    ill = reported.any_of("fever", "vomiting_or_drowsy")
    if reported.has("tight_belly", "ascites", "yellow_skin"):
        chances["belly_urgent"] = as_chance(
            (reported.any_of("tight_belly", "ascites") & (ill | reported.any_of("yellow_skin")))
            | (reported.any_of("yellow_skin") & ill)
        )
    if reported.has("thirst_and_urine"):
        chances["thirst_urgent"] = as_chance(
            reported.any_of("thirst_and_urine") & reported.any_of("vomiting_or_drowsy")
        )
    if reported.has("surgery_months_ago"):
        with np.errstate(invalid="ignore"):
            fresh = reported.number("surgery_months_ago") < referral_rules.MONTHS_AFTER_SURGERY
        chances["recent_surgery"] = as_chance(fresh)
    return chances


def periods(reported: SelfReported, age: Array) -> Chances:
    """Periods that stopped before the age from which that is expected; of unknown age too."""
    if not reported.has("periods_stopped"):
        return {}
    with np.errstate(invalid="ignore"):
        expected = age >= referral_rules.PERIODS_AGE
    return {"periods_stopped": as_chance(reported.any_of("periods_stopped") & ~expected)}


def weakness(reported: SelfReported, age: Array) -> Chances:
    """Weak, slow or falling before the age from which muscle is thought of first."""
    if not reported.has(*WEAK):
        return {}
    with np.errstate(invalid="ignore"):
        return {"weakness": as_chance(reported.any_of(*WEAK) & ~(age >= referral_rules.MUSCLE_AGE))}


def weak_muscle(
    reported: SelfReported, sex: str, age: Array, background: Array, *, either: bool = False
) -> Array:
    """Signs of weak muscle that were reported, from the age on from which they count.

    Where the sex is "", not known, a grip counts that is weak by the limits of both sexes, or, for what
    a referral rests on (``either``), by those of one of them: to miss one would hurt more.
    """
    if not reported.has(*WEAK, "grip_kg"):
        return np.zeros(reported.count)
    asian = is_among(background, ASIAN_BACKGROUNDS)
    limits = (referral_rules.WEAK_GRIP_ASIAN, referral_rules.WEAK_GRIP)
    of_both = max if either else min
    grip = np.where(asian, *(limit.get(sex, of_both(limit.values())) for limit in limits))
    with np.errstate(invalid="ignore"):
        weak = reported.number("grip_kg") < grip
        old, older = age >= referral_rules.GRIP_AGE, age >= referral_rules.MUSCLE_AGE
    return as_chance((reported.any_of(*WEAK) & older) | (weak & old))


def pressure(reported: SelfReported) -> Chances:
    """Return the rules about blood pressure; one number of the two is enough."""
    if not reported.has("systolic", "diastolic"):
        return {}
    upper, lower = reported.number("systolic"), reported.number("diastolic")
    found = {}
    for code, (high, low) in (
        ("pressure_raised", referral_rules.RAISED_PRESSURE),
        ("pressure_very_high", referral_rules.VERY_HIGH_PRESSURE),
    ):
        with np.errstate(invalid="ignore"):
            found[code] = as_chance((upper >= high) | (lower >= low))
    return found


def weight_loss_chances(reported: SelfReported) -> Chances:
    """Return the rules about a loss of weight by itself, none where nobody reported one.

    Where eating is a worry, or periods stopped, no loss is taken for a planned one: whoever cannot stop
    losing calls the loss wanted. It has a rule of its own, because "not wanted" would be untrue.
    """
    if not reported.has("loss_percent"):
        return {}
    wanted = reported.number("loss_wanted")
    worry = reported.any_of("eating_concern", "periods_stopped") & (wanted != 0.0)
    soon, fast = _loss_chance(reported, referral_rules.LOSS_SOON), fast_loss(reported)
    weeks = reported.number("loss_months") * WEEKS_A_MONTH
    with np.errstate(divide="ignore", invalid="ignore"):
        a_week = Measured(
            reported.number("loss_percent") / weeks, reported.number("loss_se") / weeks
        )
    planned = zero_where_unknown(a_week.at_least(referral_rules.PLANNED_LOSS_A_WEEK))
    return {
        "loss_fast": np.where(wanted == 0.0, fast, 0.0),
        "loss_unplanned": np.where(wanted == 0.0, soon, 0.0),
        "loss_with_worry": np.where(worry, soon, 0.0),
        "loss_large_not_asked": np.where(np.isnan(wanted) & ~worry, fast, 0.0),
        "loss_large_undated": np.where(np.isnan(wanted) & ~worry, _large_undated(reported), 0.0),
        "loss_not_asked": np.where(np.isnan(wanted) & ~worry, soon, 0.0),
        "loss_planned_fast": np.where((wanted == 1.0) & ~worry, planned, 0.0),
    }


def fast_loss(reported: SelfReported) -> Array:
    """Chance of much weight lost in a short time, wanted or not."""
    return _loss_chance(reported, referral_rules.LOSS_FAST, counts_undated=False)


def _large_undated(reported: SelfReported) -> Array:
    """Chance of a large loss in a time that nobody noted: it may have been a short one."""
    large = _loss_chance(reported, ((referral_rules.LARGE_LOSS, 0.0),))
    return np.where(np.isnan(reported.number("loss_months")), large, 0.0)


def _loss_chance(
    reported: SelfReported, windows: tuple[tuple[float, float], ...], *, counts_undated: bool = True
) -> Array:
    """Chance of a loss as large as in any of the windows it took no longer than.

    A loss in a time that nobody noted may have taken no longer (``counts_undated``): a rule that says
    how fast it was leaves it out, every other counts it, so that it is not lost from sight.
    """
    loss = Measured(reported.number("loss_percent"), reported.number("loss_se"))
    months = reported.number("loss_months")
    chance = np.zeros(reported.count)
    for percent, most_months in windows:
        with np.errstate(invalid="ignore"):
            # months are of different lengths: three days either way
            inside = months <= most_months + referral_rules.DAYS_EITHER_WAY
        inside |= np.isnan(months) & counts_undated
        chance = np.maximum(
            chance, np.where(inside, zero_where_unknown(loss.at_least(percent)), 0.0)
        )
    return chance


def unplanned(reported: SelfReported) -> Array:
    """Chance of some loss in the last year that was not wanted."""
    return np.where(reported.number("loss_wanted") == 0.0, some_loss(reported), 0.0)


def some_loss(reported: SelfReported) -> Array:
    """Chance of a loss that counts beside a low weight, wanted or not."""
    return _loss_chance(reported, ((referral_rules.SOME_LOSS, referral_rules.SOME_MONTHS),))


def as_chance(mask: BoolArray) -> Array:
    """What was reported, as a chance of 1 or 0."""
    return np.asarray(mask, dtype=float)

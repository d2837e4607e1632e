"""Referral, told: chances of the rules that rest on what people told before they were measured.

What was told counts in full. A loss of weight has a chance, because both weights carry an error.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.intake.as_arrays import Told
from foldspan.interpretation.classification import below
from foldspan.interpretation.indices import Measured, is_among
from foldspan.standards import referral_rules
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.referral_rules import RULES

Chances = dict[str, Array]
# Words of the intake: signs of weak muscle.
WEAK = ("weak", "slow", "falls")


def chances_told(told: Told) -> Chances:
    """Return the rules that words of the intake raise by themselves, but for those nobody told."""
    chances = {rule.code: yes(told.said(*rule.said)) for rule in RULES if told.has(*rule.said)}
    if told.has("eating_concern"):
        chances["eating_concern"] = yes(told.said("eating_concern"))
    ill = told.said("fever", "vomiting_or_drowsy")
    if told.has("tight_belly", "ascites", "yellow_skin"):
        chances["belly_urgent"] = yes(
            (told.said("tight_belly", "ascites") & (ill | told.said("yellow_skin")))
            | (told.said("yellow_skin") & ill)
        )
    if told.has("thirst_and_urine"):
        chances["thirst_urgent"] = yes(
            told.said("thirst_and_urine") & told.said("vomiting_or_drowsy")
        )
    if told.has("surgery_months_ago"):
        with np.errstate(invalid="ignore"):
            fresh = told.number("surgery_months_ago") < referral_rules.MONTHS_AFTER_SURGERY
        chances["recent_surgery"] = yes(fresh)
    return chances


def periods(told: Told, age: Array) -> Chances:
    """Periods that stopped before the age from which that is expected; of unknown age too."""
    if not told.has("periods_stopped"):
        return {}
    with np.errstate(invalid="ignore"):
        expected = age >= referral_rules.PERIODS_AGE
    return {"periods_stopped": yes(told.said("periods_stopped") & ~expected)}


def weakness(told: Told, age: Array) -> Chances:
    """Weak, slow or falling before the age from which muscle is thought of first."""
    if not told.has(*WEAK):
        return {}
    with np.errstate(invalid="ignore"):
        return {"weakness": yes(told.said(*WEAK) & ~(age >= referral_rules.MUSCLE_AGE))}


def weak_muscle(
    told: Told, sex: str, age: Array, background: Array, *, either: bool = False
) -> Array:
    """Signs of weak muscle that were told, from the age on from which they count.

    Where the sex is "", not known, a grip counts that is weak by the limits of both sexes, or, for what
    a referral rests on (``either``), by those of one of them: to miss one would hurt more.
    """
    if not told.has(*WEAK, "grip_kg"):
        return np.zeros(told.count)
    asian = is_among(background, ASIAN_BACKGROUNDS)
    limits = (referral_rules.WEAK_GRIP_ASIAN, referral_rules.WEAK_GRIP)
    of_both = max if either else min
    grip = np.where(asian, *(limit.get(sex, of_both(limit.values())) for limit in limits))
    with np.errstate(invalid="ignore"):
        weak = told.number("grip_kg") < grip
        old, older = age >= referral_rules.GRIP_AGE, age >= referral_rules.MUSCLE_AGE
    return yes((told.said(*WEAK) & older) | (weak & old))


def pressure(told: Told) -> Chances:
    """Return the rules about blood pressure; one number of the two is enough."""
    if not told.has("systolic", "diastolic"):
        return {}
    upper, lower = told.number("systolic"), told.number("diastolic")
    found = {}
    for code, (high, low) in (
        ("pressure_raised", referral_rules.RAISED_PRESSURE),
        ("pressure_very_high", referral_rules.VERY_HIGH_PRESSURE),
    ):
        with np.errstate(invalid="ignore"):
            found[code] = yes((upper >= high) | (lower >= low))
    return found


def losses_told(told: Told) -> Chances:
    """Return the rules about a loss of weight by itself, none where nobody told one.

    Where eating is a worry, or periods stopped, no loss is taken for a planned one: whoever cannot stop
    losing calls the loss wanted. It has a rule of its own, because "not wanted" would be untrue.
    """
    if not told.has("loss_percent"):
        return {}
    wanted = told.number("loss_wanted")
    worry = told.said("eating_concern", "periods_stopped") & (wanted != 0.0)
    soon, fast = _loss_chance(told, referral_rules.LOSS_SOON), fast_loss(told)
    weeks = told.number("loss_months") * referral_rules.WEEKS_A_MONTH
    with np.errstate(divide="ignore", invalid="ignore"):
        a_week = Measured(told.number("loss_percent") / weeks, told.number("loss_se") / weeks)
    planned = known(at_least(referral_rules.PLANNED_LOSS_A_WEEK, a_week))
    return {
        "loss_fast": np.where(wanted == 0.0, fast, 0.0),
        "loss_unplanned": np.where(wanted == 0.0, soon, 0.0),
        "loss_with_worry": np.where(worry, soon, 0.0),
        "loss_large_not_asked": np.where(np.isnan(wanted) & ~worry, fast, 0.0),
        "loss_large_undated": np.where(np.isnan(wanted) & ~worry, _large_undated(told), 0.0),
        "loss_not_asked": np.where(np.isnan(wanted) & ~worry, soon, 0.0),
        "loss_planned_fast": np.where((wanted == 1.0) & ~worry, planned, 0.0),
    }


def fast_loss(told: Told) -> Array:
    """Chance of much weight lost in a short time, wanted or not."""
    return _loss_chance(told, referral_rules.LOSS_FAST, counts_undated=False)


def _large_undated(told: Told) -> Array:
    """Chance of a large loss in a time that nobody noted: it may have been a short one."""
    large = _loss_chance(told, ((referral_rules.LARGE_LOSS, 0.0),))
    return np.where(np.isnan(told.number("loss_months")), large, 0.0)


def _loss_chance(
    told: Told, windows: tuple[tuple[float, float], ...], *, counts_undated: bool = True
) -> Array:
    """Chance of a loss as large as in any of the windows it took no longer than.

    A loss in a time that nobody noted may have taken no longer (``counts_undated``): a rule that says
    how fast it was leaves it out, every other counts it, so that it is not lost from sight.
    """
    loss = Measured(told.number("loss_percent"), told.number("loss_se"))
    months = told.number("loss_months")
    chance = np.zeros(told.count)
    for percent, most_months in windows:
        with np.errstate(invalid="ignore"):
            # months are of different lengths: three days either way
            inside = months <= most_months + referral_rules.DAYS_EITHER_WAY
        inside |= np.isnan(months) & counts_undated
        chance = np.maximum(chance, np.where(inside, known(at_least(percent, loss)), 0.0))
    return chance


def unplanned(told: Told) -> Array:
    """Chance of some loss in the last year that was not wanted."""
    return np.where(told.number("loss_wanted") == 0.0, some_loss(told), 0.0)


def some_loss(told: Told) -> Array:
    """Chance of a loss that counts beside a low weight, wanted or not."""
    return _loss_chance(told, ((referral_rules.SOME_LOSS, referral_rules.SOME_MONTHS),))


def yes(mask: BoolArray) -> Array:
    """What was told, as a chance of 1 or 0."""
    return np.asarray(mask, dtype=float)


def at_least(limit: float, measured: Measured) -> Array:
    """Chance that each true value is at a limit or above it."""
    return np.asarray(1.0 - below(limit, measured))


def known(chance: Array) -> Array:
    """Chances with 0 for what is not known, to be joined to what was told."""
    return np.fmax(chance, 0.0)

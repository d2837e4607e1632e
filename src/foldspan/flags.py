"""Flags: how strong the evidence is for each rule, and which rules are raised.

A rule that rests on measurements has a chance: that the true value is beyond its limit, given the
errors. What was told counts in full. A flag never says that somebody has an illness.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldspan.agreement import Z_WIDE
from foldspan.bands import WORTH_TELLING, below, below_each, chance_below
from foldspan.catalogue.card import Array
from foldspan.indices import Indices, Measured, is_among
from foldspan.standards import STANDARD_BY_KEY, rules
from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.rules import LEVELS, RULE_BY_CODE, RULES, SURE_AT, Level, Rule
from foldspan.told import Told

Chances = dict[str, Array]
WHO_BMI = STANDARD_BY_KEY["who2000_bmi"]
LOWER_BMI = STANDARD_BY_KEY["nice2023_bmi_background"]
WAIST_TO_HEIGHT = STANDARD_BY_KEY["nice2022_waist_to_height"]
# Words of the intake: signs of weak muscle, and what makes much weight a matter for a doctor.
WEAK = ("weak", "slow", "falls")
STRAIN = ("high_blood_pressure", "diabetes", "sleepy_snoring", "joint_pain")


@dataclass(frozen=True, slots=True, repr=False)
class Raised:
    """One rule that is raised for one client, and the chance that it holds (1 where it was told)."""

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
    some = [
        Raised(rule, float(chances[rule.code][person]))
        for rule in RULES
        if rule.code in rows and rows[rule.code][person]
    ]
    return tuple(sorted(some, key=lambda one: -LEVELS.index(one.level)))


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
        is_found = chance >= rule.raised_at  # what is not known is not raised
        if not is_found.any():
            continue
        found[rule.code] = is_found
        if rule.ladder:  # the more urgent first, of those the surer
            rank = np.where(is_found, LEVELS.index(rule.level) + 0.99 * chance, -1.0)
            ranks[rule.code] = rank
            best[rule.ladder] = np.maximum(best.get(rule.ladder, rank), rank)
    for code, rank in ranks.items():
        found[code] &= rank == best[RULE_BY_CODE[code].ladder]
    return found


def chances_of(indices: Indices, told: Told, *, is_strong: Array) -> Chances:
    """Return the chances of the rules for N adults, 0 to 1, NaN where nothing is known.

    A rule that rests on what was told is left out where nobody told it.

    Parameters
    ----------
    indices : Indices
        Measures with their errors.
    told : Told
        Their intake.
    is_strong : bool array (N,)
        Athletes, and bodies whose limbs show more muscle than usual.
    """
    chances = chances_told(told) | _losses(told) | _pressure(told)
    chances |= _periods(told, indices.age) | _weakness(told, indices.age)
    chances |= _low_weight(indices, told) | _much_weight(indices, told, is_strong)
    chances |= _low_fat(indices) | _lean(indices, told) | _muscle(indices, told)
    chances["strong_build"] = _yes(is_strong & reads_high(indices))
    return chances


def reads_high(indices: Indices) -> Array:
    """Whether weight for height may be above the usual band, where a strong build would mislead."""
    chance = _at_least(WHO_BMI.limits[3], indices.bmi)
    return np.asarray(_known(chance) >= WORTH_TELLING)


def chances_without_range(
    told: Told, sex: str, age: Array, background: Array, bmi: Measured, *, is_expecting: bool
) -> Chances:
    """Return the chances of the rules that rest on what N people told who get no adult range.

    ``sex`` may be "" where it is not known. In pregnancy and the months after a birth
    (``is_expecting``) stopped periods mean nothing, and raised blood pressure or swelling cannot wait;
    after a birth a loss of weight means nothing. A very low weight is flagged in adults all the same:
    a pregnancy or fluid makes the true one lower still. A child and a missing limb have none.
    """
    found = chances_told(told) | _pressure(told) | _weakness(told, age)
    if told.has(*WEAK, "grip_kg"):
        found["muscle_signs"] = _weak_muscle(told, sex, age, background)
    with np.errstate(invalid="ignore"):
        whole = (age >= 18.0) & ~told.said("limb_loss")
        after_birth = told.number("birth_months_ago") < rules.MONTHS_AFTER_BIRTH
    for code, limit in zip(("bmi_severely_low", "bmi_clearly_low"), WHO_BMI.limits, strict=False):
        found[code] = np.where(whole, _known(below(limit, bmi)), 0.0)
    found |= {code: np.where(after_birth, 0.0, one) for code, one in _losses(told).items()}
    if is_expecting:
        swollen = _yes(told.said("swelling"))
        found["pregnancy_signs"] = np.maximum(found.get("pressure_raised", swollen), swollen)
        if "swelling" in found:  # said by the sign above, sooner
            found["swelling"] = found["swelling"] * (1.0 - swollen)
        return found
    return found | _periods(told, age)


def chances_told(told: Told) -> Chances:
    """Return the rules that words of the intake raise by themselves, but for those nobody told."""
    chances = {
        rule.code: _yes(told.said(*rule.said))
        for rule in RULES
        if rule.said and told.has(*rule.said)
    }
    if told.has("eating_concern"):
        chances["eating_concern"] = _yes(told.said("eating_concern"))
    ill = told.said("fever", "vomiting_or_drowsy")
    if told.has("tight_belly", "ascites", "yellow_skin"):
        chances["belly_urgent"] = _yes(
            (told.said("tight_belly", "ascites") & (ill | told.said("yellow_skin")))
            | (told.said("yellow_skin") & ill)
        )
    if told.has("thirst_and_urine"):
        chances["thirst_urgent"] = _yes(
            told.said("thirst_and_urine") & told.said("vomiting_or_drowsy")
        )
    if told.has("surgery_months_ago"):
        with np.errstate(invalid="ignore"):
            fresh = told.number("surgery_months_ago") < rules.MONTHS_AFTER_SURGERY
        chances["recent_surgery"] = _yes(fresh)
    return chances


def _periods(told: Told, age: Array) -> Chances:
    if not told.has("periods_stopped"):
        return {}
    return {"periods_stopped": _yes(told.said("periods_stopped") & (age < rules.PERIODS_AGE))}


def _weakness(told: Told, age: Array) -> Chances:
    """Weak, slow or falling before the age from which muscle is thought of first."""
    if not told.has(*WEAK):
        return {}
    with np.errstate(invalid="ignore"):
        return {"weakness": _yes(told.said(*WEAK) & ~(age >= rules.MUSCLE_AGE))}


def _weak_muscle(told: Told, sex: str, age: Array, background: Array) -> Array:
    """Signs of weak muscle that were told, from the age on from which they count."""
    if not told.has(*WEAK, "grip_kg"):
        return np.zeros(told.count)
    asian = is_among(background, ASIAN_BACKGROUNDS)
    grip = np.where(asian, rules.WEAK_GRIP_ASIAN.get(sex, np.nan), rules.WEAK_GRIP.get(sex, np.nan))
    with np.errstate(invalid="ignore"):
        weak = told.number("grip_kg") < grip
        old, older = age >= rules.GRIP_AGE, age >= rules.MUSCLE_AGE
    return _yes((told.said(*WEAK) & older) | (weak & old))


def _yes(mask: Array) -> Array:
    return np.asarray(mask, dtype=float)


def _at_least(limit: float, measured: Measured) -> Array:
    return np.asarray(1.0 - below(limit, measured))


def _known(chance: Array) -> Array:
    """Chances with 0 for what is not known, to be joined to what was told."""
    return np.fmax(chance, 0.0)


def _pressure(told: Told) -> Chances:
    if not told.has("systolic", "diastolic"):
        return {}
    upper, lower = told.number("systolic"), told.number("diastolic")
    found = {}
    for code, (high, low) in (
        ("pressure_raised", rules.RAISED_PRESSURE),
        ("pressure_very_high", rules.VERY_HIGH_PRESSURE),
    ):
        with np.errstate(invalid="ignore"):
            found[code] = _yes((upper >= high) | (lower >= low))
    return found


def _loss_chance(told: Told, windows: tuple[tuple[float, float], ...]) -> Array:
    """Chance of a loss as large as in any of the windows it took no longer than."""
    loss = Measured(told.number("loss_percent"), told.number("loss_se"))
    months = told.number("loss_months")
    chance = np.zeros(told.count)
    for percent, most_months in windows:
        with np.errstate(invalid="ignore"):
            # months are of different lengths: three days either way
            inside = months <= most_months + rules.DAYS_EITHER_WAY
        chance = np.maximum(chance, np.where(inside, _known(_at_least(percent, loss)), 0.0))
    return chance


def _unplanned(told: Told) -> Array:
    """Chance of some loss in the last year that was not wanted."""
    return np.where(told.number("loss_wanted") == 0.0, _some_loss(told), 0.0)


def _some_loss(told: Told) -> Array:
    return _loss_chance(told, ((rules.SOME_LOSS, rules.SOME_MONTHS),))


def _losses(told: Told) -> Chances:
    if not told.has("loss_percent"):
        return {}
    wanted = told.number("loss_wanted")
    # where eating is a worry, or periods stopped, a loss that is called wanted counts like any other
    wanted = np.where(told.said("eating_concern", "periods_stopped"), 0.0, wanted)
    soon, urgent = (_loss_chance(told, one) for one in (rules.LOSS_SOON, rules.LOSS_URGENT))
    weeks = told.number("loss_months") * rules.WEEKS_A_MONTH
    with np.errstate(divide="ignore", invalid="ignore"):
        a_week = Measured(told.number("loss_percent") / weeks, told.number("loss_se") / weeks)
    fast = _known(_at_least(rules.PLANNED_LOSS_A_WEEK, a_week))
    return {
        "loss_fast": np.where(wanted == 0.0, urgent, 0.0),
        "loss_unplanned": np.where(wanted == 0.0, soon, 0.0),
        "loss_large_not_asked": np.where(np.isnan(wanted), urgent, 0.0),
        "loss_not_asked": np.where(np.isnan(wanted), soon, 0.0),
        "loss_planned_fast": np.where(wanted == 1.0, fast, 0.0),
    }


def _low_weight(indices: Indices, told: Told) -> Chances:
    severe, clear, low, *_ = below_each(WHO_BMI.limits, indices.bmi)
    found = {"bmi_severely_low": severe, "bmi_clearly_low": clear, "bmi_low": low}
    if told.has("loss_percent"):
        found["bmi_low_with_loss"] = low * _some_loss(told)
    if told.has("loss_percent", "eating_little"):
        found["bmi_low_for_illness"] = _low_for_illness(indices, told)
    return found


def _low_for_illness(indices: Indices, told: Told) -> Array:
    """Chance of a weight that is low for somebody who is ill, eats little or loses weight."""
    bmi, asian = indices.bmi, indices.is_among(ASIAN_BACKGROUNDS)
    old = (indices.age >= rules.ILLNESS_AGE).astype(int)
    limit = np.where(
        asian,
        np.array(rules.ILLNESS_BMI_ASIAN)[old],
        np.array(rules.ILLNESS_BMI)[old],
    )
    cause = np.maximum(_unplanned(told), _yes(told.said("eating_little")))
    return chance_below(limit, bmi.value, bmi.se) * cause


def _high_chance(indices: Indices, place: int) -> Array:
    """Chance of body mass index in one of the three high classes, 0 to 2, or above it.

    The classes start lower in the backgrounds NICE names.
    """
    bmi = indices.bmi
    chance = _at_least(WHO_BMI.limits[-3:][place], bmi)
    lower = np.flatnonzero(indices.is_among(LOWER_BMI.backgrounds))
    if lower.size:
        limit = LOWER_BMI.limits[-3:][place]
        chance[lower] = 1.0 - chance_below(limit, bmi.value[lower], bmi.se[lower])
    return chance


def _much_weight(indices: Indices, told: Told, is_strong: Array) -> Chances:
    bmi = indices.bmi
    ratio = indices.of(WAIST_TO_HEIGHT)
    half, six_tenths = (1.0 - one for one in below_each(WAIST_TO_HEIGHT.limits, ratio)[1:])
    if told.has("hernia", "stoma"):  # they make the waist mean something else
        void = told.said("hernia", "stoma")
        half, six_tenths = np.where(void, 0.0, half), np.where(void, 0.0, six_tenths)
    # of a strong build weight alone tells nothing: the waist has to say so too
    carried = np.where(is_strong, _known(half), 1.0) if is_strong.any() else 1.0
    low, high, above = WHO_BMI.limits[2], WHO_BMI.limits[3], WAIST_TO_HEIGHT.bmi[1]
    assert above is not None
    usual = below(high, bmi) - below(low, bmi)
    found = {
        "bmi_very_far_above": _high_chance(indices, 2) * carried,
        "bmi_far_above": _high_chance(indices, 1) * carried,
        "waist_six_tenths": six_tenths * below(above, bmi),
        "central_fat": half * usual,
    }
    if told.has(*STRAIN, "systolic", "diastolic"):
        strain = _yes(told.said(*STRAIN))
        strain = np.maximum(_pressure(told).get("pressure_raised", strain), strain)
        large = np.maximum(_high_chance(indices, 0) * carried, _known(_at_least(high, bmi) * half))
        found["weight_with_signs"] = large * strain
    return found


def _low_fat(indices: Indices) -> Chances:
    fat = indices.fat["density"]
    limit = rules.VERY_LOW_FAT[indices.sex]
    with np.errstate(invalid="ignore"):
        whole = fat.value + Z_WIDE * fat.se < limit
    near = below(limit, fat)
    return {"fat_very_low": np.where(whole, near, 0.0), "fat_near_minimum": near}


def _lean(indices: Indices, told: Told) -> Chances:
    standard = STANDARD_BY_KEY[f"espen2015_lean_{indices.sex}"]
    low = below(standard.limits[0], indices.of(standard))
    low = np.where(indices.is_among(standard.not_for), 0.0, low)
    with np.errstate(invalid="ignore"):
        sure = np.where(low >= SURE_AT, low, 0.0)
    if not told.has("loss_percent"):
        return {"lean_low": sure}
    return {"lean_low_with_loss": low * _unplanned(told), "lean_low": sure}


def _muscle(indices: Indices, told: Told) -> Chances:
    sex = indices.sex
    sign = _weak_muscle(told, sex, indices.age, indices.background)
    asian = indices.is_among(ASIAN_BACKGROUNDS) & (indices.age >= rules.GRIP_AGE)
    if asian.any():
        calf = below(rules.SMALL_CALF_ASIAN[sex], indices.measured("calf_girth_cm"))
        sign = np.maximum(sign, np.where(asian, _known(calf), 0.0))
    if not sign.any():  # whatever the weight and the waist are
        return {"muscle_and_weight": sign, "muscle_signs": sign}
    standard = STANDARD_BY_KEY[f"who2008_waist_{sex}"]
    high_waist = _at_least(standard.limits[-1], indices.of(standard))
    much = np.maximum(_known(_high_chance(indices, 0)), _known(high_waist))
    older = np.asarray(indices.age >= rules.MUSCLE_AGE, dtype=float)
    return {"muscle_and_weight": sign * much * older, "muscle_signs": sign}

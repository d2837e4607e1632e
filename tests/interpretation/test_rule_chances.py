"""Chances of rules by themselves: what the ladders hide, and what two people told is not mixed up."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.indices import indices_of
from foldspan.interpretation.lean_folds import SEVEN, sum_of_seven
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import Raised, chances_of, chances_without_range, raised
from foldspan.interpretation.referral_measured import height_lost
from foldspan.interpretation.referral_self_reported import word_chances
from foldspan.quantities import BY_NAME
from foldspan.standards.referral_rules import RULE_BY_CODE, RULES

HEIGHT = 170.0


def known(value: float, se: float) -> Measured:
    return Measured(np.array([value]), np.array([se]))


def only(**numbers: float) -> SelfReported:
    """One person who told these numbers, and nothing else is known of anybody."""
    return SelfReported(1, numbers={name: np.array([value]) for name, value in numbers.items()})


def chances_of_one(
    reported: SelfReported, bmi: float = 22.0, waist: float = 0.45
) -> dict[str, Any]:
    columns = dict.fromkeys(BY_NAME, np.array([np.nan])) | {"age_years": np.array([70.0])}
    columns |= {"weight_kg": np.array([bmi * 1.7**2]), "height_cm": np.array([HEIGHT])}
    columns["waist_midpoint_cm"] = np.array([HEIGHT * waist])
    errors = {name: np.array([0.3]) for name in ("weight_kg", "height_cm", "waist_midpoint_cm")}
    fat = {"density": known(28.0, 2.0), "dxa": known(31.0, 2.0)}
    indices = indices_of("female", columns, errors, np.array([""]), fat)
    return chances_of(indices, reported, is_strong=np.array([False]))


def test_a_rule_that_nobody_told_of_is_left_out() -> None:
    """A table of people who told nothing pays for none of the rules about it."""
    ladders = ("loss", "pressure")
    self_reported_only = {rule.code for rule in RULES if rule.intake_words or rule.ladder in ladders} | {
        "eating_concern", "belly_urgent", "thirst_urgent", "recent_surgery", "periods_stopped",
        "weakness", "bmi_low_with_fast_loss", "bmi_low_with_loss", "bmi_low_for_illness",
        "lean_low_with_loss", "weight_with_signs",
    }  # fmt: skip
    assert not self_reported_only & set(chances_of_one(SelfReported(1)))
    without = chances_without_range(
        SelfReported(1),
        "female",
        np.array([40.0]),
        np.array([""]),
        known(22.0, 0.1),
        is_expecting=False,
    )
    assert not (self_reported_only | {"muscle_signs"}) & set(without)


@pytest.mark.parametrize(
    ("reported", "code"),
    [
        (only(systolic=150.0), "pressure_raised"),
        (only(diastolic=95.0), "pressure_raised"),
        (only(grip_kg=12.0), "muscle_signs"),
        (SelfReported(1, words={"falls": np.array([True])}), "muscle_signs"),
        (SelfReported(1, words={"eating_little": np.array([True])}), "not_well"),
        *((SelfReported(1, words={word: np.array([True])}), "belly_urgent")
          for word in ("tight_belly", "ascites", "yellow_skin")),
    ],
)  # fmt: skip
def test_one_thing_told_is_enough_for_its_rules(reported: SelfReported, code: str) -> None:
    assert code in chances_of_one(reported)
    unwell = SelfReported(1, words=dict(reported.words), numbers=dict(reported.numbers))
    heavy = chances_of_one(unwell, bmi=32.0)
    is_sign = code.startswith("pressure")
    assert ("weight_with_signs" in heavy) is is_sign
    if is_sign:
        assert heavy["weight_with_signs"][0] > 0.99
    if "eating_little" in reported.words:
        assert chances_of_one(reported, bmi=20.5)["bmi_low_for_illness"][0] > 0.99


def test_chances_that_a_ladder_hides() -> None:
    """Each by itself, because of two rules of a ladder only one is shown."""
    words = {"eating_concern": np.array([True])}
    for wanted, is_worry in ((0.0, False), (1.0, True), (np.nan, True)):
        numbers = {"loss_percent": 8.0, "loss_se": 0.3, "loss_months": 6.0, "loss_wanted": wanted}
        reported = SelfReported(
            1, words=words, numbers={name: np.array([x]) for name, x in numbers.items()}
        )
        assert bool(chances_of_one(reported)["loss_with_worry"][0] > 0.99) is is_worry
    for wanted in (0.0, np.nan):
        quick = {"loss_percent": 9.0, "loss_se": 0.3, "loss_months": 1.0, "loss_wanted": wanted}
        assert chances_of_one(only(**quick))["loss_planned_fast"][0] == 0.0
    # at a body mass index of 18.7 weight may as well be low, and then no waist is a little large
    assert chances_of_one(SelfReported(1), bmi=18.6, waist=0.53)["central_fat"][0] < 0.9


def test_ladders_of_people_side_by_side() -> None:
    """What one person has raises nothing for another; of three equally sure the first is shown."""
    rows = raised({"bmi_low": np.array([0.9, 0.1]), "bmi_clearly_low": np.array([0.1, 0.1])})
    assert {code: row.tolist() for code, row in rows.items()} == {"bmi_low": [True, False]}
    tied = {code: np.array([1.0, 0.0]) for code in ("bmi_clearly_low", "bmi_low_older")}
    tied |= {"bmi_low_with_loss": np.array([0.0, 1.0])}
    rows = raised(tied)
    assert rows["bmi_clearly_low"].tolist() == [True, False]
    assert rows["bmi_low_with_loss"].tolist() == [False, True]
    assert rows["bmi_low_older"].tolist() == [False, False]
    rule = RULE_BY_CODE["bmi_low"]
    assert [Raised(rule, chance).is_borderline for chance in (0.79, 0.80, 0.81)] == [
        True,
        False,
        False,
    ]


def test_words_alone_are_signs_of_weak_muscle_without_a_range() -> None:
    reported = SelfReported(1, words={"falls": np.array([True])})
    found = chances_without_range(
        reported, "female", np.array([70.0]), np.array([""]), known(22.0, 0.1), is_expecting=False
    )
    assert found["muscle_signs"].tolist() == [1.0]


def test_what_one_told_is_not_taken_for_another() -> None:
    """Two people: the first told two words that are urgent together, the second one of them."""
    both, first_only = np.array([True, True]), np.array([True, False])
    for first, second, code in (
        ("thirst_and_urine", "vomiting_or_drowsy", "thirst_urgent"),
        ("tight_belly", "fever", "belly_urgent"),
        ("yellow_skin", "fever", "belly_urgent"),
    ):
        assert word_chances(SelfReported(2, words={first: first_only, second: both}))[
            code
        ].tolist() == [
            1.0,
            0.0,
        ]
        assert word_chances(SelfReported(2, words={first: both, second: first_only}))[
            code
        ].tolist() == [
            1.0,
            0.0,
        ]


def test_a_strong_build_of_one_is_not_that_of_another() -> None:
    """Of two people of the same size one is strong: only of that one weight alone tells nothing."""
    two = {"age_years": 40.0, "weight_kg": 41.0 * 1.7**2, "height_cm": HEIGHT}
    columns = dict.fromkeys(BY_NAME, np.full(2, np.nan)) | {
        name: np.full(2, value) for name, value in two.items()
    }
    columns["waist_midpoint_cm"] = np.full(2, 0.45 * HEIGHT)
    errors = {name: np.full(2, 0.3) for name in ("weight_kg", "height_cm", "waist_midpoint_cm")}
    fat = {
        reference_method: Measured(np.full(2, 28.0), np.full(2, 2.0))
        for reference_method in ("density", "dxa")
    }
    indices = indices_of("female", columns, errors, np.array(["", ""]), fat)
    found = chances_of(indices, SelfReported(2), is_strong=np.array([True, False]))
    assert (found["bmi_very_far_above"] > 0.9).tolist() == [False, True]
    assert found["strong_build"].tolist() == [1.0, 0.0]
    # from a body mass index of 35 on the waist adds nothing, as its standard has it
    assert found["waist_six_tenths"].tolist() == pytest.approx([0.0, 0.0], abs=1e-9)
    assert chances_of_one(SelfReported(1), bmi=38.0, waist=0.7)["waist_six_tenths"][0] < 0.01


@pytest.mark.parametrize(
    ("age", "before", "now", "is_raised"),
    [
        (50.0, 164.0, 160.0, True), (49.9, 164.0, 160.0, False), (80.0, 164.0, 162.0, False),
        (80.0, 160.0, 164.0, False), (80.0, np.nan, 164.0, False),
    ],
)  # fmt: skip
def test_height_lost_by_age(age: float, before: float, now: float, is_raised: bool) -> None:
    chances = height_lost(np.array([age]), known(before, 0.4), known(now, 0.4))
    assert bool(chances["height_lost"][0] >= 0.5) is is_raised
    borderline = height_lost(np.array([70.0]), known(164.0, 3.0), known(160.0, 0.1))
    assert 0.55 < borderline["height_lost"][0] < 0.70  # a third of an error above the limit


def test_ladders_and_signs_of_several_people() -> None:
    """Three equally sure rules of one ladder, and what two people told in pregnancy."""
    three = {
        code: np.array([1.0]) for code in ("bmi_clearly_low", "bmi_low_with_loss", "bmi_low_older")
    }
    shown = [code for code, flag in raised(three).items() if flag[0]]
    assert shown == ["bmi_clearly_low"]
    words = {"swelling": np.array([True, False]), "oedema": np.array([False, False])}
    found = chances_without_range(
        SelfReported(2, words=words), "female", np.full(2, 30.0), np.array(["", ""]),
        Measured(np.full(2, 22.0), np.full(2, 0.1)), is_expecting=True,
    )  # fmt: skip
    assert found["swelling"].tolist() == [0.0, 0.0]
    assert found["pregnancy_signs"].tolist() == [1.0, 0.0]


def test_folds_are_filled_up_with_an_error() -> None:
    """All seven: their sum and the errors of their readings; some of them: more, and wider."""
    names = tuple(SEVEN)

    def summed(taken: tuple[str, ...]) -> tuple[float, float]:
        columns = {"age_years": np.array([30.0])} | {name: np.array([6.0]) for name in taken}
        columns = dict.fromkeys(BY_NAME, np.array([np.nan])) | columns
        errors = {name: np.array([0.5]) for name in taken}
        unknown = {"density": known(np.nan, np.nan)}
        summed_folds = sum_of_seven(indices_of("female", columns, errors, np.array([""]), unknown))
        return float(summed_folds.value[0]), float(summed_folds.se[0])

    assert summed(names) == pytest.approx((42.0, 0.5 * 7**0.5))
    means = [SEVEN[name]["female"] for name in names]
    up = sum(means) / sum(means[:4])
    value, se = summed(names[:4])
    assert value == pytest.approx(24.0 * up)
    wanted = np.hypot(0.5 * 4**0.5 * up, 0.10 * (up - 1.0) ** 0.5 * 24.0 * up)
    assert se == pytest.approx(wanted)


def test_a_neighbour_in_the_table_takes_no_flag_away() -> None:
    """Of a ladder only the highest that somebody has herself, were it the least and hardly likely."""
    rows = raised({"lean_low_with_loss": np.array([0.9, 0.0]), "lean_low": np.array([0.9, 0.51])})
    assert rows["lean_low_with_loss"].tolist() == [True, False]
    assert rows["lean_low"].tolist() == [False, True]

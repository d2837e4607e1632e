"""Flags: each rule is raised where it is meant and not beside it; ten ordinary visits raise nothing."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.intake.as_arrays import losses
from foldspan.intake.rules import LISTS, MARKS
from foldspan.interpretation.referral import raised, raised_flags
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE, RULES

Lines = dict[str, Any]
LEAN_MAN = {
    "chest": 3.0, "midaxillary": 4.0, "triceps": 3.5, "subscapular": 6.0, "abdominal": 4.5,
    "suprailiac_anterior": 4.0, "thigh": 5.0,
}  # fmt: skip


def visit(
    bmi: float = 23.0, waist: float = 0.46, intake: Lines | None = None,
    folds: Lines | None = None, calf: float = 0.0, **client: Any,
) -> foldspan.Visit:  # fmt: skip
    """A woman of 40 and 170 cm, usual in all that is not said; the waist is a share of the height."""
    tree: Lines = {
        "client": {"sex": "female", "age_years": 40} | client,
        "mass_height": {"weight_kg": round(bmi * 1.7**2, 3), "height_cm": 170.0},
        "girths_cm": {"waist_midpoint": round(170.0 * waist, 2)},
    }
    if calf:
        tree["girths_cm"]["calf_girth"] = calf
    if folds:
        tree["skinfolds_mm"] = folds
    if intake is not None:
        tree["intake"] = intake
    return foldspan.Visit.from_dict(tree, accept_unusual=True)


def codes(client_visit: foldspan.Visit) -> list[str]:
    return [flag.code for flag in foldspan.health(client_visit).flags]


def says(word: str) -> Lines:
    if word in MARKS:
        return {word: True}
    name = next(name for name, words in LISTS.items() if word in words)
    return {name: [word]}


def lost(
    percent: float, months: float | None, wanted: bool | None = False, bmi: float = 23.0
) -> Lines:
    earlier = round(bmi * 1.7**2 / (1.0 - percent / 100.0), 3)
    lines: Lines = {"earlier_weight_kg": earlier}
    lines |= {} if months is None else {"earlier_weight_months_ago": months}
    return lines if wanted is None else lines | {"loss_wanted": wanted}


def seven(each: float) -> Lines:
    """The seven folds of the athletes, all alike [mm]."""
    names = ("triceps", "biceps", "subscapular", "supraspinale", "abdominal", "thigh", "calf")
    return dict.fromkeys(names, each)


def few(times: float) -> Lines:
    """Thin folds of a man, only two of them of the seven."""
    names = ("chest", "midaxillary", "abdominal", "suprailiac_anterior", "thigh")
    return {name: times * LEAN_MAN[name] for name in names}


OLD = {"age_years": 72}
CHINESE = {"family_background": "chinese"}
# rule → a visit that raises it, and one beside it that does not
PAIRS: dict[str, tuple[foldspan.Visit, foldspan.Visit]] = {
    "belly_urgent": (
        visit(intake={"symptoms": ["tight_belly", "fever"]}), visit(intake=says("fever")),
    ),
    "thirst_urgent": (
        visit(intake={"symptoms": ["thirst_and_urine", "vomiting_or_drowsy"]}),
        visit(intake=says("vomiting_or_drowsy")),
    ),
    "pressure_very_high": (
        visit(intake={"blood_pressure_mmhg": "180/95"}),
        visit(intake={"blood_pressure_mmhg": "179/119"}),
    ),
    "pressure_raised": (
        visit(intake={"blood_pressure_mmhg": "118/90"}),
        visit(intake={"blood_pressure_mmhg": "139/89"}),
    ),
    "pregnancy_signs": (
        visit(intake={"blood_pressure_mmhg": "141/84"}, pregnant=True),
        visit(intake={"blood_pressure_mmhg": "139/89"}, pregnant=True),
    ),
    "eating_concern": (visit(intake={"eating_concern": True}), visit(intake={})),
    "periods_stopped": (
        visit(intake={"periods_stopped": True}, age_years=54.9),
        visit(intake={"periods_stopped": True}, age_years=55),
    ),
    "bmi_severely_low": (visit(15.7, 0.38), visit(16.4, 0.38)),
    "bmi_clearly_low": (visit(16.7, 0.38), visit(17.4, 0.38)),
    "bmi_low": (visit(18.2, 0.40), visit(18.8, 0.40)),
    "bmi_low_with_loss": (
        visit(18.0, 0.4, lost(5.0, 11.5, wanted=True, bmi=18.0)),
        visit(18.0, 0.4, lost(5.0, 12.5, wanted=True, bmi=18.0)),
    ),
    "bmi_low_for_illness": (
        visit(21.5, 0.46, says("eating_little"), **OLD), visit(21.5, 0.46, says("eating_little")),
    ),
    "bmi_low_with_fast_loss": (
        visit(18.0, 0.4, lost(11.5, 6.0, wanted=True, bmi=18.0)),
        visit(18.0, 0.4, lost(11.5, 6.5, wanted=True, bmi=18.0)),
    ),
    "thin_for_age_severely": (visit(14.1, 0.4, age_years=15), visit(14.7, 0.4, age_years=15)),
    "thin_for_age": (visit(15.6, 0.4, age_years=15), visit(16.2, 0.4, age_years=15)),
    "low_weight_limb_severely": (
        visit(13.1, 0.4, says("limb_loss")), visit(13.7, 0.4, says("limb_loss")),
    ),
    "low_weight_limb": (visit(16.7, 0.4, says("limb_loss")), visit(17.3, 0.4, says("limb_loss"))),
    "bmi_low_older": (visit(19.7, 0.43, age_years=70), visit(19.7, 0.43, age_years=69.9)),
    "bmi_light_older": (visit(20.7, 0.43, age_years=65), visit(20.7, 0.43, age_years=64.9)),
    "loss_with_worry": (
        visit(intake=lost(7.0, 12.0, wanted=True) | {"periods_stopped": True}),
        visit(intake=lost(7.0, 12.5, wanted=True) | {"periods_stopped": True}),
    ),
    "weight_and_waist": (visit(33.0, 0.57), visit(33.0, 0.48)),
    "fat_very_low": (
        visit(18.6, 0.38, folds=few(0.8), sex="male", age_years=20),
        visit(21.0, 0.42, folds=few(1.5), sex="male", age_years=24),
    ),
    "folds_very_low": (visit(21.0, 0.4, folds=seven(5.8)), visit(21.0, 0.4, folds=seven(6.3))),
    "loss_fast": (visit(intake=lost(12.0, 6.0)), visit(intake=lost(12.0, 6.5))),
    "loss_unplanned": (visit(intake=lost(7.0, 12.0)), visit(intake=lost(7.0, 12.5))),
    "loss_large_not_asked": (
        visit(intake=lost(12.0, 6.0, wanted=None)), visit(intake=lost(12.0, 6.5, wanted=None)),
    ),
    "loss_large_undated": (
        visit(intake=lost(12.0, None, wanted=None)), visit(intake=lost(8.0, None, wanted=None)),
    ),
    "weakness": (visit(intake=says("weak")), visit(intake=says("weak"), **OLD)),
    "loss_not_asked": (
        visit(intake=lost(7.0, 12.0, wanted=None)), visit(intake=lost(7.0, 12.0, wanted=True)),
    ),
    "loss_planned_fast": (
        visit(intake=lost(9.0, 1.0, wanted=True)), visit(intake=lost(9.0, 2.0, wanted=True)),
    ),
    "weight_with_signs": (
        visit(31.0, 0.49, says("sleepy_snoring")), visit(28.0, 0.45, says("sleepy_snoring")),
    ),
    "bmi_very_far_above": (visit(40.8, 0.72), visit(39.0, 0.72)),
    "bmi_far_above": (visit(33.5, 0.62, **CHINESE), visit(33.5, 0.62)),
    "waist_six_tenths": (visit(29.0, 0.62), visit(29.0, 0.58)),
    "central_fat": (visit(23.5, 0.53), visit(23.5, 0.48)),
    "fat_near_minimum": (
        visit(20.0, 0.40, folds=few(1.2), sex="male", age_years=24),
        visit(23.0, 0.46, folds=few(2.2), sex="male", age_years=24),
    ),
    "lean_low": (visit(17.6, 0.41), visit(22.0, 0.45)),
    "lean_low_with_loss": (
        visit(18.9, 0.45, lost(4.0, 10.0, bmi=18.9)),
        visit(18.9, 0.45, lost(4.0, 10.0, wanted=True, bmi=18.9)),
    ),
    "muscle_and_weight": (visit(32.0, 0.6, says("falls"), **OLD), visit(32.0, 0.6, says("falls"))),
    "muscle_signs": (
        visit(intake={"grip_kg": 15.5}, **OLD), visit(intake={"grip_kg": 16.5}, **OLD),
    ),
    "recent_surgery": (
        visit(intake={"surgery_months_ago": 2.9}), visit(intake={"surgery_months_ago": 3}),
    ),
    "strong_build": (visit(27.0, 0.45, athlete=True), visit(21.0, 0.42, athlete=True)),
}  # fmt: skip
PAIRS |= {
    rule.code: (visit(intake=says(rule.intake_words[0])), visit(intake={}))
    for rule in RULES
    if rule.intake_words and rule.code not in PAIRS
}
# raised between visits only, see ``test_height_lost``
BETWEEN_VISITS = {"height_lost"}


def test_every_rule_has_a_pair() -> None:
    assert set(PAIRS) | BETWEEN_VISITS == set(RULE_BY_CODE)


@pytest.mark.parametrize("code", PAIRS)
def test_a_rule_is_raised_where_it_is_meant_and_not_beside_it(code: str) -> None:
    meant, beside = PAIRS[code]
    assert code in codes(meant)
    assert code not in codes(beside)


def test_every_word_of_a_rule_raises_it() -> None:
    for rule in RULES:
        for word in rule.intake_words:
            assert rule.code in codes(visit(intake=says(word))), (rule.code, word)


ORDINARY = [
    visit(), visit(21.0, 0.43), visit(24.4, 0.48), visit(26.5, 0.49, sex="male"),
    visit(28.5, 0.52, sex="male", age_years=55), visit(25.5, 0.53, age_years=63),
    visit(19.6, 0.42, age_years=22), visit(24.0, 0.48, age_years=75),
    visit(22.8, 0.44, sex="male", age_years=20, folds={k: 2.5 * v for k, v in LEAN_MAN.items()}),
    visit(23.4, 0.45, {"loss_wanted": True, **lost(3.0, 4.0, wanted=True, bmi=23.4)}),
]  # fmt: skip


@pytest.mark.parametrize("number", range(10))
def test_ten_ordinary_visits_raise_nothing(number: int) -> None:
    assert codes(ORDINARY[number]) == []


# loss [%], months, wanted → flag; limits typed from GLIM, ESPEN, MUST, work-up and care-home rules
LOSSES = [
    (12.0, 6.05, False, "loss_fast"), (12.0, 6.2, False, "loss_unplanned"),
    (8.0, 1.02, False, "loss_fast"), (8.0, 1.2, False, "loss_unplanned"),
    (8.0, 12.05, False, "loss_unplanned"), (8.0, 12.2, False, None),
    (13.0, 24.0, False, "loss_unplanned"), (13.0, 60.0, False, "loss_unplanned"),
    (2.5, 1.0, False, None), (13.0, 5.0, None, "loss_large_not_asked"), (13.0, 5.0, True, None),
    (8.0, 5.0, None, "loss_not_asked"),
    # nobody noted when the earlier weight was: no loss that counts is lost from sight (ours)
    (13.0, None, None, "loss_large_undated"), (8.0, None, None, "loss_not_asked"),
    (13.0, None, False, "loss_unplanned"), (8.0, None, False, "loss_unplanned"),
    (3.0, None, None, None), (13.0, None, True, None), (-6.0, None, None, None),
    (13.0, 1.0, True, "loss_planned_fast"), (-6.0, 3.0, False, None),
]  # fmt: skip


@pytest.mark.parametrize(("percent", "months", "wanted", "code"), LOSSES)
def test_loss_windows(
    percent: float, months: float | None, wanted: bool | None, code: str | None
) -> None:
    found = [code for code in codes(visit(intake=lost(percent, months, wanted))) if "loss" in code]
    assert found == ([] if code is None else [code])


def test_the_chance_of_a_loss_is_that_of_two_drawn_weights() -> None:
    """Two true weights around two readings: the spread of the loss, to 2 %."""
    random = np.random.default_rng(3)
    earlier, now, error = 80.0, 75.0, 0.6
    before = random.normal(earlier, error * earlier / now, 200_000)
    after = random.normal(now, error, 200_000)
    drawn = 100.0 * (1.0 - after / before)
    got = losses(np.array([earlier]), np.array([now]), np.array([error]))
    assert got["loss_percent"][0] == pytest.approx(drawn.mean(), abs=0.02)
    assert got["loss_se"][0] == pytest.approx(drawn.std(), rel=0.02)


def test_borderline_is_said_between_half_and_eight_in_ten() -> None:
    flags = [flag for flag in foldspan.health(visit(18.44, 0.42)).flags if flag.code == "bmi_low"]
    assert [flag.is_borderline for flag in flags] == [True]
    assert 0.5 <= flags[0].chance < 0.8
    assert "Borderline" in flags[0].text
    sure = next(flag for flag in foldspan.health(visit(17.9, 0.42)).flags if flag.code == "bmi_low")
    assert not sure.is_borderline
    assert "Borderline" not in sure.text


def test_a_ladder_shows_its_highest_and_the_most_urgent_comes_first() -> None:
    for client_visit, _ in PAIRS.values():
        flags = foldspan.health(client_visit).flags
        ladders = [
            RULE_BY_CODE[flag.code].ladder for flag in flags if RULE_BY_CODE[flag.code].ladder
        ]
        assert len(ladders) == len(set(ladders))
        order = [LEVELS.index(flag.level) for flag in flags]
        assert order == sorted(order, reverse=True)
    surer = {"bmi_clearly_low": np.array([0.57]), "bmi_low_with_loss": np.array([0.99])}
    assert [flag.rule.code for flag in raised_flags(surer)] == ["bmi_low_with_loss"]


def test_backgrounds_move_the_limits() -> None:
    assert "bmi_far_above" in codes(visit(33.5, 0.62, family_background="black_african"))
    assert "bmi_far_above" not in codes(visit(33.5, 0.62, family_background="white"))
    assert "bmi_very_far_above" in codes(visit(38.4, 0.7, ancestry="asian"))
    assert "bmi_far_above" in codes(visit(38.4, 0.7, ancestry="black"))  # which one is not said
    ill = says("eating_little")
    assert "bmi_low_for_illness" in codes(visit(19.3, 0.42, ill))
    assert "bmi_low_for_illness" not in codes(visit(19.3, 0.42, ill, **CHINESE))
    weak = {"grip_kg": 17.0}
    assert "muscle_signs" in codes(visit(intake=weak, **OLD, **CHINESE))
    assert "muscle_signs" not in codes(visit(intake=weak, **OLD))
    assert "muscle_signs" in codes(visit(calf=31.5, **OLD, **CHINESE))
    assert "muscle_signs" not in codes(visit(calf=31.5, **OLD))
    for age, is_raised in ((59.0, False), (60.0, True)):
        assert (
            "muscle_signs" in codes(visit(intake={"grip_kg": 15.0}, age_years=age))
        ) is is_raised
    assert "lean_low" not in codes(visit(17.6, 0.41, **CHINESE))


def test_little_fat_is_flagged_from_three_chances_in_ten() -> None:
    chances = {"fat_very_low": np.array([0.30, 0.29]), "fat_near_minimum": np.array([0.4, 0.3])}
    rows = raised(chances)
    assert rows["fat_very_low"].tolist() == [True, False]
    assert rows["fat_near_minimum"].tolist() == [False, True]
    assert [flag.rule.code for flag in raised_flags(chances, 1)] == ["fat_near_minimum"]


def test_signs_that_cannot_wait_in_pregnancy_and_after_a_birth() -> None:
    """One urgent flag stands for raised pressure and swelling; neither is told as for later."""
    for expecting in (
        visit(intake={"blood_pressure_mmhg": "150/95", "symptoms": ["swelling"]}, pregnant=True),
        visit(intake={"birth_months_ago": 1, "symptoms": ["swelling"]}),
    ):
        assert codes(expecting) == ["pregnancy_signs"]
    later = visit(intake={"birth_months_ago": 7, "symptoms": ["swelling"]})
    assert codes(later) == ["swelling"]


def test_a_very_low_weight_is_flagged_without_a_range_too() -> None:
    for intake, client in (
        (says("swelling"), {}), ({"birth_months_ago": 3}, {}), (None, {"pregnant": True}),
    ):  # fmt: skip
        assert "bmi_severely_low" in codes(visit(14.5, 0.4, intake, **client))
    # growth charts and limits that leave room for the limb, not adult limits
    assert codes(visit(14.5, 0.4, age_years=15)) == ["thin_for_age"]
    assert codes(visit(14.5, 0.4, says("limb_loss"))) == ["low_weight_limb"]


def test_a_loss_that_is_called_wanted_counts_where_eating_is_a_worry() -> None:
    concerned = lost(12.0, 5.0, wanted=True) | {"eating_concern": True}
    assert "loss_with_worry" in codes(visit(intake=concerned))
    assert "loss_planned_fast" not in codes(
        visit(intake=lost(9.0, 1.0, wanted=True) | {"eating_concern": True})
    )


def test_a_loss_in_pregnancy_counts_and_after_a_birth_does_not() -> None:
    assert "loss_fast" in codes(visit(intake=lost(12.0, 2.0), pregnant=True))
    assert codes(visit(intake=lost(12.0, 2.0) | {"birth_months_ago": 2})) == []


def test_height_lost() -> None:
    """3 cm and more from 50 years on, since the visit at which the client was tallest."""

    def at(height: float, age: float) -> foldspan.Visit:
        tree = {
            "client": {"sex": "female", "age_years": age},
            "mass_height": {"weight_kg": 62.0, "height_cm": height},
        }
        return foldspan.Visit.from_dict(tree)

    def found(*heights: float, age: float = 71) -> list[str]:
        return [
            flag.code for flag in foldspan.change(*(at(height, age) for height in heights)).flags
        ]

    assert found(164.0, 160.5) == ["height_lost"]
    assert found(164.0, 161.5) == []
    assert found(162.0, 164.0, 160.5) == ["height_lost"]
    assert found(164.0, 160.5, age=50) == ["height_lost"]
    assert found(164.0, 160.5, age=49) == []
    flag = foldspan.change(at(164.0, 71), at(160.2, 71)).flags[0]
    assert flag.level == "refer_soon"
    assert "160.2 cm, 3.8 cm less than before" in flag.for_clinician


def test_what_makes_a_measure_mean_something_else_takes_its_flags_away() -> None:
    assert "waist_six_tenths" not in codes(visit(29.0, 0.62, says("hernia")))
    assert "bmi_far_above" not in codes(visit(36.0, 0.45, athlete=True))
    assert "bmi_far_above" in codes(visit(36.0, 0.58, athlete=True))


def test_what_is_not_known_raises_nothing() -> None:
    chances = {rule.code: np.array([np.nan]) for rule in RULES}
    assert raised_flags(chances) == ()
    tape = foldspan.Visit.from_dict(
        {"client": {"sex": "male", "age_years": 50}, "girths_cm": {"neck": 40.0}}
    )
    assert foldspan.health(tape).flags == ()
    assert foldspan.health(tape).bands == ()

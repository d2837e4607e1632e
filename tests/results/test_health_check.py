"""Health check of one visit: every remark, and every condition of its own, has a visit that shows it."""

from __future__ import annotations

from typing import Any

import pytest

import foldspan
from foldspan.results.health_by_sex import health_of_both
from foldspan.results.result import Health
from foldspan.results.spoken import SpokenFlag


def visit(bmi: float = 24.0, *, waist: float = 0.45, **more: Any) -> foldspan.Visit:
    """A man of 180 cm; the waist is a share of the height."""
    tree = {
        "client": {"sex": "male", "age_years": 34} | more.pop("client", {}),
        "mass_height": {"weight_kg": round(bmi * 1.8**2, 2), "height_cm": 180.0},
        "girths_cm": {"waist_midpoint": round(180.0 * waist, 1)},
    }
    return foldspan.Visit.from_dict(tree | more, accept_unusual=True)


def remarks(client_visit: foldspan.Visit) -> list[str]:
    """Codes of what is remarked on the standards as a whole."""
    return list(foldspan.health(client_visit).remark_codes)


@pytest.mark.parametrize(
    ("client", "said"),
    [
        ({}, ["no_background"]),
        ({"sex": "both"}, ["no_background"]),
        ({"family_background": "chinese"}, []),
        ({"sex": "both", "family_background": "chinese"}, []),
        # in either field, black alone does not say which of the groups that NICE names (NG246)
        ({"ancestry": "black"}, ["which_black"]),
        ({"family_background": "Black"}, ["which_black"]),
        ({"ancestry": "black", "family_background": "black_african"}, []),
    ],
)
def test_which_limits_are_used_is_remarked(client: dict[str, Any], said: list[str]) -> None:
    assert remarks(visit(client=client)) == said


def test_a_reading_in_doubt_is_remarked_beside_flags_and_bands() -> None:
    folds = {"triceps": 9.0, "biceps": 5.0, "subscapular": 12.0, "abdominal": 18.0}
    assert "in_doubt" not in remarks(visit(skinfolds_mm=folds))
    slipped = visit(skinfolds_mm=folds | {"abdominal": 61.0})
    assert foldspan.explain(slipped).slips
    assert "in_doubt" in remarks(slipped)


@pytest.mark.parametrize("sex", ["male", "both"])
@pytest.mark.parametrize(
    ("athlete", "bmi", "is_remarked"),
    [(True, 29.0, True), (True, 22.0, False), (False, 29.0, False)],
)
def test_a_strong_build_is_remarked_where_weight_for_height_reads_high(
    sex: str, athlete: bool, bmi: float, is_remarked: bool
) -> None:
    """A trained body of usual weight has nothing that weight for height would misjudge."""
    found = foldspan.health(visit(bmi, client={"sex": sex, "athlete": athlete}))
    remarked = [remark for band in found.bands if band.measure == "bmi" for remark in band.remarks]
    assert ("not reliable for a muscular build" in remarked) is is_remarked
    assert ("strong_build" in [flag.code for flag in found.flags]) is is_remarked


def test_standards_that_contradict_each_other_are_told() -> None:
    heavy = visit(29.0, waist=0.44, client={"athlete": True})
    assert foldspan.health(heavy).apart
    assert not foldspan.health(visit(22.0, waist=0.44)).apart


@pytest.mark.parametrize("sex", ["male", "female", "both"])
@pytest.mark.parametrize("client", [{}, {"age_years": 15}, {"pregnant": True}])
def test_careful_words_are_called_for_whoever_it_is(sex: str, client: dict[str, Any]) -> None:
    for concern in (True, False):
        client_visit = visit(client={"sex": sex} | client, intake={"eating_concern": concern})
        found = foldspan.health(client_visit)
        assert found.careful is concern
        assert found.was_asked


def test_flags_come_most_urgent_first_where_both_answers_stand() -> None:
    """What needs a sex joins what does not; the letter and the page start with what cannot wait."""
    seven = ("triceps", "subscapular", "biceps", "supraspinale", "abdominal", "thigh", "calf")
    client_visit = visit(
        21.0, client={"sex": "both"}, intake={"anabolic_drugs": True},
        skinfolds_mm=dict.fromkeys(seven, 3.5),
    )  # fmt: skip
    order = ["refer_urgently", "refer_soon", "advise", "inform"]
    levels = [order.index(flag.level) for flag in foldspan.health(client_visit).flags]
    assert len(set(levels)) > 1
    assert levels == sorted(levels)


OLD = {"age_years": 68}
SEVEN = ("triceps", "subscapular", "biceps", "supraspinale", "abdominal", "thigh", "calf")


@pytest.mark.parametrize(
    ("more", "code", "raised_for"),
    [
        # seven folds of 37 mm: below 42.3 in women, not below 30.9 in men [telford1991]; a referral
        ({"skinfolds_mm": dict.fromkeys(SEVEN, 5.3), "bmi": 21.0}, "folds_very_low", "fb"),
        # grip below 27 kg in men, not below 16 in women [ewgsop2019]; advice only
        ({"intake": {"grip_kg": 20.0}, "client": OLD}, "muscle_signs", "m"),
        # a waist beyond 88 cm in women, not beyond 102 in men [who2008]: a referral above that advice
        ({"intake": {"symptoms": ["falls"]}, "client": OLD, "waist": 0.54},
         "muscle_and_weight", "fb"),
    ],
)  # fmt: skip
def test_what_is_raised_for_one_sex_is_raised_for_both_if_it_refers(
    more: dict[str, Any], code: str, raised_for: str
) -> None:
    for letter, sex in (("f", "female"), ("m", "male"), ("b", "both")):
        client = more.get("client", {}) | {"sex": sex}
        codes = [flag.code for flag in foldspan.health(visit(**more | {"client": client})).flags]
        assert (code in codes) is (letter in raised_for), sex
        assert not {"muscle_signs", "muscle_and_weight"} <= set(codes)


def test_beside_a_low_weight_no_large_waist_is_told_where_the_sex_is_open() -> None:
    for bmi, is_shown in ((18.0, False), (23.0, True)):
        found = foldspan.health(visit(bmi, waist=0.53, client={"sex": "both"}))
        assert any("half the height or more" in band.text for band in found.bands) is is_shown


def test_advice_that_both_answers_give_stands_where_the_sex_is_open() -> None:
    """A calf of 30 cm is below both limits, 33 and 34 cm [awgs2019]; without a sex there is none."""
    client = {"sex": "both", "age_years": 68, "family_background": "chinese"}
    girths = {"waist_midpoint": 81.0, "calf_girth": 30.0}
    found = foldspan.health(visit(23.0, client=client, girths_cm=girths))
    assert "muscle_signs" in [flag.code for flag in found.flags]


def test_a_grip_that_is_weak_by_either_limit_is_named_where_the_sex_is_open() -> None:
    """12 kg is below 16 in women and 27 in men [ewgsop2019], 20 kg below the one only."""
    for grip, is_weak in ((12.0, True), (20.0, False)):
        found = foldspan.health(
            visit(21.0, waist=0.42, client=OLD | {"sex": "both"},
                  intake={"symptoms": ["falls"], "grip_kg": grip})
        )  # fmt: skip
        (flag,) = [flag for flag in found.flags if flag.code == "muscle_signs"]
        assert ("Weak grip" in flag.for_clinician) is is_weak
        assert "fall in the last year" in flag.for_clinician


def of_code(code: str) -> SpokenFlag:
    """A flag as an answer would give it, sure and with nothing behind it."""
    return SpokenFlag(code, 1.0)


@pytest.mark.parametrize(
    ("bmi", "answer", "codes"),
    [
        # body mass index 15 is severely low (WHO 2000: below 16): no lower rung beside it
        (15.0, "bmi_clearly_low", ["bmi_severely_low"]),
        # 16.5 is clearly low (16 to 17): another rung of the same level neither joins nor replaces it
        (16.5, "bmi_low_older", ["bmi_clearly_low"]),
        # and what is higher on the ladder stands alone
        (16.5, "bmi_low_with_fast_loss", ["bmi_low_with_fast_loss"]),
        # 18 is low (17 to 18.5): advice only, which a referral of one answer takes the place of
        (18.0, "bmi_low_with_loss", ["bmi_low_with_loss"]),
    ],
)  # fmt: skip
def test_of_a_ladder_the_highest_stands_where_both_answers_are_joined(
    bmi: float, answer: str, codes: list[str]
) -> None:
    answers = [Health(flags=(of_code(answer),)), Health()]
    client_visit = visit(bmi, client={"sex": "both"})
    assert [flag.code for flag in health_of_both(client_visit, answers).flags] == codes
    both = [Health(flags=(of_code(answer),))] * 2
    assert [flag.code for flag in health_of_both(client_visit, both).flags] == codes


def test_family_background_holds_where_the_sex_is_open() -> None:
    """NICE NG246: 27.5 and 23 in the place of 30 and 25 in South Asian backgrounds."""
    client = {"family_background": "south asian"}
    for bmi in (26.0, 28.5):
        alone, both = (
            foldspan.health(visit(bmi, client=client | {"sex": sex})) for sex in ("female", "both")
        )
        assert [band for band in both.bands if band.measure == "bmi"] == [
            band for band in alone.bands if band.measure == "bmi"
        ]
        assert [band.remarks for band in both.bands] != [
            band.remarks for band in foldspan.health(visit(bmi, client={"sex": "both"})).bands
        ]
    diabetic = {"conditions": ["diabetes"]}
    for background, is_flagged in (("south asian", True), ("white", False)):
        who = {"sex": "both", "family_background": background}
        found = foldspan.health(visit(28.5, waist=0.47, client=who, intake=diabetic))
        assert ("weight_with_signs" in [flag.code for flag in found.flags]) is is_flagged


@pytest.mark.parametrize("client", [{}, {"pregnant": True, "sex": "female"}, {"sex": "both"}])
def test_a_flag_is_as_sure_as_the_weighings_it_rests_on(client: dict[str, Any]) -> None:
    """Weighings that differ by 4 kg leave open whether 5 % was lost (CMS), or the index is below 16."""
    lost = {"earlier_weight_kg": 74.5, "earlier_weight_months_ago": 6.0, "loss_wanted": False}
    for weight, height, intake, code in (
        (70.0, 180.0, lost, "loss_unplanned"), (51.5, 180.0, {}, "bmi_severely_low"),
    ):  # fmt: skip
        chances = []
        for apart in (0.0, 2.0):
            body = {"weight_kg": [weight - apart, weight + apart], "height_cm": height}
            client_visit = visit(client=client, mass_height=body, intake=intake)
            assert client_visit.accepted["weight_kg"].value == weight
            chances += [
                flag.chance for flag in foldspan.health(client_visit).flags if flag.code == code
            ]
        steady, unsteady = chances
        assert steady > unsteady + 0.05


def test_flags_of_one_level_keep_the_order_of_the_rules_where_the_sex_is_open() -> None:
    """What needs a sex joins last, and is told where it belongs."""
    client_visit = visit(
        36.9, waist=0.56, client={"sex": "both", "age_years": 75},
        intake={"symptoms": ["falls"], "conditions": ["diabetes"]},
        skinfolds_mm=dict.fromkeys(SEVEN, 4.0),
    )  # fmt: skip
    soon = [flag.code for flag in foldspan.health(client_visit).flags if flag.level == "refer_soon"]
    assert soon == ["weight_with_signs", "folds_very_low", "muscle_and_weight"]

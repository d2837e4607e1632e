"""What a health check says of each band and flag, and of what was asked: in every kind of answer."""

from __future__ import annotations

from typing import Any

import pytest

import foldspan
from foldspan.standards import ALL_STANDARDS, STANDARD_BY_KEY
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.en.flag_words import FLAG_WORDS
from foldspan.text.en.health import HEALTH_REMARKS

# somebody with a range, without one, and with two
KINDS: dict[str, dict[str, Any]] = {
    "range": {"sex": "female"}, "none": {"sex": "female", "pregnant": True}, "both": {"sex": "both"},
}  # fmt: skip
FOLDS = {"triceps": 20.0, "subscapular": 18.0, "abdominal": 26.0, "thigh": 28.0}


def visit(
    bmi: float = 24.0, waist: float | None = 0.45, client: dict[str, Any] | None = None, **more: Any
) -> foldspan.Visit:
    """Somebody of 41 and 170 cm; the waist is a share of the height."""
    girths = {"waist_midpoint": round(170.0 * waist, 1)} if waist else {}
    tree = {
        "client": {"sex": "female", "age_years": 41} | (client or {}),
        "mass_height": {"weight_kg": round(bmi * 1.7**2, 2), "height_cm": 170.0},
        "girths_cm": girths | more.pop("girths", {}),
        "skinfolds_mm": more.pop("folds", {}),
    }
    return foldspan.Visit.from_dict(tree | more, accept_unusual=True)


def codes(client_visit: foldspan.Visit) -> list[str]:
    return [flag.code for flag in foldspan.health(client_visit).flags]


@pytest.mark.parametrize("kind", KINDS)
def test_asked_and_answered_none_are_told_apart_from_not_asked(kind: str) -> None:
    intake = {"symptoms": ["none"], "medicines": ["none"], "conditions": ["diabetes"]}
    found = foldspan.health(visit(client=KINDS[kind], intake=intake))
    assert found.answered_none == ("symptoms", "medicines")
    assert {"earlier_weight_kg", "eating_concern"} <= set(found.not_asked)
    assert not set(found.not_asked) & {"symptoms", "medicines", "conditions"}
    assert found.was_asked
    silent = foldspan.health(visit(client=KINDS[kind]))
    assert (silent.was_asked, silent.careful, silent.answered_none) == (False, False, ())
    assert "symptoms" in silent.not_asked


@pytest.mark.parametrize("kind", KINDS)
def test_every_flag_has_its_words_its_source_and_its_level(kind: str) -> None:
    intake = {"symptoms": ["chest_pain"], "eating_concern": True, "blood_pressure_mmhg": "150/92"}
    found = foldspan.health(visit(17.93, 0.42, KINDS[kind], intake=intake)).flags
    assert len(found) > 3
    for flag in found:
        rule = RULE_BY_CODE[flag.code]
        assert (flag.level, flag.source, flag.status) == (rule.level, rule.source, rule.status)
        assert FLAG_WORDS[flag.code][0] in flag.text
        assert flag.for_client.startswith(FLAG_WORDS[flag.code][1].split(". ")[0].rstrip("."))
        is_certain = not rule.ladder or rule.ladder == "pressure"
        assert (flag.chance == 1.0) is is_certain or flag.chance > 0.99
        assert flag.is_borderline is (flag.chance < 0.80)
        assert ("Borderline" in flag.text) is flag.is_borderline
    grounds = {flag.code: flag.for_clinician for flag in found}
    assert "Self-reported: chest pain" in grounds["heart_signs"]
    assert "150/92 mmHg" in grounds["pregnancy_signs" if kind == "none" else "pressure_raised"]


def test_a_low_weight_names_its_index_and_how_sure_it_is() -> None:
    for bmi, is_borderline in ((15.5, False), (15.97, True)):
        (flag, *_) = foldspan.health(visit(bmi, 0.4)).flags
        assert (flag.code, flag.is_borderline) == ("bmi_severely_low", is_borderline)
        assert f"BMI {bmi:.1f}" in flag.for_clinician
        assert 0.5 < flag.chance < 0.8 or (flag.chance > 0.99 and not is_borderline)


@pytest.mark.parametrize("sex", ["female", "both"])
@pytest.mark.parametrize("background", ["", "chinese"])
def test_every_band_is_that_of_its_standard(sex: str, background: str) -> None:
    client = {"sex": sex, "family_background": background}
    bands = foldspan.health(visit(26.0, 0.51, client, girths={"hip": 104.0}, folds=FOLDS)).bands
    assert len(bands) > (1 if sex == "both" else 8)
    for band in bands:
        columns = [row for row in ALL_STANDARDS if row.key.startswith(band.standard)]
        row = STANDARD_BY_KEY.get(band.standard, columns[0])
        assert (band.name, band.measure, band.reference_method) == (
            row.system,
            row.measure,
            row.reference_method,
        )
        assert (band.source, band.status) == (row.source, row.status)
        assert tuple(band.probabilities) == row.labels
        assert sum(band.probabilities.values()) == pytest.approx(1.0)
        assert band.is_about_even is (max(band.probabilities.values()) < 0.60)
        assert len(band.limits) == len(row.labels) - 1
        assert all(low <= high for low, high in band.limits)
        if band.standard in STANDARD_BY_KEY:
            assert band.limits == tuple((limit, limit) for limit in row.limits)
        assert band.shown
        assert band.text
    by_measure = {band.measure: band for band in bands}
    assert by_measure["bmi"].value == pytest.approx(26.0, abs=0.01)
    assert by_measure["waist_to_height"].value == pytest.approx(0.51, abs=0.001)
    assert all(band.se > 0.0 for band in bands)


def test_columns_that_were_averaged_show_their_lowest_and_highest_limit() -> None:
    """Fat at a healthy weight of 2000 has columns by background; without one their mean speaks."""
    averaged = next(
        band
        for band in foldspan.health(visit(26.0, 0.51, folds=FOLDS)).bands
        if band.name == "Body fat matching a healthy weight 2000"
    )
    assert any(low < high for low, high in averaged.limits)
    assert any("family background not stated" in remark for remark in averaged.remarks)
    known = foldspan.health(visit(26.0, 0.51, {"family_background": "chinese"}, folds=FOLDS)).bands
    (own,) = (band for band in known if band.name == "Body fat matching a healthy weight 2000")
    assert all(low == high for low, high in own.limits)
    stated = foldspan.health(visit(26.0, 0.51, {"family_background": "other"}, folds=FOLDS)).bands
    (mean,) = (band for band in stated if band.name == "Body fat matching a healthy weight 2000")
    assert any("no limits for this background" in remark for remark in mean.remarks)


@pytest.mark.parametrize("sex", ["male", "both"])
def test_a_build_that_the_limbs_show_is_strong_in_every_answer(sex: str) -> None:
    """Nobody called himself an athlete: an arm of 41 cm under a fold of 7 mm does."""
    girths = {"arm_relaxed_girth": 41.0, "calf_girth": 44.0, "forearm_girth": 34.0}
    folds = {"triceps": 7.0, "calf": 6.0, "subscapular": 10.0}
    found = foldspan.health(visit(31.0, 0.48, {"sex": sex}, girths=girths, folds=folds))
    assert "strong_build" in [flag.code for flag in found.flags]
    assert "weight_and_waist" not in [flag.code for flag in found.flags]
    remarks_on_bmi = [band.remarks for band in found.bands if band.measure == "bmi"]
    assert all("not reliable for a muscular build" in remarks for remarks in remarks_on_bmi)


def test_where_one_answer_alone_finds_a_strong_build_it_is_no_reason_to_pass_over_a_weight() -> (
    None
):
    """Arms of 34 cm at a body mass index of 31 stand out in women only."""
    girths = {"arm_relaxed_girth": 36.0, "calf_girth": 41.0}
    folds = {"triceps": 9.0, "calf": 8.0, "subscapular": 12.0}
    answers = {
        sex: codes(visit(31.0, 0.48, {"sex": sex}, girths=girths, folds=folds,
                         intake={"conditions": ["diabetes"]}))
        for sex in ("female", "male", "both")
    }  # fmt: skip
    assert "strong_build" in answers["female"]
    assert "strong_build" not in answers["male"]
    assert "strong_build" not in answers["both"]
    assert "weight_with_signs" in answers["both"]


@pytest.mark.parametrize("sex", ["male", "both"])
def test_standards_that_contradict_each_other_are_told_where_the_sex_is_open_too(sex: str) -> None:
    """A body mass index of 31 beside a waist well under half the height."""
    found = foldspan.health(visit(31.0, 0.44, {"sex": sex, "athlete": True}))
    assert any("Above the usual" in sentence for sentence in found.apart)
    assert foldspan.health(visit(22.0, 0.44, {"sex": sex})).apart == ()


@pytest.mark.parametrize("sex", ["female", "both"])
def test_beside_a_low_weight_no_standard_that_is_left_out_contradicts_another(sex: str) -> None:
    """A waist of more than half the height: said of nobody whose weight is low."""
    found = foldspan.health(visit(17.9, 0.55, {"sex": sex}))
    assert HEALTH_REMARKS["low_weight"] in found.remarks
    assert [sentence for sentence in found.apart if "Above the usual" in sentence] == []
    usual = foldspan.health(visit(21.0, 0.55, {"sex": sex}))
    assert HEALTH_REMARKS["low_weight"] not in usual.remarks
    assert [sentence for sentence in usual.apart if "Above the usual" in sentence]


@pytest.mark.parametrize("client", KINDS.values(), ids=list(KINDS))
def test_words_are_flagged_where_nobody_was_weighed(client: dict[str, Any]) -> None:
    intake = {"earlier_weight_kg": 82.0, "earlier_weight_months_ago": 4, "loss_wanted": False}
    assert "loss_fast" in codes(visit(client=client, intake=intake))
    tree = {
        "client": {"age_years": 41} | client,
        "girths_cm": {"waist_midpoint": 80.0, "neck": 33.0, "hip": 99.0},
        "intake": {"symptoms": ["fainting"]},
    }
    assert codes(foldspan.Visit.from_dict(tree)) == ["fainting"]


def test_without_a_height_no_weight_is_low_or_high() -> None:
    for body in ({"weight_kg": 40.0}, {"height_cm": 180.0}):
        tree = {"client": {"sex": "female", "age_years": 41, "pregnant": True}, "mass_height": body}
        assert codes(foldspan.Visit.from_dict(tree, accept_unusual=True)) == []


def tall(*heights: float | None, age: float = 71.0) -> list[foldspan.Visit]:
    trees = [
        {
            "client": {"sex": "female", "age_years": age},
            "mass_height": {"weight_kg": 62.0} | ({"height_cm": height} if height else {}),
            "girths_cm": {"waist_midpoint": 80.0, "neck": 33.0, "hip": 99.0},
        }
        for height in heights
    ]
    return [foldspan.Visit.from_dict(tree) for tree in trees]


@pytest.mark.parametrize(
    ("heights", "age", "text"),
    [
        ((165.0, 161.0), 71.0, "161.0 cm, 4.0 cm less than before"),
        # since the visit at which the client was tallest, whenever that was
        ((161.0, 165.0, 163.0, 161.0), 71.0, "161.0 cm, 4.0 cm less than before"),
        ((165.0, None, 161.0), 71.0, "161.0 cm, 4.0 cm less than before"),
        ((None, 165.0, 161.0), 71.0, "161.0 cm, 4.0 cm less than before"),
        ((165.0, 161.0, None), 71.0, ""),
        ((None, 161.0), 71.0, ""),
        ((161.0, 165.0), 71.0, ""),
        ((165.0, 161.0), 49.0, ""),
        ((165.0, 161.0), 50.0, "161.0 cm, 4.0 cm less than before"),
    ],
)
def test_height_that_was_lost_since_the_tallest_visit(
    heights: tuple[float | None, ...], age: float, text: str
) -> None:
    from foldspan.results.health import flags_of_height

    *earlier, later = tall(*heights, age=age)
    flags = flags_of_height(earlier, later)
    assert [flag.code for flag in flags] == (["height_lost"] if text else [])
    assert all(text in flag.for_clinician for flag in flags)
    assert not any(flag.is_borderline for flag in flags)


def test_height_lost_counts_from_the_age_of_today() -> None:
    """The rule is for clients of 50 and more: tallest at 48, five centimetres less at 52."""
    from foldspan.results.health import flags_of_height

    (young,), (now,) = tall(166.0, age=48.0), tall(161.0, age=52.0)
    assert [flag.code for flag in flags_of_height([young], now)] == ["height_lost"]


def test_height_lost_is_as_sure_as_its_two_readings() -> None:
    """Each height has an error of its own, so that 3.3 cm less may be less than 3."""
    from foldspan.results.health import flags_of_height

    *earlier, later = tall(164.3, 161.0)
    (flag,) = flags_of_height(earlier, later)
    assert flag.is_borderline
    assert 0.5 < flag.chance < 0.8
    *earlier, later = tall(163.5, 161.0)
    assert flags_of_height(earlier, later) == ()

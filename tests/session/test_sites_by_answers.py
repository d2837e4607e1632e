"""Which sites and consents follow from what was answered: clothing, refusals, folds in vain."""

from __future__ import annotations

import pytest

from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.site_guide import guide_for
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import MOST_FOLDS_IN_VAIN, asked_for, choosable, guide_of, planned
from session.test_session_guards import answered, before

FOLDS = ("triceps_mm", "thigh_mm", "abdominal_mm", "subscapular_mm")


def folds_among(names: tuple[str, ...]) -> list[str]:
    return [name for name in names if BY_NAME[name].kind == "skinfold"]


def test_an_adaptive_plan_chooses_nothing_that_would_be_taken_over_clothing() -> None:
    bared, covered = (
        choosable(answered(plan=["adaptive"], **{"consent.uncover": uncovers}).known)
        for uncovers in (True, False)
    )
    assert set(bared) & set(CORRECTED)
    assert not set(covered) & set(CORRECTED)


@pytest.mark.parametrize(
    "in_vain", [{"value": 60.0, "typed": "60+", "at_least": True}, {"cannot": "thick"}]
)
def test_an_adaptive_plan_gives_up_folds_that_several_times_could_not_be_taken(
    in_vain: dict[str, object],
) -> None:
    some = {f"1.{name}": in_vain for name in FOLDS[: MOST_FOLDS_IN_VAIN - 1]}
    one_more = some | {f"1.{FOLDS[MOST_FOLDS_IN_VAIN - 1]}": in_vain}
    assert folds_among(choosable(answered(plan=["adaptive"], **some).known))
    assert not folds_among(choosable(answered(plan=["adaptive"], **one_more).known))


def test_the_tape_takes_the_place_of_folds_that_are_declined() -> None:
    with_folds = planned(answered(plan=["three"]).known)
    without = planned(answered(plan=["three"], **{"consent.pinch": False}).known)
    assert folds_among(with_folds)
    assert not folds_among(without)
    assert set(planned(answered(plan=["tape"]).known)) <= set(without)


def test_a_pen_is_asked_for_where_a_site_is_marked_on_skin() -> None:
    """The waist of the quick plan is: over clothing nothing is marked."""
    assert "mark" in asked_for(answered(plan=["quick"]).known)
    assert "mark" not in asked_for(answered(plan=["quick"], **{"consent.uncover": False}).known)


def test_the_chest_fold_of_a_woman_is_nearer_to_the_arm() -> None:
    """A third of the way from the armpit in women, half of it in men (Jackson and Pollock)."""
    woman, man = (guide_of(answered(sex=sex).known, "chest_mm") for sex in ("female", "male"))
    assert woman == guide_for("chest_mm", "third")
    assert man == guide_for("chest_mm", "")
    assert woman != man


def test_nobody_who_is_not_to_be_touched_is_pinched_or_clamped() -> None:
    """Bones are clamped between two branches, so their breadths go with the folds."""
    hands_on = {"skinfold", "breadth"}
    plan = [f"+{name}" for name in MEASURED if BY_NAME[name].kind in hands_on]
    touched, untouched = (
        planned(answered(plan=["quick", *plan], **{"consent.touch": agrees}).known)
        for agrees in (True, False)
    )
    assert {BY_NAME[name].kind for name in touched} > hands_on
    assert not {BY_NAME[name].kind for name in untouched} & hands_on


@pytest.mark.parametrize(
    ("line", "added"),
    [
        ("quick + waist, narrowest", ["+waist_narrowest_cm"]),  # one name, as some lists write it
        ("quick + calf girth, neck", ["+calf_girth_cm", "+neck_cm"]),
    ],
)
def test_a_comma_parts_sites_but_no_name(line: str, added: list[str]) -> None:
    assert (parse_line(before("plan"), line).body or {})["value"] == ["quick", *added]


def test_a_woman_who_declines_keeps_her_chest_to_herself() -> None:
    agreed, declined = (
        planned(answered(plan=["quick", "+chest_mm"], **{"consent.chest": agrees}).known)
        for agrees in (True, False)
    )
    assert "chest_mm" in agreed
    assert "chest_mm" not in declined


def test_a_consent_has_to_be_said_and_what_one_may_tell_has_not() -> None:
    assert not before("page.consent").prompt.is_optional
    assert before("page.more").prompt.is_optional

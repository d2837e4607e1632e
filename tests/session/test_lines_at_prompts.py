"""Lines that are seldom typed: distances between landmarks, ``back``, plans by number and by time."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from foldspan.protocol.plans import ADAPTIVE, PLAN_BY_KEY, minutes_of
from foldspan.quantities import BY_NAME
from foldspan.session.answers import (
    LastVisit,
    is_unsteady,
    read_sites,
    self_reported_flags,
    wants_third,
)
from foldspan.session.checks import distance_objection, objections
from foldspan.session.events import AskedAgain, Undone
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import guide_of, sites_of_plan
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from session.test_known_client import begun
from session.test_session_guards import answered, before


def codes_of(state: State, line: str) -> tuple[str, bool]:
    """What a line is asked back or refused with, and whether it may be typed again."""
    parsed = parse_line(state, line)
    return (parsed.problem.code if parsed.problem else ""), parsed.asks_back


def test_a_distance_between_landmarks_is_held_against_the_heights_of_adults() -> None:
    """No height was read yet, so the span runs from the shortest to the tallest woman."""
    state = before("page.marks")
    assert codes_of(state, "triceps 33") == ("", False)
    assert codes_of(state, "triceps 99") == ("E102", False)  # no tape shows that on an arm
    assert codes_of(state, "triceps 3 x")[0].startswith("E1")
    usual = guide_of(state.known, "triceps_mm").mark
    assert usual is not None
    short, tall = BY_NAME["height_cm"].plausible("female")
    lowest, highest = usual.usual[0] * short, usual.usual[1] * tall
    odd = distance_objection(state.known, "triceps_mm", lowest - 1.0)
    assert odd is not None
    assert f"{lowest:.1f} to {highest:.1f} cm" in odd.what
    for value in (lowest, highest):
        assert distance_objection(state.known, "triceps_mm", value) is None


def test_a_distance_that_was_asked_back_stands_and_says_so() -> None:
    state = before("page.marks")
    assert codes_of(state, "triceps 70") == ("E103", True)
    stands = parse_line(state, "triceps 70", asked_back="triceps 70").body or {}
    assert stands["value"] == {"value": 70.0, "typed": "70 cm", "confirmed": "E103"}
    usual = parse_line(state, "triceps 33").body or {}
    assert usual["value"] == {"value": 33.0, "typed": "33 cm"}


@pytest.mark.parametrize(
    ("distance", "height", "is_odd"),
    # of a usual body, 16% to 27% of the height lie between shoulder and elbow
    [("27", 168.0, False), ("27", 169.5, True), ("45", 167.0, False), ("45", 166.0, True)],
)
def test_a_height_is_held_against_a_distance_that_was_measured_before(
    distance: str, height: float, is_odd: bool
) -> None:
    state = before("page.marks")
    marked = parse_line(state, f"triceps {distance}").body or {}
    found = objections(
        state.after("answer", marked).known, before("1.height_cm").prompt, height, at_least=False
    )
    landmarks = [one.code for one in found if "tip of the shoulder" in one.what]
    assert landmarks == (["E123"] if is_odd else [])


def test_back_is_the_last_answer_or_a_name_that_is_no_other() -> None:
    state = before("1.height_cm")
    assert isinstance(parse_line(state, "back").moves, Undone)
    back = parse_line(state, "back weight").moves
    assert isinstance(back, AskedAgain)
    assert back.body() == {"key": "1.weight_kg"}
    several = parse_line(state, "back t").problem
    assert several is not None
    assert several.what == "fits several sites"
    fresh = State().after("begun", {"repeat_rule": "2mm"})
    nothing = parse_line(fresh, "back")
    assert nothing.moves is None
    assert nothing.problem is not None


def test_a_plan_is_chosen_by_the_number_before_it() -> None:
    state = before("plan")
    for number, key in enumerate(state.prompt.words, start=1):
        assert (parse_line(state, str(number)).body or {})["value"] == [key]


@pytest.mark.parametrize("minutes", [7, 11, 12, 13, 17, 60])
def test_a_time_gives_the_richest_plan_that_fits(minutes: int) -> None:
    state = before("plan")
    needed = {
        key: minutes_of(sites_of_plan(state.known, key)) for key in PLAN_BY_KEY if key != ADAPTIVE
    }
    (chosen,) = (parse_line(state, f"{minutes} min").body or {})["value"]
    assert needed[chosen] == max(time for time in needed.values() if time <= minutes)


@pytest.mark.parametrize(
    ("page", "line", "key"),
    [
        ("page.more", "operation", "surgery_months_ago"),
        ("page.more", "pressure", "blood_pressure_mmhg"),
        ("page.more", "weight", "earlier_weight_kg"),
        ("page.women", "birth", "birth_months_ago"),
    ],
)
def test_nobody_has_to_say_more_than_yes(page: str, line: str, key: str) -> None:
    """Who names a line of a page is asked for the rest, and may leave that open."""
    state = before(page)
    named = parse_line(state, line)
    state = state.after(named.event, named.body or {})
    assert state.prompt.key == key
    assert parse_line(state, "").body == {"key": key, "value": None}


def test_a_site_that_cannot_be_marked_is_told_on_the_page() -> None:
    """The same words are no reason at the plan, where no site is asked for."""
    told = parse_line(before("page.marks"), "cannot triceps painful").body or {}
    assert told == {"key": "mark.triceps_mm", "value": {"cannot": "painful"}}
    refused = parse_line(before("plan"), "painful").problem
    assert refused is not None
    assert refused.what == "neither a plan nor an equation"


def test_too_short_a_time_is_no_plan() -> None:
    assert codes_of(before("plan"), "5 min") == ("E113", False)


def test_a_bare_steroid_is_asked_back() -> None:
    """In a gym it means something else than at the doctor's."""
    asked = parse_line(before("medicines"), "steroid").problem
    assert asked is not None
    assert asked.what.startswith("could mean corticosteroid tablets")


def test_two_readings_are_never_unsteady() -> None:
    typed = {"1.triceps_mm": "12", "2.triceps_mm": "29"}
    readings = {key: {"value": float(text), "typed": text} for key, text in typed.items()}
    assert not is_unsteady(answered(**readings).known, "triceps_mm")


def test_a_site_may_be_read_in_any_round() -> None:
    """Whoever puts off a first reading takes it later; a yes is no number of anything."""
    for turn in (1, 2, 3):
        reading = {f"{turn}.triceps_mm": {"value": 12.0, "typed": "12"}}
        assert read_sites(answered(**reading).known) == ("weight_kg", "triceps_mm")
    assert answered(athlete=True).known.number("athlete") is None
    assert answered().known.number("age_years") == 30.0


@pytest.mark.parametrize(
    ("facts", "second", "is_third"),
    [
        # 5% of their mean: of 20.45 mm 1.02 mm
        ({"repeat_rule": "5%"}, "20.9", False),
        ({"repeat_rule": "5%"}, "21.2", True),
        # 10%, but never less than one division of the calliper
        ({"repeat_rule": "adaptive"}, "22.3", True),
        ({"repeat_rule": "adaptive", "scale_step_mm": 2.5}, "22.3", False),
    ],
)
def test_a_third_reading_is_wanted_by_the_rule_and_the_scale(
    facts: dict[str, object], second: str, is_third: bool
) -> None:
    state = State().after("begun", facts)
    for key, typed in (("1.triceps_mm", "20"), ("2.triceps_mm", second)):
        state = state.after(
            "answer", {"key": key, "value": {"value": float(typed), "typed": typed}}
        )
    assert wants_third(state.known, "triceps_mm") is is_third


@pytest.mark.parametrize(
    ("name", "last", "now", "words"),
    [
        ("height_cm", 168.0, 159.0, "is it the same person?"),
        ("hip_cm", 98.0, 120.0, "Check the site and the unit."),
    ],
)
def test_what_to_check_where_a_reading_is_far_from_the_last_visit(
    name: str, last: float, now: float, words: str
) -> None:
    state = before(f"1.{name}", plan="tape")
    known = State(last=LastVisit({name: last}, 8.0)).known
    assert state.prompt.quantity == name
    (found,) = objections(known, state.prompt, now, at_least=False)
    assert found.code == "E124"
    assert words in found.remedy


@pytest.mark.parametrize(
    ("key", "line", "meant"),
    [("1.weight_kg", "713", "71.3"), ("1.height_cm", "16.5", "165"), ("1.hip_cm", "9.8", "98")],
)
def test_a_decimal_point_one_place_away_is_named(key: str, line: str, meant: str) -> None:
    asked = parse_line(before(key, plan="tape"), line).problem
    assert asked is not None
    assert f"was it {meant}?" in asked.remedy


def test_a_layer_is_kept_only_where_it_was_taken_over_one() -> None:
    """Of a girth over clothing, not of the weight, and not where it was bared."""
    for refused in ("y", "n"):
        for key, line in (("1.weight_kg", "62"), ("1.waist_midpoint_cm", "80")):
            state = before(key, **{"consent.uncover": refused})
            value = (parse_line(state, line).body or {})["value"]
            assert ("layer" in value) == (refused == "n" and key != "1.weight_kg")


def test_one_site_is_not_asked_back_for_what_was_confirmed_at_another() -> None:
    """46 kg at 180 cm were asked back and stand: the triceps that comes next says nothing of them."""
    light = {"value": 46.0, "typed": "46", "confirmed": "E103"}
    tall = {"value": 180.0, "typed": "180", "confirmed": "E123"}
    state = before("1.weight_kg", plan="three")
    for key, value in (("1.weight_kg", light), ("1.height_cm", tall)):
        state = state.after("answer", {"key": key, "value": value})
    triceps, height = before("1.triceps_mm").prompt, before("1.height_cm").prompt
    assert objections(state.known, triceps, 9.0, at_least=False) == []
    assert objections(state.known, replace(height, turn=2), 180.0, at_least=False) == []
    assert [one.code for one in objections(state.known, height, 180.0, at_least=False)] == ["E123"]


def test_a_line_without_its_answer_is_told_from_one_that_is_not_there() -> None:
    state = before("page.consent")
    for line, what in (("touch", "neither yes nor no"), ("shoes", "not a line on this page")):
        refused = parse_line(state, line).problem
        assert refused is not None
        assert refused.what == what


@pytest.mark.parametrize(
    "told", [{"blood_pressure_mmhg": [150.0, 96.0]}, {"symptoms": ["swelling"]}]
)
def test_in_a_pregnancy_and_after_a_birth_what_else_may_wait_may_not(told: dict[str, Any]) -> None:
    """Raised blood pressure or swelling can be a sign of danger then, until weeks after the birth."""
    pregnant = {"pregnant": True, "go_on.E202": True}
    after_birth = {"birth_months_ago": 2.0, "go_on.E204": True}
    for state, level in (
        (answered(**told), "refer_soon"),
        (answered(birth_months_ago=12.0, **told), "refer_soon"),
        (answered(**pregnant, **told), "refer_urgently"),
        (answered(**after_birth, **told), "refer_urgently"),
    ):
        (raised,) = self_reported_flags(state.known)
        assert raised.level == level


def test_a_weight_of_less_than_half_of_what_was_reported_is_refused() -> None:
    """More was lost than is left: one of the two numbers is wrong, and the earlier one can be mended."""
    state = answered(earlier_weight_kg=130.0)
    prompt = before("1.weight_kg").prompt
    for weight, codes in ((64.0, ["E125"]), (66.0, [])):
        found = objections(state.known, prompt, weight, at_least=False)
        assert [one.code for one in found if one.code == "E125"] == codes


def test_a_fold_out_of_the_usual_is_asked_back_with_the_slip_that_explains_it() -> None:
    asked = parse_line(before("1.triceps_mm"), "65").problem
    assert asked is not None
    assert asked.code == "E103"
    assert "was it 6.5?" in asked.remedy


def test_a_second_reading_that_is_that_of_another_site_says_which() -> None:
    state = answered(plan=["three"], **{
        "1.triceps_mm": {"value": 12.0, "typed": "12"},
        "1.thigh_mm": {"value": 27.0, "typed": "27"},
    })  # fmt: skip
    second = replace(before("1.triceps_mm").prompt, key="2.triceps_mm", turn=2)
    (like_thigh,) = objections(state.known, second, 27.0, at_least=False)
    assert f"It looks like the {BY_NAME['thigh_mm'].label}" in like_thigh.remedy
    (like_none,) = objections(state.known, second, 40.0, at_least=False)
    assert "It looks like" not in like_none.remedy
    assert objections(state.known, second, 12.5, at_least=False) == []


def test_only_a_reading_of_the_site_before_has_to_rest() -> None:
    """Everything else is asked at once."""
    for key in ("code", "plan", "1.weight_kg", "1.height_cm", "2.weight_kg", "finish"):
        assert not before(key).prompt.rests


def test_nothing_typed_is_told_from_a_line_that_is_not_there() -> None:
    """Where a client who is known is asked whether all is still so."""
    state = begun(sex="male", age_years=35.0, **{"consent.store": True})
    assert state.prompt.key == "still"
    assert codes_of(state, "") == ("E101", False)
    assert codes_of(state, "shoes") == ("E113", False)


def test_who_measured_is_kept_whether_asked_or_told_before() -> None:
    for facts, told in (({"tester": "T-02"}, {}), ({}, {"tester": "T-02"})):
        state = State().after("begun", {"repeat_rule": "2mm", **facts})
        for key, value in {"code": "K-061", **told, "sex": "female", "age_years": 30.0}.items():
            state = state.after("answer", {"key": key, "value": value})
        assert visit_tree(state)["visit"]["tester"] == "T-02"

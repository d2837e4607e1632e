"""Lines that are seldom typed: distances between landmarks, ``back``, plans by number and by time."""

from __future__ import annotations

import pytest

from foldspan.protocol.plans import ADAPTIVE, PLAN_BY_KEY, minutes_of
from foldspan.quantities import BY_NAME
from foldspan.session.answers import LastVisit, is_unsteady, read_sites, wants_third
from foldspan.session.checks import distance_objection, objections
from foldspan.session.events import AskedAgain, Undone
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import guide_of, sites_of_plan
from foldspan.session.state import State
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

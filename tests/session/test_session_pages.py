"""Pages of a session: one line answers several questions, and a slip never answers the wrong one."""

from __future__ import annotations

from typing import Any

import pytest

from foldspan import Visit
from foldspan.cli.printed.measure import planned_lines
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.session.pages import LINE_WORDS, WITH_DETAIL
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import chosen
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from foldspan.text.catalogue import ENGLISH
from foldspan.text.measure import QUESTIONS, question
from foldspan.text.questions import page_lines
from session.test_consent_walk import BASE


def at(page: str, sex: str = "female", **answered: Any) -> State:
    """A session whose next prompt is one page; ``reported`` goes before the usual answers."""
    state = State().after("begun", {"repeat_rule": "2mm", "tester": "T-02", "calliper": "ring"})
    answers = {**BASE, "sex": sex, "plan": ["seven"], **answered}
    drops = {
        "page.women": ("pregnant", "birth_months_ago", "periods_stopped"),
        "page.more": ("surgery_months_ago", "blood_pressure_mmhg", "earlier_weight_kg", "athlete",
                      "anabolic_drugs", "family_background", "plan"),
    }.get(page, ())  # fmt: skip
    for key, value in answers.items():
        if key not in drops:
            state = state.after("answer", {"key": key, "value": value})
    if page == "page.prepared":
        for item in (
            "touch",
            "pinch",
            "uncover",
            "mark",
            "chest",
            "writer",
            "witness",
            "show",
            "share",
        ):
            state = state.after("answer", {"key": f"consent.{item}", "value": True})
    assert state.prompt.key == page
    return state


ALL = ("touch", "pinch", "uncover", "mark", "chest", "writer", "show", "share")


@pytest.mark.parametrize(
    ("line", "refused"),
    [
        ("y", ""), ("Yes", ""), ("n", " ".join(ALL)), ("no", " ".join(ALL)),
        ("no chest", "chest"), ("no chest, no mark", "chest mark"), ("no chest and mark", "chest mark"),
        ("y but no chest", "chest"), ("yes to all, no show", "show"), ("no 5 8", "chest share"),
        ("n, yes show", "touch pinch uncover mark chest writer share"), ("no sha", "share"),
        ("no to all", " ".join(ALL)), ("n all", " ".join(ALL)), ("all", ""), ("all but mark", "mark"),
        ("yes to all except mark", "mark"), ("y except chest and mark", "chest mark"),
        ("y to all but not mark", "mark"), ("y but no chest, no mark", "chest mark"),
        ("no to all but show", "touch pinch uncover mark chest writer share"),
    ],
)  # fmt: skip
def test_a_page_of_consents_takes_what_is_said(line: str, refused: str) -> None:
    parsed = parse_line(at("page.consent"), line)
    assert parsed.event == "page", parsed.problem
    values = dict(parsed.body or {})["values"]
    no = {key.removeprefix("consent.") for key, value in values.items() if not value}
    assert no == set(refused.split())


@pytest.mark.parametrize(
    "line",
    [
        "",
        "touch",
        "no",
        "no toe",
        "no touch, yes",
        "yes touch",
        "no s",
        "no 9",
        "maybe",
        "none",
        "y n x",
        "y to all but",
        "but mark",
        "no mark but show",
    ],
)
def test_what_is_not_plain_on_a_page_of_consents_is_asked_back(line: str) -> None:
    parsed = parse_line(at("page.consent"), line)
    if line in ("no", "no touch, yes"):  # plain after all: to all, and to the rest
        assert parsed.event == "page"
        assert not dict(parsed.body or {})["values"]["consent.touch"]
        return
    assert not parsed.event
    assert parsed.problem is not None
    assert "no touch" in parsed.problem.remedy


@pytest.mark.parametrize("page", ["page.women", "page.more"])
def test_none_answers_a_page_and_enter_leaves_it_open(page: str) -> None:
    state = at(page)
    asked = state.prompt.words
    for line, values in (
        ("none", {key: "none" if key in WITH_DETAIL else False for key in asked}),
        ("", dict.fromkeys(asked)),
    ):
        parsed = parse_line(state, line)
        assert dict(parsed.body or {})["values"] == values
        after = state.after(parsed.event, parsed.body or {})
        assert not set(after.prompt.words) & set(asked)
        tree = visit_tree(after)
        answers = {**tree["client"], **tree["intake"]}
        assert {key: answers.get(key) for key in asked} == values


@pytest.mark.parametrize("page", ["page.women", "page.more"])
def test_each_line_of_a_page_can_be_named_alone(page: str) -> None:
    state = at(page)
    for place, key in enumerate(state.prompt.words, start=1):
        for line in (LINE_WORDS[key], LINE_WORDS[key].upper(), str(place), LINE_WORDS[key][:4]):
            parsed = parse_line(state, line)
            assert parsed.event == "page", (line, parsed.problem)
            values = dict(parsed.body or {})["values"]
            others = [word for word in state.prompt.words if word != key]
            assert all(values[other] in (False, "none") for other in others)
            after = state.after(parsed.event, parsed.body or {})
            assert after.known.get(key) is True or after.prompt.key == key


@pytest.mark.parametrize("line", ["y", "maybe", "pressure and hiccups", "0", "99", "no pressure"])
def test_a_slip_on_a_page_of_questions_is_asked_back(line: str) -> None:
    parsed = parse_line(at("page.more"), line)
    assert not parsed.event
    assert parsed.problem is not None
    assert "none" in parsed.problem.remedy


@pytest.mark.parametrize(
    ("page", "line", "given"),
    [
        ("page.more", "chest high", "chest high"), ("page.more", "weight, chest high", "chest high"),
        ("page.more", "pressure high", "high"), ("page.consent", "no chest high", "no chest high"),
        ("page.consent", "no touch, no left arm", "no left arm"),
        ("page.prepared", "skin wet", "skin wet"),
    ],
)  # fmt: skip
def test_a_refusal_shows_all_the_words_that_were_typed(page: str, line: str, given: str) -> None:
    parsed = parse_line(at(page), line)
    assert parsed.problem is not None
    assert parsed.problem.given == given


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("weight 74,5 kg, 8 months ago", {"earlier_weight_kg": 74.5, "earlier_weight_months_ago": 8.0}),
        ("weight 74; 8 months ago", {"earlier_weight_kg": 74.0, "earlier_weight_months_ago": 8.0}),
        ("weight 164 lb 26 weeks ago", {"earlier_weight_months_ago": pytest.approx(5.98, abs=0.01)}),
        ("weight 74", {"earlier_weight_kg": 74.0}), ("weight none", {"earlier_weight_kg": "none"}),
        ("pressure 142 / 91, training", {"blood_pressure_mmhg": [142.0, 91.0], "athlete": True}),
        ("family half Tamil and half Welsh", {"family_background": "half Tamil and half Welsh"}),
        ("operation 2 months ago", {"surgery_months_ago": 2.0}),
        ("operation 14 pressure 120/80", {"surgery_months_ago": 14.0, "blood_pressure_mmhg": [120, 80]}),
        ("2 4", {"athlete": True}),
    ],
)  # fmt: skip
def test_what_belongs_to_a_line_may_stand_behind_it(line: str, expected: dict[str, object]) -> None:
    parsed = parse_line(at("page.more"), line)
    assert parsed.event == "page", parsed.problem
    values = dict(parsed.body or {})["values"]
    assert {key: values[key] for key in expected} == expected
    assert "earlier_weight_months_ago" in expected or "earlier_weight_months_ago" not in values


def test_a_background_in_own_words_is_read_as_in_a_file() -> None:
    """Nothing is guessed from a beginning: black may be one of three."""
    for words in ("black", "half Tamil and half Welsh", "South Asian"):
        parsed = parse_line(at("page.more"), f"family {words}")
        values = dict(parsed.body or {})["values"]
        tree = {"client": {"sex": "male", "age_years": 41, "family_background": words}}
        tree["mass_height"] = {"weight_kg": 80, "height_cm": 180}
        assert values["family_background"] == Visit.from_dict(tree).client.family_background


@pytest.mark.parametrize("plan", PLAN_BY_KEY)
def test_where_both_sexes_equations_are_wanted_the_sites_of_both_are_measured(plan: str) -> None:
    state = at("page.consent", "both", plan=[plan])
    both = {name for sex in ("female", "male") for name in PLAN_BY_KEY[plan].sites(sex)}
    assert set(chosen(state.known)) == both
    assert visit_tree(state)["client"]["sex"] == "both"
    assert state.known.get("pregnant") is False  # it was asked


def test_one_answer_of_a_page_is_taken_back_alone() -> None:
    state = at("page.prepared")
    parsed = parse_line(state, "no rested")
    state = state.after(parsed.event, parsed.body or {})
    again = parse_line(state, "back rested")
    state = state.after(again.event, again.body or {})
    assert (state.prompt.key, state.prompt.kind) == ("prepared.rested", "yes_no")
    assert state.known.get("prepared.skin") is True


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("plan", PLAN_BY_KEY)
def test_nothing_is_bared_after_a_no_to_it(sex: str, plan: str) -> None:
    """A sleeve or a trouser leg is rolled up: arms and lower legs need no consent of their own."""
    state = at("page.consent", sex, plan=[plan])
    parsed = parse_line(state, "no uncover")
    shown = " ".join(planned_lines(state.after(parsed.event, parsed.body or {}))[:2])
    clothing = shown.partition("Clothing:")[2]
    assert "underwear" not in clothing
    for part in ("belly", "chest", "back", "skin above the hip bone", "thigh"):
        assert part not in clothing
    before = " ".join(planned_lines(state)[:3])
    assert "belly" in before.partition("Clothing:")[2]


def test_every_line_has_its_words() -> None:
    for page in ("page.women", "page.more", "page.consent", "page.prepared"):
        state = at(page)
        assert len(page_lines(state.prompt, state.known)) == len(state.prompt.words)
        for key in state.prompt.words:
            assert f"ask.{key}" in ENGLISH.sentences or key in QUESTIONS or key == "consent.chest"
        assert question(state.prompt, state.known, "")

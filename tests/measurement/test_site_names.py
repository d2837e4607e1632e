"""A site is known by every label, name and unique beginning, wherever it is typed."""

from __future__ import annotations

from typing import Any

import pytest

from foldspan import FoldspanError
from foldspan.cli.printed.measure import where_lines
from foldspan.measurement.site_names import sites_named
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.records.visits import correction_of
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import chosen
from foldspan.session.state import State
from measure_driver import FACTS, MAN, script_of


def played(until: str, given: dict[str, str] | None = None, **facts: Any) -> State:
    """A session of the invented man up to the prompt called ``until``."""
    state, asked_back = State().after("begun", FACTS | facts), ""
    for prompt in script_of(MAN | (given or {}), FACTS | facts):
        if prompt.key == until:
            return state
        parsed = parse_line(state, prompt.line, asked_back=asked_back)
        asked_back = prompt.line if parsed.asks_back else ""
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
    raise AssertionError(until)


def back(state: State, text: str) -> str:
    """The key that going back to a site asks again, else the code and what is offered."""
    parsed = parse_line(state, f"back {text}")
    if parsed.problem is not None:
        return f"{parsed.problem.code} {parsed.problem.remedy}"
    assert parsed.event == "again"
    return str((parsed.body or {})["key"])


@pytest.mark.parametrize("name", MEASURED)
def test_every_form_of_a_name_means_its_site(name: str) -> None:
    quantity = BY_NAME[name]
    for text in (quantity.label, quantity.label.upper(), name, quantity.short_name,
                 quantity.label.replace(",", ""), name.replace("_", "-")):  # fmt: skip
        assert sites_named(text) == (name,), text


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("waist, top of hip bone", "waist_iliac_cm"),
        ("Waist top", "waist_iliac_cm"),
        ("top of hip bone", "waist_iliac_cm"),
        ("waist, midpoint", "waist_midpoint_cm"),
        ("suprailiac fold, front armpit line", "suprailiac_anterior_mm"),
        ("front armpit line", "suprailiac_anterior_mm"),
        ("mid armpit line", "suprailiac_midaxillary_mm"),
        ("front thigh", "thigh_mm"),
        ("front thigh fold", "thigh_mm"),
        ("inner calf", "calf_mm"),
        ("inner calf fold", "calf_mm"),
        ("breast girth", "breast_girth_cm"),
        ("chest fold", "chest_mm"),
        ("arm girth, relaxed", "arm_relaxed_girth_cm"),
    ],
)
def test_labels_of_earlier_versions_still_mean_their_site(typed: str, name: str) -> None:
    assert sites_named(typed) == (name,)


def test_an_earlier_label_takes_no_words_from_those_of_today() -> None:
    assert sites_named("hip") == ("hip_cm",)
    assert sites_named("front") == ("thigh_mm",)
    assert set(sites_named("armpit")) == {"suprailiac_anterior_mm", "suprailiac_midaxillary_mm"}
    assert sites_named("armpit", ("hip_cm", "thigh_mm")) == ()


def test_every_unique_beginning_means_its_site() -> None:
    for name in MEASURED:
        label = BY_NAME[name].label
        for length in range(1, len(label)):
            found = sites_named(label[:length])
            others = [name for name in MEASURED if BY_NAME[name].label.startswith(label[:length])]
            if others == [name] and len(found) == 1:
                assert found in ((name,), sites_named(label[:length]))
            assert name in found or found, (label[:length], found)


def test_going_back_takes_all_that_where_shows() -> None:
    """Sixteen sites; before, twelve of their labels were refused."""
    state = played("finish", {"plan": "seven four tape", "waist_narrowest_cm": "84.5"})
    lines = where_lines(state, hides=True)
    sites = [site for site in chosen(state.known) if f"2.{site}" in state.known.answers]
    assert len(sites) == 16
    for name in sites:
        label = BY_NAME[name].label
        assert any(label in line for line in lines)
        assert back(state, label) == f"2.{name}"
        assert back(state, name) == f"2.{name}"
        assert back(state, f"{label} 1") == f"1.{name}"
    assert back(state, "tri") == "2.triceps_mm"
    assert back(state, "sup midax") == "2.suprailiac_midaxillary_mm"
    assert back(state, "abd").startswith("E115 Type more of the name: abdominal skinfold; abdomen")
    assert back(state, "front thigh fold 1") == "1.thigh_mm"
    assert back(state, "mid armpit line") == "2.suprailiac_midaxillary_mm"
    assert back(state, "plan") == "plan"
    assert back(state, "calf").startswith("E115")
    assert back(state, "chest fold 3").startswith("E115")


def test_a_correction_takes_labels_and_beginnings() -> None:
    def named(text: str) -> str:
        return correction_of(text, "11.5", 2, who="T-02", why="typed 15.1").name

    for text in ("Triceps skinfold", "Triceps skinfolds", "Triceps fold", "tri", "triceps"):
        assert named(text) == "triceps_mm"
    assert named("waist (midpoint)") == named("waist, midpoint") == "waist_midpoint_cm"
    assert named("waist, top of hip bone") == "waist_iliac_cm"
    with pytest.raises(FoldspanError, match="E115") as caught:
        named("waist")
    assert "waist (narrowest); waist (midpoint)" in caught.value.problems[0].remedy


# --- plans with sites more or less -------------------------------------------------------------------


def plan(text: str, **given: str) -> list[str] | str:
    """What the plan becomes, or the code of what is wrong with it."""
    parsed = parse_line(played("plan", given), text)
    return parsed.problem.code if parsed.problem else (parsed.body or {})["value"]


@pytest.mark.parametrize(
    ("text", "more", "less"),
    [
        ("three + arm girth, relaxed", {"arm_relaxed_girth_cm"}, set()),
        ("three + arm girth", {"arm_relaxed_girth_cm"}, set()),
        ("three +calf girth - waist, midpoint", {"calf_girth_cm"}, {"waist_midpoint_cm"}),
        ("three + waist, top of hip bone", {"waist_iliac_cm"}, set()),
        ("three + suprailiac fold, front armpit line", {"suprailiac_anterior_mm"}, set()),
        ("3 + neck, hip", {"neck_cm", "hip_cm"}, set()),
        ("three - thigh - chest", set(), {"thigh_mm", "chest_mm"}),
        ("three + thigh", set(), set()),
        ("three + neck - neck", set(), set()),
    ],
)
def test_a_plan_takes_sites_in_and_out(text: str, more: set[str], less: set[str]) -> None:
    found = plan(text)
    assert isinstance(found, list), found
    state = played("plan").after("answer", {"key": "plan", "value": found})
    usual = set(PLAN_BY_KEY["three"].sites("male"))
    assert set(chosen(state.known)) == (usual | more) - less


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("+ neck", "E101"),
        ("three + thigh girth", "E115"),
        ("three + nose", "E115"),
        ("three - neck", "E115"),
        ("three - weight", "E113"),
        ("three +", "E115"),
        ("999999", "E102"),
        ("--", "E115"),
    ],
)
def test_a_plan_that_cannot_be(text: str, code: str) -> None:
    assert plan(text) == code


def test_a_site_is_taken_in_during_the_session() -> None:
    state = played("1.chest_mm")
    parsed = parse_line(state, "+ calf girth")
    assert parsed.event == "amend"
    after = state.after(parsed.event, parsed.body or {})
    assert after.prompt.key == "1.calf_girth_cm"
    parsed = parse_line(after, "- calf girth")
    assert after.after(parsed.event, parsed.body or {}).known.get("plan") == ["three"]
    assert parse_line(state, "+ chest fold").problem.what == "the plan already includes that"  # type: ignore[union-attr]
    assert parse_line(played("sex"), "+ calf girth").problem.code == "E113"  # type: ignore[union-attr]


def test_the_plan_for_a_strong_build_has_arm_and_calf_girths_and_their_folds() -> None:
    sites = PLAN_BY_KEY["build"].sites("male")
    assert {"arm_relaxed_girth_cm", "triceps_mm", "calf_girth_cm", "calf_mm"} <= set(sites)
    assert "waist_midpoint_cm" in sites


# --- what is asked back ------------------------------------------------------------------------------


def asked_back(state: State, text: str) -> tuple[str, str]:
    """Code and remedy of what is asked back; typed once more it stands."""
    parsed = parse_line(state, text)
    if parsed.problem is None:
        return "", ""
    again = parse_line(state, text, asked_back=text)
    assert parsed.asks_back == (again.event == "answer")
    return parsed.problem.code, f"{parsed.problem.what} {parsed.problem.remedy}"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("thigh 76.5", "E103"),
        ("thigh 1", "E103"),
        ("thigh 0.4", "E102"),
        ("thigh 41", ""),
        ("thigh 16 in", ""),
        ("chest 1,5", "E103"),
        ("chest 17", ""),
        ("waist_midpoint 38", "E103"),
        ("waist_midpoint 9", ""),
    ],
)
def test_a_distance_between_landmarks_is_checked(text: str, code: str) -> None:
    """On the page of all sites; one by one it is the same."""
    assert asked_back(played("page.marks"), text)[0] == code


def test_a_height_is_held_against_the_landmarks() -> None:
    """52 cm from groin to kneecap is usual in a tall man, and more than a third of 152 cm."""
    marked = played("page.marks")
    parsed = parse_line(marked, "thigh 52")
    state = marked.after(parsed.event, parsed.body or {})
    for line in ("", "60"):
        parsed = parse_line(state, line)
        state = state.after(parsed.event, parsed.body or {})
    assert state.prompt.key == "1.height_cm"
    code, words = asked_back(state, "152")
    assert (code, "kneecap" in words) == ("E123", True)
    assert asked_back(state, "179.5")[0] == ""


@pytest.mark.parametrize(
    ("before", "months", "now", "code"),
    [
        ("92", "6", "55.5", "E124"),
        ("92", "6", "80.4", ""),
        ("70", "1", "80.4", "E124"),
        ("60", "24", "80.4", "E124"),
        ("75", "1", "77", ""),
    ],
)
def test_a_weight_far_from_the_one_told_is_asked_back(
    before: str, months: str, now: str, code: str
) -> None:
    intake = {"earlier_weight_kg": before, "earlier_weight_months_ago": months}
    assert asked_back(played("1.weight_kg", intake), now)[0] == code


@pytest.mark.parametrize(("key", "text", "meant"), [("1.chest_mm", "123", "12.3")])
def test_a_number_without_its_point_is_asked_back(key: str, text: str, meant: str) -> None:
    code, words = asked_back(played(key), text)
    assert (code, f"was it {meant}?" in words) == ("E102", True)


@pytest.mark.parametrize("text", ["cannot lift", "cannot thick", "lift"])
def test_a_tape_gives_no_reason_of_a_fold(text: str) -> None:
    parsed = parse_line(played("1.waist_midpoint_cm"), text)
    assert parsed.problem is not None
    assert parsed.problem.code == "E113"
    assert "painful" in parsed.problem.remedy
    assert "lift" not in parsed.problem.remedy
    assert parse_line(played("1.thigh_mm"), text).event == "answer" or text == "lift"


def test_a_site_taken_a_moment_ago_rests_when_it_is_asked_again() -> None:
    state = played("1.thigh_mm")
    again = state.after("again", {"key": "1.abdominal_mm"})
    assert (again.prompt.key, again.prompt.rests) == ("1.abdominal_mm", True)
    older = state.after("again", {"key": "1.chest_mm"})
    assert (older.prompt.key, older.prompt.rests) == ("1.chest_mm", False)
    assert not state.prompt.rests


def test_a_site_whose_reading_is_undone_rests_before_it_is_asked_again() -> None:
    """Before, undo forgot that the fold had just been pressed; a site that was left out was not."""
    state = played("1.abdominal_mm")
    read = state.after(
        "answer", {"key": "1.abdominal_mm", "value": {"value": 22.5, "typed": "22.5"}}
    )
    undone = read.after("undo", {})
    assert (undone.prompt.key, undone.prompt.rests) == ("1.abdominal_mm", True)
    left_out = state.after("answer", {"key": "1.abdominal_mm", "value": {"cannot": "skipped"}})
    assert not left_out.after("undo", {}).prompt.rests

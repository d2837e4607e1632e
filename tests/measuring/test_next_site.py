"""A plan that chooses as it goes: kept, taken up, taken back, and nothing that was refused."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from foldspan.measuring import next_site
from foldspan.measuring.conducted import ConductedSession, LineOutcome, unfinished_sessions
from foldspan.measuring.next_site import next_chosen
from foldspan.measuring.said import said_after
from foldspan.protocol.plans import CHOSEN_KINDS
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.records.book import Book
from foldspan.records.visits import kept_visit, reported_at
from foldspan.session.answers import Known, LastVisit, Prompt
from foldspan.session.events import NextChosen
from foldspan.session.parse_input import parse_line
from foldspan.session.sites import choosable, planned
from foldspan.session.state import State, replayed
from foldspan.text.next_site import next_lines
from measure_driver import FACTS, MAN, line_at
from session.test_consent_walk import BASE, CONDITIONS, YES_NO, ahead, presupposes, refused, walks

Answers = Mapping[str, "str | tuple[str, ...]"]
ADAPTIVE = MAN | {"plan": "adaptive"}
WOMAN = ADAPTIVE | {"sex": "female", "periods_stopped": "n", "hip_cm": "104.5"}
# hands on the client but no calliper: by density a woman's tape still tells something
BY_DENSITY = {"reference_method": "density"}


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.opened(str(tmp_path / "b.sqlite")) as opened:
        yield opened


def answered(session: ConductedSession, answers: Answers) -> LineOutcome:
    """Answer the prompt; what is asked back stands."""
    line = line_at(session.state, answers)
    assert isinstance(line, str)
    outcome = session.enter(line)
    if outcome.parsed.asks_back:
        outcome = session.enter(line, asked_back=line)
    assert not outcome.problems, (outcome.prompt.key, outcome.problems)
    return outcome


def walked(
    session: ConductedSession, answers: Answers, *, until: str = "done"
) -> list[LineOutcome]:
    """Answer everything up to a prompt."""
    found = []
    while session.state.prompt.key != until:
        found.append(answered(session, answers))
        assert len(found) < 120
    return found


def choices(session: ConductedSession) -> list[dict[str, Any]]:
    return [body for kind, body in session.events if kind == "next"]


def no_choice(*_: Any) -> None:
    raise AssertionError("it was worked out again")


def test_a_choice_is_kept_and_never_worked_out_again(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole session replays to the same prompts and readings, with the reckoning gone."""
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE)
    chosen = choices(session)
    assert [bool(choice["sites"]) for choice in chosen] == [True] * (len(chosen) - 1) + [False]
    assert len(chosen) > 1
    monkeypatch.setattr(next_site, "best_next", no_choice)
    again = replayed([(event.kind, event.body) for event in book.events(session.keeper.visit)])
    assert again == session.state
    assert replayed(again.events()) == again
    for count in range(1, len(session.events)):
        state = replayed(session.events[:count])
        is_choice = session.events[count][0] == "next"
        assert state.wants_next == is_choice
    taken = {name for choice in chosen for name in choice["sites"]}
    second = {key.removeprefix("2.") for key in again.known.answers if key.startswith("2.")}
    assert second == {"weight_kg", "height_cm", "waist_midpoint_cm"} | taken


def test_a_session_is_taken_up_in_the_middle(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="1.waist_midpoint_cm")
    answered(session, ADAPTIVE)
    site = choices(session)[0]["sites"][0]
    with monkeypatch.context() as gone:
        gone.setattr(next_site, "best_next", no_choice)
        (kept,) = unfinished_sessions(book)
        later = ConductedSession.taken_up(book, kept)
    assert later.state.prompt.quantity == site
    assert choices(later) == choices(session)
    walked(later, ADAPTIVE)
    assert choices(later)[-1]["sites"] == []


def test_a_power_cut_between_an_answer_and_the_choice(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="1.waist_midpoint_cm")
    with monkeypatch.context() as cut:
        cut.setattr(ConductedSession, "choose_next", lambda _: None)
        answered(session, ADAPTIVE)
    assert session.state.wants_next
    (kept,) = unfinished_sessions(book)
    later = ConductedSession.taken_up(book, kept)
    assert len(choices(later)) == 1
    assert not later.state.wants_next


def test_undo_takes_the_reading_back_with_the_choice_and_does_not_loop(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="1.waist_midpoint_cm")
    before = session.state
    answered(session, ADAPTIVE)
    chosen = session.state.known.words("next")
    outcome = session.enter("undo")
    assert outcome.chosen is None
    assert session.state == before
    assert session.state.prompt.key == "1.waist_midpoint_cm"
    answered(session, ADAPTIVE)
    assert session.state.known.words("next") == chosen
    while session.state.prompt.turn != 2:  # up to the word that it is enough
        answered(session, ADAPTIVE)
    last = session.state.known.words("next")[-1]
    session.enter("undo")
    assert session.state.prompt.key.removeprefix("1.") in session.state.known.words("next")
    assert session.state.known.words("next")[-1] == last
    assert session.state.known.get("next.enough") is False


def test_back_to_a_reading_leaves_the_choices_as_they_are(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="2.weight_kg")
    chosen = choices(session)
    session.enter("back waist")
    assert session.state.prompt.key == "1.waist_midpoint_cm"
    session.enter("99.5", asked_back="99.5")
    assert choices(session) == chosen
    assert session.state.prompt.key == "2.weight_kg"


def test_sites_in_and_out_by_the_trainer(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="1.waist_midpoint_cm")
    answered(session, ADAPTIVE)
    (first,) = session.state.known.words("next")
    session.enter(f"- {BY_NAME[first].short_name}")
    known = session.state.known
    assert first not in planned(known)
    assert len(known.words("next")) > 1  # another one was chosen at once
    (second,) = set(known.words("next")) - {first}
    session.enter("+ hip")
    assert "hip_cm" in planned(session.state.known)
    walked(session, WOMAN | {"sex": "male"})
    known = session.state.known
    assert first not in choosable(known)
    assert known.value(1, first) is None
    assert all(known.value(2, name) is not None for name in (second, "hip_cm"))
    assert known.words("next").count(first) == 1


def test_a_site_is_taken_out_before_it_is_chosen(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE | {"plan": "adaptive - triceps - subscapular - biceps"})
    assert session.state.known.get("plan") == [
        "adaptive", "-triceps_mm", "-subscapular_mm", "-biceps_mm",
    ]  # fmt: skip
    assert not {"triceps_mm", "subscapular_mm", "biceps_mm"} & {
        name for choice in choices(session) for name in choice["sites"]
    }


def test_the_plan_named_again_goes_on_choosing(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="2.weight_kg")
    chosen = session.state.known.words("next")
    session.enter("back plan")
    assert session.state.prompt.key == "plan"
    session.enter("adaptive")
    assert session.state.known.words("next") == chosen
    assert [choice["sites"] for choice in choices(session)][-2:] == [[], []]


def test_the_next_visit_measures_the_same_sites_and_chooses_on_from_there(book: Book) -> None:
    """Only what all visits have can be compared. A site that was taken out stays out."""
    session = ConductedSession.begun(book, FACTS)
    walked(session, ADAPTIVE, until="1.waist_midpoint_cm")
    answered(session, ADAPTIVE)
    (out,) = session.state.known.words("next")
    session.enter(f"- {BY_NAME[out].short_name}")
    (site,) = set(session.state.known.words("next")) - {out}
    while session.state.prompt.quantity == site and session.state.prompt.turn == 0:
        answered(session, ADAPTIVE)
    session.enter("cannot refused")
    walked(session, ADAPTIVE)
    session.end()
    kept = kept_visit(book, session.keeper.visit, session.code)
    got = [name for name in session.state.known.words("next") if name not in (out, site)]
    assert reported_at(kept, 4.0)["plan"] == ["adaptive", f"-{out}", *(f"+{name}" for name in got)]
    assert got


def test_minutes_never_name_a_plan_of_unknown_length() -> None:
    state = State().after("begun", FACTS)
    for key, value in {**BASE, "sex": "male"}.items():
        state = state.after("answer", {"key": key, "value": value})
    assert state.prompt.key == "plan"
    for minutes in range(7, 21):
        parsed = parse_line(state, f"{minutes} min")
        assert dict(parsed.body or {})["value"] != ["adaptive"]


# what was refused -----------------------------------------------------------------------------------


@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("sex", ["female", "male"])
def test_nothing_that_may_be_chosen_presupposes_what_was_refused(sex: str, condition: str) -> None:
    """Every way through the consents; and nothing is left to be asked once a site is chosen."""
    answers = {**BASE, "sex": sex, "plan": ["adaptive"], **CONDITIONS[condition]}
    offered = set()
    for known in walks(Known(answers, (), {"repeat_rule": "2mm"})):
        no, sites = refused(known), choosable(known)
        for name in sites:
            clash = presupposes(Prompt(f"1.{name}", "reading", name, 1), known) & no
            assert not clash, (name, clash, known.answers)
        if [*known.answers][-1] == "prepared.rested":  # the last thing that is asked
            offered |= set(sites)
            chosen = Known({**known.answers, "next": [*sites]}, (), known.facts)
            assert not [prompt.key for prompt in ahead(chosen) if prompt.key in YES_NO]
    kinds = {BY_NAME[name].kind for name in offered}
    if condition in ("minor", "pregnant"):
        return
    assert kinds == ({"girth"} if condition in ("blood thinner", "bruises") else set(CHOSEN_KINDS))


def chosen_with(sex: str, readings: Mapping[str, float], **answers: Any) -> list[str]:
    """What the plan chooses in the end if every site reads as the invented man's, by density."""
    yes = dict.fromkeys(("touch", "pinch", "uncover", "mark", "writer", "show", "share"), True)
    answers_given = {
        **BASE,
        "sex": sex,
        "plan": ["adaptive"],
        "prepared.skin": True,
        "calliper": "C2",
    }
    answers_given |= {f"consent.{item}": value for item, value in yes.items()}
    answers_given |= {
        "consent.witness": False,
        "prepared.rested": True,
        "page.marks": True,
        **answers,
    }
    state = State().after("begun", FACTS)
    for key, value in answers_given.items():
        state = state.after("answer", {"key": key, "value": value})
    for _ in range(60):
        name = state.prompt.quantity
        given: Any = None
        if state.prompt.kind == "reading":
            number = readings.get(name) or float(str(MAN.get(name, "30.5")))
            given = {"value": number, "typed": f"{number:g}"}
        if state.prompt.kind == "done":
            break
        state = state.after("answer", {"key": state.prompt.key, "value": given})
        if (chosen := next_chosen(state, BY_DENSITY)) is not None:
            state = state.after_event(chosen)
    assert state.prompt.kind == "done"
    return [*state.known.words("next")]


SIZES = {"weight_kg": 80.0, "height_cm": 179.0, "waist_midpoint_cm": 88.0}
LARGE = {"weight_kg": 125.0, "height_cm": 178.0, "waist_midpoint_cm": 122.0}


def kinds_of(names: list[str]) -> set[str]:
    return {BY_NAME[name].kind for name in names}


def test_who_is_spared_folds_is_measured_by_tape() -> None:
    assert "skinfold" in kinds_of(chosen_with("male", SIZES))
    for spared in ({"consent.touch": False}, {"consent.pinch": False}, {"prepared.skin": False},
                   {"medicines": ["blood_thinner"]}):  # fmt: skip
        assert kinds_of(chosen_with("male", SIZES, **spared)) <= {"girth"}
    assert kinds_of(chosen_with("male", LARGE)) <= {"girth"}


def test_nothing_is_chosen_where_there_will_be_no_range() -> None:
    assert chosen_with("male", SIZES, conditions=["dialysis"], **{"go_on.E205": True}) == []
    assert chosen_with("female", SIZES, pregnant=True, **{"go_on.E202": True}) == []


def test_no_more_folds_once_two_could_not_be_taken() -> None:
    known = {**BASE, "sex": "male", "plan": ["adaptive"], "next": ["triceps_mm", "thigh_mm"]}
    one_refused = Known({**known, "1.triceps_mm": {"cannot": "painful"}})
    two_refused = Known({**one_refused.answers, "mark.thigh_mm": {"cannot": "refused"}})
    assert "skinfold" in kinds_of([*choosable(one_refused)])
    assert kinds_of([*choosable(two_refused)]) == {"girth"}


def test_no_intimate_site_is_chosen_in_women() -> None:
    sites = {"chest_mm", "midaxillary_mm", "chest_girth_cm", "breast_girth_cm"}
    for sex in ("female", "both", "male"):
        known = Known({**BASE, "sex": sex, "plan": ["adaptive"]})
        assert sites.isdisjoint(choosable(known)) == (sex != "male")
        breadths = [name for name in MEASURED if BY_NAME[name].kind == "breadth"]
        assert set(breadths).isdisjoint(choosable(known))


# what is said ---------------------------------------------------------------------------------------


def test_widths_are_told_and_never_a_value(book: Book) -> None:
    session = ConductedSession.begun(book, FACTS)
    said = [
        (outcome.chosen, " ".join(said_after(outcome)))
        for outcome in walked(session, ADAPTIVE)
        if outcome.chosen is not None
    ]
    for chosen, text in said:
        assert isinstance(chosen, NextChosen)
        numbers = set(re.findall(r"\d+(?:\.\d+)?", text))
        widths = {f"{width:.1f}" for width in (chosen.width_now, chosen.width_expected) if width}
        assert numbers <= widths | {"80", "0.3"}, text
        assert widths <= numbers
        assert all(BY_NAME[name].label in text for name in chosen.sites)
    assert len(said) > 1


def test_no_width_is_told_where_eating_is_a_worry() -> None:
    """Nor where it was told last time and not asked today."""
    chosen = NextChosen(["triceps_mm"], 9.4, 8.9)
    last = LastVisit({}, 4.0, {"eating_concern": True})
    answers = {"next.now": 9.4, "next.expected": 8.9, "plan": ["adaptive"]}
    for known in (Known({**answers, "eating_concern": True}), Known(answers, last=last)):
        assert next_lines(chosen, known) == ["Next: triceps skinfold.", "Clothing: upper arm."]
    assert "8.9" in " ".join(next_lines(chosen, Known(answers)))

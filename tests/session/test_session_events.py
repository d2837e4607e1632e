"""Events of a session have types; what a journal keeps of them is what it always was."""

from __future__ import annotations

import typing
from typing import Any

import pytest

from foldspan.session import events
from foldspan.session.answers import Known, LastVisit
from foldspan.session.events import SessionEvent, event_of
from foldspan.session.state import State

# kind → body, as books hold them since the first version
KEPT: dict[str, dict[str, Any]] = {
    "begun": {"tester": "T-02", "calliper": "C2", "repeat_rule": "2mm", "day": "2026-03-04"},
    "answer": {"key": "1.triceps_mm", "value": {"value": 12.4, "typed": "12.4", "at_least": True}},
    "amend": {"key": "consent.store", "value": False},
    "page": {"key": "page.consent", "values": {"consent.touch": True, "sex": "female"}},
    "again": {"key": "plan"},
    "later": {"key": "1.thigh_mm"},
    "next": {"sites": ["triceps_mm"], "width_now": 9.4, "width_expected": 8.9},
    "undo": {},
    "note": {"key": "code", "text": "came late"},
    "ended": {},
}


@pytest.mark.parametrize("kind", KEPT)
def test_a_journal_keeps_what_it_always_kept(kind: str) -> None:
    event = event_of(kind, KEPT[kind])
    assert (event.kind, event.body()) == (kind, KEPT[kind])


def test_every_type_of_event_is_tried_and_every_one_is_told_apart() -> None:
    kinds = {event.kind for event in typing.get_args(SessionEvent)}
    assert kinds == set(KEPT) == set(typing.get_args(events.Kind))
    assert len({type(event_of(kind, body)) for kind, body in KEPT.items()}) == len(KEPT)


def test_no_event_holds_anything_at_all() -> None:
    """No field of an event is ``Any``: an answer is one of a few kinds."""
    for event in typing.get_args(SessionEvent):
        for hint in typing.get_type_hints(event).values():
            assert "Any" not in str(hint)


@pytest.mark.parametrize("knows", [Known, LastVisit, State])
def test_what_a_session_knows_is_of_a_few_kinds(knows: type) -> None:
    """Answers and facts are words, numbers, lists or readings wherever they are held, never ``Any``."""
    assert [name for name, hint in typing.get_type_hints(knows).items() if "Any" in str(hint)] == []


def test_answers_are_given_out_by_their_kind() -> None:
    known = Known(
        {"plan": ["three", "+calf_cm"], "age_years": 41, "pregnant": True, "code": "K-014"}
        | {"1.triceps_mm": {"value": 12.5, "typed": "12.5"}, "1.thigh_mm": {"cannot": "thick"}}
    )
    assert known.words("plan") == ("three", "+calf_cm")
    assert [known.words(key) for key in ("code", "symptoms")] == [(), ()]
    assert [known.number(key) for key in ("age_years", "pregnant", "code")] == [41.0, None, None]
    assert [known.value(1, name) for name in ("triceps_mm", "thigh_mm", "calf_mm")] == [
        12.5, None, None,
    ]  # fmt: skip
    assert known.reading(1, "calf_mm") == {}


def test_a_session_is_the_same_from_its_events_and_from_its_journal() -> None:
    state = kept = State()
    for kind, body in KEPT.items():
        state = state.after_event(event_of(kind, body))
        kept = kept.after(kind, body)
    assert state == kept
    assert [*state.events()] == [
        (kind, KEPT[kind])
        for kind in ("begun", "answer", "amend", "page", "again", "note", "ended")
    ]


def test_what_is_no_event_is_refused() -> None:
    with pytest.raises(ValueError, match="not a session event"):
        event_of("jump", {})
    with pytest.raises(KeyError):
        event_of("answer", {"key": "sex"})

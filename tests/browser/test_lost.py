"""Nothing lost, nothing twice: replies that are lost, servers that are killed, old pages sent again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from browser_attacks import WORDS, events, sender_at
from browser_hand import forms_of
from foldspan.measuring.conducted import ConductedSession
from measure_driver import MAN

ANSWERS = MAN | WORDS
pytestmark = pytest.mark.usefixtures("no_numbers")


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> list[list[tuple[str, dict[str, Any]]]]:
    """The record of two sessions of one client in which nothing went wrong."""
    book = tmp_path_factory.mktemp("once") / "book.sqlite"
    for _ in range(2):
        with sender_at(book) as hand:
            hand.begin()
            hand.walk(ANSWERS, until="finish")
            hand.client.post(hand.address, data={"turn": hand.form.fields["turn"], "line": ""},
                             follow_redirects=False)  # fmt: skip
    return events(book)


def test_a_lost_reply_leads_to_one_event(tmp_path: Path, once: Any) -> None:
    """At every prompt the same form comes twice, then something else from the old page."""
    book = tmp_path / "book.sqlite"
    for _ in range(2):
        with sender_at(book) as hand:
            hand.begin()
            while not hand.address.endswith("/result"):
                key = hand.state.prompt.key
                hand.answer(ANSWERS)
                if 'id="problem"' in hand.page:
                    hand.press_right()
                shown, address = hand.page, hand.address
                count = len(hand.session.events)
                hand.again()
                assert (hand.status, hand.address) == (200, address), key
                assert hand.page == shown, key
                hand.again(typed="99.5", line="99.5")
                assert hand.status == 409, key
                assert "in another window" in hand.said, key
                assert "99.5" in hand.said, key
                hand.go(address)
                assert len(hand.session.events) == count, key
    assert events(book) == once


def test_a_server_that_is_killed_at_any_prompt_is_taken_up_again(tmp_path: Path, once: Any) -> None:
    """And the reply to the last answer is lost besides: the next server knows it from the record."""
    book = tmp_path / "book.sqlite"
    with sender_at(book) as hand:
        hand.begin()
        before_consent = hand.address
    with sender_at(book) as hand:
        hand.go(before_consent)
        assert (hand.status, "no longer exists" in hand.said) == (404, True)
        hand.begin()
        hand.walk(ANSWERS, until="eating_concern")
        sent, address, shown = hand.sent, hand.address, hand.form.fields
    for _ in range(100):
        with sender_at(book) as hand:
            hand.sent = sent
            if sent[1]["turn"].endswith("consent.store"):
                hand.go(address)  # kept since: it has another address
            else:
                hand.again()
            assert (hand.status, hand.address) == (200, address)
            if address.endswith("/result"):
                break
            assert hand.form.fields == shown, sent
            hand.answer(ANSWERS)
            if 'id="problem"' in hand.page:
                hand.press_right()
            sent, address = hand.sent, hand.address
            shown = {} if address.endswith("/result") else hand.form.fields
    assert events(book) == once[:1]


def test_a_kill_before_the_end_is_noted(begun: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The last answer is kept, its session not ended yet: taken up again, it comes to its end."""
    book = begun
    with sender_at(book) as hand:
        hand.go("/session/v1")
        hand.walk(MAN, until="finish")

        def dies(session: Any) -> None:
            raise SystemError

        monkeypatch.setattr(ConductedSession, "end", dies)
        hand.answer(MAN)
        assert hand.status == 500
    monkeypatch.undo()
    assert events(book)[0][-1][0] == "answer"
    with sender_at(book) as hand:
        assert "Unfinished sessions" in hand.said
        hand.go("/session/v1")
        assert hand.address == "/session/v1/result"
        hand.go("/")
        assert "Unfinished sessions" not in hand.said
    assert events(book)[0][-1][0] == "ended"


def test_an_undo_or_a_note_before_the_agreement_leaves_the_lost_reply_known(tmp_path: Path) -> None:
    """What is kept first is written in order: the number of events is another then."""
    book = tmp_path / "book.sqlite"
    with sender_at(book) as hand:
        hand.begin()
        first = hand.state.prompt.key
        hand.fill(say="note", note="came early")
        while hand.state.prompt.key != "consent.store":
            hand.answer(MAN)
        hand.answer(MAN | {"consent.store": "n"})
        hand.fill(line="undo")
        assert hand.state.prompt.key == "consent.store", first
        hand.answer(MAN)
        address = hand.address
        assert address.startswith("/session/v")
        hand.again()
        assert (hand.status, hand.address) == (200, address)
    [kept] = events(book)
    assert [kind for kind, _ in kept].count("note") == 1


@pytest.mark.parametrize(
    "fields",
    [
        {"line": "undo"},
        {"say": "note", "note": "a new towel"},
        {"line": "later"},
        {"line": "cannot painful"},
        {"say": "plan", "plan": "+ calf girth"},
        {"say": "back", "back": "age"},
        {"say": "withdraw", "withdraw": "share"},
        {"line": "end"},
    ],
)
def test_what_is_pressed_beside_an_answer_counts_once(begun: Path, fields: dict[str, str]) -> None:
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        turn = hand.form.fields["turn"]
        hand.send("/session/v1", turn=turn, **fields)
        assert hand.status == 200, hand.said
        address, shown = hand.address, hand.page
        before = events(begun)
        hand.again()
        assert (hand.status, hand.address) == (200, address)
        assert hand.page == shown
    assert events(begun) == before
    # and by a server that was started since
    with sender_at(begun) as hand:
        hand.send("/session/v1", turn=turn, **fields)
        assert (hand.status, hand.address) == (200, address)
    assert events(begun) == before


def test_go_on_measuring_is_pressed_twice(begun: Path) -> None:
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        hand.walk(MAN)
        hand.send("/session/v1/more", sites="neck_cm calf_girth_cm")
        assert (hand.status, hand.state.prompt.key) == (200, "1.neck_cm")
        before = events(begun)
        hand.again()
        assert (hand.status, hand.state.prompt.key) == (200, "1.neck_cm")
        assert events(begun) == before


def test_a_correction_that_is_sent_twice_is_made_once(begun: Path) -> None:
    """A reading that is taken out must not take the next one with it."""
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        hand.walk(MAN | {"1.chest_mm": "11.5", "2.chest_mm": "15.5", "3.chest_mm": "12.5"})
        hand.go("/visit/1")
        form = next(form for form in forms_of(hand.page) if form.action.endswith("/correct"))
        wanted = {
            "name": "chest_mm",
            "reading": "2",
            "value": "none",
            "who": "T-1",
            "why": "slip",
        }
        hand.send(form.action, **{**form.fields, **wanted})
        assert hand.status == 200, hand.said
        before = events(begun)
        assert before[0][-1][0] == "corrected"
        hand.again()
        assert (hand.status, hand.address) == (200, "/visit/1")
        assert events(begun) == before
        hand.again(reading="1", value="11")
        assert hand.status == 409
        assert "since been changed" in hand.said
    assert events(begun) == before

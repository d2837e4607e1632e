"""What is not to be kept leaves nothing; a book that cannot be written to loses nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

from browser_attacks import Sender, events, sender_at
from foldspan.browser import app
from foldspan.records import storage
from measure_driver import MAN

# --- what is not to be kept ----------------------------------------------------------------------


@pytest.mark.usefixtures("no_numbers")
def test_an_agreement_that_is_undone_takes_everything_back(tmp_path: Path) -> None:
    """Undo across the consent: nothing is left in the file, the session goes on, and is kept anew."""
    book = tmp_path / "book.sqlite"
    with sender_at(book) as hand:
        hand.begin()
        hand.walk(MAN, until="eating_concern")
        hand.fill(line="undo")
        assert hand.state.prompt.key == "consent.store"
        again = hand.address
        hand.go(again)
        assert hand.status == 200
        hand.answer(MAN | {"consent.store": "n"})
        assert events(book) == []
        hand.fill(line="undo")
        hand.answer(MAN)
        hand.walk(MAN)
    [kept] = events(book)
    assert kept[-1][0] == "ended"


def test_a_consent_taken_back_leaves_nothing_and_the_session_goes_on(begun: Path) -> None:
    with sender_at(begun) as hand:
        address = "/session/v1"
        hand.go(address)
        hand.walk(MAN, until="2.thigh_mm")
        hand.fill(say="note", note="the client came late")
        hand.fill(say="withdraw", withdraw="store")
        assert "Deletes everything" in hand.said
        hand.press("withdraw store")
        assert (hand.status, hand.address) == (200, address)
        assert hand.state.prompt.key == "2.thigh_mm"
        assert "not saved" in hand.said
        hand.again()
        assert hand.status == 200
        hand.walk(MAN)
        assert (hand.status, "Nothing from this session is saved" in hand.said) == (200, True)
        assert "Result" in hand.said
        key = address.rsplit("/", 1)[1]
        hand.go(f"/session/{key}/why")
        assert hand.status == 200
        hand.send("/turned", of=key, language="en")
        assert (hand.status, hand.address) == (200, "/turned")
        hand.send("/turned/back", hold="yes")
        assert (hand.status, hand.address) == (200, f"/session/{key}/result")
        assert events(begun) == []
        on_disk = b"".join(path.read_bytes() for path in begun.parent.iterdir())
        for left in (b"K-041", b"T-05", b"came late", b"weight_kg"):
            assert left not in on_disk


@pytest.mark.usefixtures("no_numbers")
def test_a_consent_taken_back_while_the_book_is_being_read(
    begun: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A copy stays on the disk until the other has ended: it is said, and nothing is kept anew."""
    monkeypatch.setattr(storage, "PATIENCE", 0)
    with sender_at(begun) as hand, _reading(begun):
        hand.go("/session/v1")
        hand.send(hand.form.action, turn=hand.form.fields["turn"], line="withdraw store",
                  asked_back="withdraw store")  # fmt: skip
        assert "still has a copy" in hand.said
        assert events(begun) == []
        hand.walk(MAN)
        assert hand.address.endswith("/result")
    assert events(begun) == []


@contextmanager
def _reading(book: Path) -> Iterator[None]:
    other = sqlite3.connect(book, isolation_level=None)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM visit").fetchone()
    yield
    other.close()


def test_nothing_measured_leaves_nothing_however_often_it_is_ended(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    with sender_at(book) as hand:
        hand.begin()
        hand.walk(MAN, until="plan")
        form = hand.form
        hand.send(form.action, turn=form.fields["turn"], line="end")
        assert "Nothing was measured" in hand.said
        for _ in range(2):
            hand.again()
            assert "Nothing was measured" in hand.said
        assert events(book) == []
        hand.go("/")
        assert "None yet" in hand.said


def test_a_session_that_nothing_keeps_is_shown_after_its_end(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    with sender_at(book) as hand:
        hand.begin()
        hand.walk(MAN | {"consent.store": "n"}, until="2.thigh_mm")
        hand.fill(line="end")
        address = hand.address
        for _ in range(2):
            assert "Nothing from this session is saved" in hand.said
            hand.again()
            assert (hand.status, hand.address) == (200, address)
        hand.go(address.removesuffix("/result"))  # the back button
        assert hand.status == 200
        hand.answer(MAN)
        assert hand.status == 200
    assert events(book) == []


# --- a book that cannot be written to now -----------------------------------------------------------


@pytest.mark.usefixtures("no_numbers")
def test_a_book_that_another_writes_to_is_waited_for_and_named(
    begun: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(storage, "PATIENCE", 0)
    monkeypatch.setattr(app, "HELD_AT_MOST", 0.0)
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        other = sqlite3.connect(begun, isolation_level=None)
        before = events(begun)
        other.execute("BEGIN IMMEDIATE")
        hand.fill(typed="17.5")
        assert hand.status == 409
        assert "Record book: in use by another session" in hand.said
        assert hand.form.fields["typed"] == "17.5"
        assert hand.state.prompt.key == "1.chest_mm"
        hand.fill(line="end")
        assert "in use by another session" in hand.said
        hand.go(hand.address)
        assert hand.status == 200
        hand.go("/")
        assert (hand.status, "Unfinished sessions" in hand.said) == (200, True)
        hand.begin()
        assert (hand.status, "in use by another session" in hand.said) == (409, True)
        other.execute("ROLLBACK")
        other.close()
        assert events(begun) == before
        hand.go("/session/v1")
        hand.walk(MAN)
    [kept] = events(begun)
    assert kept[-1][0] == "ended"


def test_a_held_book_keeps_no_other_page_waiting(begun: Path) -> None:
    """Before, an answer that waited for the book had every other page wait behind it, up to 5 s."""
    with sender_at(begun) as hand, ThreadPoolExecutor() as beside:
        hand.go("/session/v1")
        fields = hand.form.fields | {"typed": "17.5"}
        other = sqlite3.connect(begun, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        answer = beside.submit(hand.client.post, "/session/v1", data=fields)
        for address in ("/", "/session/v1", "/precision") * 2:
            begins = monotonic()
            assert hand.client.get(address).status_code == 200
            assert monotonic() - begins < 1.5
            assert not answer.done()
        other.execute("ROLLBACK")
        other.close()
        response = answer.result(timeout=5)
        assert response.status_code == 200
        assert "retry-after" not in response.headers
    [kept] = events(begun)
    assert kept[-1] == ("answer", {"key": "1.chest_mm", "value": kept[-1][1]["value"]})


def test_a_book_held_for_longer_is_named_and_tried_again(
    begun: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "HELD_AT_MOST", 0.1)
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        fields = hand.form.fields | {"typed": "17.5"}
        with closing(sqlite3.connect(begun, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            response = hand.client.post("/session/v1", data=fields)
            assert (response.status_code, response.headers["retry-after"]) == (409, "1")
            assert "in use by another session" in response.text
        # a reply that says what is wrong with an answer is not tried again
        response = hand.client.post("/session/v1", data=fields | {"typed": "none of it"})
        assert (response.status_code, "retry-after" in response.headers) == (422, False)
        assert hand.client.post("/session/v1", data=fields).status_code == 200


@pytest.mark.usefixtures("no_numbers")
def test_a_full_disk_is_told_calmly(begun: Path) -> None:
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        _limit(hand, "PRAGMA max_page_count = 1")
        note = "x" * 3000
        for _ in range(20):
            hand.fill(say="note", note=note)
            if hand.status != 200:
                break
        assert hand.status == 409
        assert "the disk is full" in hand.said
        _limit(hand, "PRAGMA max_page_count = 1073741823")
        hand.fill(typed="17.5")
        assert hand.status == 200
        hand.walk(MAN)
    [kept] = events(begun)
    assert kept[-1][0] == "ended"


def _limit(hand: Sender, pragma: str) -> None:
    """Ask something of the book's own connection, in the thread that it lives in."""
    session = type(hand.desk).session

    def limited(desk: Any, key: str) -> Any:
        desk.book._connection.execute(pragma).fetchall()
        return session(desk, key)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(hand.desk), "session", limited)
        hand.go(hand.address)

"""Two at one session: both follow, the second of two answers is refused calmly, nothing comes twice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from browser_attacks import Sender, Site, events, site_at
from foldspan.measuring.conducted import ConductedSession
from foldspan.measuring.repeats_kept import RepeatsAtHand
from foldspan.records.book import Book
from foldspan.records.visits import kept_visit
from measure_driver import MAN

HERE = "/session/v1"
pytestmark = pytest.mark.usefixtures("no_numbers")


@pytest.fixture
def site(begun: Path) -> Iterator[Site]:
    with site_at(begun) as opened:
        yield opened


def _at(site: Site, client: Any) -> Sender:
    hand = Sender(site.desk, client)
    hand.go(HERE)
    assert (hand.status, hand.state.prompt.key) == (200, "1.chest_mm"), hand.said
    return hand


@contextmanager
def _terminal(book: Path) -> Iterator[ConductedSession]:
    """The same session, taken up at a terminal."""
    with Book.opened(str(book)) as opened:
        [(row, code)] = opened.all_visits()
        yield ConductedSession.taken_up(opened, kept_visit(opened, row, code))


def test_both_follow(site: Site, begun: Path) -> None:
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    for first, second in ((own, tablet), (tablet, own)):
        turn = re.search('data-turn="([^"]*)"', second.page)
        assert turn is not None
        assert second.client.get(f"{HERE}/turn").text == turn[1]
        first.answer(MAN)
        assert second.client.get(f"{HERE}/turn").text != turn[1]
        second.go(HERE)
        assert second.form.fields == first.form.fields
    assert [body["key"] for kind, body in events(begun)[0][-2:]] == ["1.chest_mm", "1.abdominal_mm"]


def test_the_second_of_two_answers_is_refused_calmly(site: Site, begun: Path) -> None:
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    own.fill(typed="12.5")
    before = events(begun)
    tablet.fill(typed="13.7")
    assert tablet.status == 409
    assert "already been answered" in tablet.said
    assert "You sent: 13.7" in tablet.said
    # the number of one site must not wait in the field of the next
    assert tablet.state.prompt.key == "1.abdominal_mm"
    assert tablet.form.fields["typed"] == ""
    assert events(begun) == before
    tablet.fill(typed="22.5")
    assert tablet.status == 200
    assert len(events(begun)[0]) == len(before[0]) + 1


def test_the_same_answer_from_both_counts_once(site: Site, begun: Path) -> None:
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    own.fill(typed="12.5")
    tablet.fill(typed="12.5")
    assert tablet.status == 200
    assert tablet.form.fields == own.form.fields
    assert [body.get("key") for _, body in events(begun)[0]].count("1.chest_mm") == 1


def test_what_was_typed_stays_where_the_same_is_asked(site: Site, begun: Path) -> None:
    """A note of the other device moves nothing but the count."""
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    own.fill(say="note", note="a new towel")
    tablet.fill(typed="13.7")
    assert tablet.status == 409
    assert tablet.form.fields["typed"] == "13.7"
    tablet.fill()
    assert tablet.status == 200
    assert events(begun)[0][-1][1]["value"]["typed"] == "13.7"


def test_an_old_page_tells_nothing_of_the_first_round_in_the_second(
    site: Site, begun: Path
) -> None:
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    own.walk(MAN, until="2.chest_mm")
    assert own.state.prompt.key == "2.chest_mm"
    old = tablet.page
    for typed in ("13.7", str(MAN["chest_mm"])):
        tablet.page = old
        tablet.fill(typed=typed)
        assert typed not in tablet.said
        assert f'"{typed}' not in tablet.page


def test_the_back_button_shows_and_sends_an_old_page(site: Site, begun: Path) -> None:
    own = _at(site, site.come_in())
    old = own.page
    own.fill(typed="12.5")
    own.fill(typed="22.5")
    before = events(begun)
    now = own.page
    own.page = old
    own.fill(typed="12.5")  # the same as then: it leads to where the session is
    assert (own.status, own.state.prompt.key) == (200, "1.thigh_mm")
    assert own.page == now
    own.page = old
    own.fill(typed="12.7")
    assert (own.status, "You sent: 12.7" in own.said) == (409, True)
    own.page = old
    own.send(HERE, turn=own.form.fields["turn"], line="undo")
    assert own.status == 409
    assert events(begun) == before


def test_a_terminal_writes_into_the_same_visit(site: Site, begun: Path) -> None:
    own = _at(site, site.come_in())
    with _terminal(begun) as session:
        assert not session.enter("12.5").problems
        own.fill(typed="13.7")
        assert (own.status, "You sent: 13.7" in own.said) == (409, True)
        assert own.state.prompt.key == "1.abdominal_mm"
        own.fill(typed="22.5")
        assert own.status == 200
        # and the terminal is told in its turn
        [problem] = session.enter("23.5").problems
        assert problem.code == "E705"
    typed = [body["value"]["typed"] for _, body in events(begun)[0][-2:]]
    assert typed == ["12.5", "22.5"]


def test_a_terminal_ends_the_session(site: Site, begun: Path) -> None:
    own = _at(site, site.come_in())
    with _terminal(begun) as session:
        while session.state.prompt.kind != "done":
            key = session.state.prompt.key
            outcome = session.enter(str(MAN.get(session.state.prompt.quantity, "")))
            assert not outcome.problems, (key, outcome.problems)
        session.end()
    before = events(begun)
    own.fill(typed="13.7")
    assert (own.status, "already been ended" in own.said) == (409, True)
    assert f'href="{HERE}/result"' in own.page
    assert events(begun) == before


@pytest.mark.parametrize("how", ["withdrawn", "erased"])
def test_what_another_takes_out_does_not_come_back(site: Site, begun: Path, how: str) -> None:
    own = _at(site, site.come_in())
    with _terminal(begun) as session:
        if how == "withdrawn":
            assert not session.enter("withdraw store", asked_back="withdraw store").problems
        else:
            session.keeper.book.erase("K-041")
    for _ in range(2):
        own.fill(typed="13.7") if own.status == 200 else own.again()
        assert (own.status, "no longer exists" in own.said) == (404, True)
    own.go("/")
    assert (own.status, "None yet" in own.said) == (200, True)
    assert events(begun) == []


def test_a_client_is_erased_while_repeats_are_read(
    begun: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between looking for the visits of the book and reading them."""
    read = RepeatsAtHand.read_some

    def erased_first(at_hand: RepeatsAtHand, book: Book, most: int) -> bool:
        with Book.opened(str(begun)) as other:
            other.erase("K-041")
        return read(at_hand, book, most)

    monkeypatch.setattr(RepeatsAtHand, "read_some", erased_first)
    with Book.opened(str(begun)) as book:
        assert RepeatsAtHand().of(book) == ()


def test_an_erased_client_frees_a_device_that_is_turned_round(site: Site, begun: Path) -> None:
    """The page cannot be shown any more: the device must not be stuck with it."""
    own, tablet = _at(site, site.come_in()), _at(site, site.paired())
    own.walk(MAN)
    tablet.send("/turned", of="v1", language="de")
    assert (tablet.status, tablet.address) == (200, "/turned")
    own.send("/visit/1/erase", code="K-041")
    assert "Deleted" in own.said
    tablet.go("/clients")
    assert tablet.address == "/turned"
    assert "K-041" not in tablet.page
    assert 'action="/turned/back"' in tablet.page
    tablet.send("/turned/back", hold="yes")
    tablet.go("/")
    assert (tablet.status, tablet.address) == (200, "/")

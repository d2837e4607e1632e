"""Desk: what all pages share: the book, the sessions at work, the settings, who was let in.

Everything that touches the book runs in one thread (``app.in_turn``): one writer, one answer at a time.
"""

from __future__ import annotations

import base64
import pickle
import secrets
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from foldspan.browser.access.devices import Devices
from foldspan.browser.access.pairing import Pairing
from foldspan.browser.access.tries import Tries
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.practice.model import Practice

MOST_OUTCOMES = 20
# how long a page stands still where another session holds the book [ms]: every other page waits with it;
# what is longer is waited for before a page has its turn
PATIENCE = 200
# visits that are read ahead in one go: a page that is asked for meanwhile waits no longer than that
READ_AT_ONCE = 2
# sessions beyond so many are forgotten, those first that were not used for longest: what is kept of them
# is in the book, but those that nothing keeps are gone then
MOST_UNKEPT, MOST_KEPT = 50, 50


@dataclass(repr=False)
class Desk:
    """What all pages share.

    Attributes
    ----------
    book_file : str
        The file of the record book.
    settings : mapping
        Settings of every answer: reference method, local correction, as printed. A session goes by
        those it began with.
    devices, pairing
        Who was let in, and the way in.
    address : str
        Where this is served, for the page where a device is paired.
    """

    book_file: str
    settings: Mapping[str, Any] = field(default_factory=dict)
    devices: Devices = field(default_factory=Devices)
    pairing: Pairing = field(default_factory=Pairing)
    address: str = ""
    is_on_network: bool = False
    pin: str = ""
    pin_tries: Tries = field(default_factory=Tries)
    start_key: str = ""
    fingerprint: str = ""
    # what was asked for when it was started, kept with each session: reference method, as printed
    asked_for: Mapping[str, Any] = field(default_factory=dict)
    # number of a session → the moment it was at, and what was said then
    said: dict[int, tuple[str, tuple[str, ...]]] = field(default_factory=dict)
    # number of a session → what was sent last, and where that led: sent again, it leads there again
    sent: dict[int, tuple[Mapping[str, Sequence[str]], str]] = field(default_factory=dict)
    # device's digest → session that is turned round on it, and the client's language
    turned: dict[str, tuple[str, str]] = field(default_factory=dict)
    practice: Practice | None = None
    _outcomes: OrderedDict[Any, Any] = field(default_factory=OrderedDict)
    _opened: ExitStack = field(default_factory=ExitStack)
    _book: Any = None
    _is_closed: bool = False
    _sessions: OrderedDict[str, Any] = field(default_factory=OrderedDict)

    @property
    def book(self) -> Any:
        """The record book, opened when it is first asked for."""
        if self._book is None:
            from foldspan.records.book import Book

            self._book = self._opened.enter_context(Book.opened(self.book_file, patience=PATIENCE))
        return self._book

    def is_held(self) -> bool:
        """Return whether another session writes in the book now."""
        return bool(self.book.is_held())

    def repeats(self) -> Any:
        """Return every site of the book that was read twice or more; visits are read once each."""
        return self._at_hand.of(self.book)

    def read_ahead(self) -> bool:
        """Read some visits of the book before they are asked for; return whether there are more."""
        return not self._is_closed and bool(self._at_hand.read_some(self.book, READ_AT_ONCE))

    @cached_property
    def _at_hand(self) -> Any:
        from foldspan.measuring.repeats_kept import RepeatsAtHand

        return RepeatsAtHand()

    @cached_property
    def tables(self) -> Any:
        """The tables that lie here now."""
        from foldspan.browser.jobs.held import Tables

        return Tables()

    def packed(self) -> str:
        """Return the settings of every answer and the practice, for a process of our own."""
        return base64.b64encode(pickle.dumps((dict(self.settings), self.practice))).decode()

    def qr(self) -> str:
        """Return the address as a picture to scan, "" where no other device can come in."""
        if not self.is_on_network:
            return ""
        import segno

        return str(segno.make(self.address, error="m").svg_data_uri(scale=4, border=2))

    def close(self) -> None:
        """Close the book."""
        self._is_closed = True
        if "tables" in vars(self):
            self.tables.close()
        self._opened.close()
        self._book = None

    def begin(self, facts: Mapping[str, Any]) -> str:
        """Begin a session; return the key by which its pages are asked for."""
        from foldspan.measuring.conducted import ConductedSession

        self.book.must_be_writable()  # said before a client is asked anything
        key = f"n{secrets.token_hex(6)}"
        self._remember(key, ConductedSession.begun(self.book, facts, self.settings_of(facts)))
        return key

    def _remember(self, key: str, session: Any) -> None:
        self._sessions[key] = session
        self._sessions.move_to_end(key)
        for is_kept, most in ((False, MOST_UNKEPT), (True, MOST_KEPT)):
            keys = [
                name
                for name, other in self._sessions.items()
                if bool(other.keeper.visit) is is_kept
            ]
            for name in keys[:-most]:
                gone = self._sessions.pop(name)
                self.said.pop(gone.number, None)
                self.sent.pop(gone.number, None)

    def session(self, key: str) -> Any:
        """Return the session of a key; one of the book is taken up again where it was left.

        Raises
        ------
        FoldspanError
            E706 where there is no such session.
        """
        from foldspan.measuring.conducted import ConductedSession

        session = self._sessions.get(key)
        if session is not None and not self._is_behind(session):
            self._sessions.move_to_end(key)
            return session
        row = session.keeper.visit if session is not None else _row(key)
        owners = dict(self.book.all_visits())
        if row not in owners:
            self._sessions.pop(key, None)
            what = "this session no longer exists"
            remedy = "Saved sessions are listed under Today; you can also start a new one there."
            raise FoldspanError([Problem("E706", "Session", what, remedy)])
        from foldspan.records.visits import kept_visit

        kept = kept_visit(self.book, row, owners[row])
        settings = self.settings_of(kept.facts)
        self._remember(key, ConductedSession.taken_up(self.book, kept, settings))
        return self._sessions[key]

    def settings_of(self, facts: Mapping[str, Any]) -> Mapping[str, Any]:
        """Return the settings of a session: what was asked for when it began, until something else is.

        Raises
        ------
        FoldspanError
            E501 or E601 where they do not go with the site's own correction.
        """
        from foldspan.measuring.settings import session_settings

        return session_settings({**facts, **self.asked_for}, self.settings.get("local"))

    @property
    def language(self) -> str:
        """The language of the client's page where none is chosen: that of the practice, else English."""
        return (self.practice.language if self.practice else "") or "en"

    def outcome(self, key: str) -> Any:
        """Return what a session has come to; worked out once for each state of it.

        Raises
        ------
        FoldspanError
            E706 where there is no such session, E120 where nothing was measured.
        """
        from foldspan.measuring.outcome import outcome_of_row, outcome_of_session

        session = self._sessions.get(key)
        # one whose consent to keep it was taken back stays at its address, but not in the book
        row = _row(key) if session is None else session.keeper.visit
        place: tuple[Any, ...]
        if row:
            place = (row, self.book.last_place(row), self.book.changes)
        else:
            session = self.session(key)
            place = (f"n{session.number}", len(session.events), self.book.changes)
        if place not in self._outcomes:
            made = (
                outcome_of_row(self.book, row, self.settings_of, self.practice, self.repeats())
                if row
                else outcome_of_session(self.session(key), self.practice, self.repeats())
            )
            self._outcomes[place] = made
            while len(self._outcomes) > MOST_OUTCOMES:
                self._outcomes.popitem(last=False)
        return self._outcomes[place]

    def kept(self, key: str) -> Any:
        """Return the visit of the book that a key names.

        Raises
        ------
        FoldspanError
            E706 where there is none.
        """
        from foldspan.records.visits import kept_visit

        row, owners = _row(key), dict(self.book.all_visits())
        if row not in owners:
            remedy = "It may have been deleted. Clients are listed under Today."
            raise FoldspanError([Problem("E706", "Visit", "is not in the book", remedy)])
        return kept_visit(self.book, row, owners[row])

    def key_of(self, session: Any, key: str) -> str:
        """Return the key of a session as it is now: one that is kept goes by its row in the book."""
        if not session.keeper.visit:
            return key
        kept = f"v{session.keeper.visit}"
        self._remember(kept, session)
        return kept

    def _is_behind(self, session: Any) -> bool:
        """Whether somebody else wrote into the same visit, at a terminal perhaps."""
        if not session.keeper.visit:
            return False
        return bool(self.book.last_place(session.keeper.visit) != session.keeper.place)


def _row(key: str) -> int:
    number = key.removeprefix("v")
    return int(number) if number.isdecimal() and len(number) < 16 else 0

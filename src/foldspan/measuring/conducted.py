"""Conducted: a measuring session with its record; an answer is on the disk before the next is asked."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import count
from typing import Any, Self

from foldspan.measuring.next_site import next_chosen
from foldspan.problems import FoldspanError, Problem
from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.records.visits import KeptVisit, kept_visit, last_visit
from foldspan.session.answers import Prompt, read_sites
from foldspan.session.events import (
    Answered,
    Begun,
    Body,
    Ended,
    NextChosen,
    Noted,
    SessionEvent,
)
from foldspan.session.parse_input import parse_line
from foldspan.session.parsed import ParsedLine
from foldspan.session.state import State
from foldspan.text.questions import known_sentence

WAITS = "{code} has an unfinished session from {day}."


@dataclass(frozen=True, slots=True, repr=False)
class Heard:
    """What came of a line that was typed."""

    parsed: ParsedLine
    """What was made of it."""
    prompt: Prompt
    """What had been asked."""
    before: State
    """The session before it."""
    after: State
    """The session after it."""
    problems: tuple[Problem, ...] = ()
    """Why it does not stand, in the order in which to say it."""
    remarks: tuple[str, ...] = ()
    """What the record says of the client whose code was typed."""
    chosen: NextChosen | None = None
    """What an adaptive plan chose after it."""

    @property
    def has_moved(self) -> bool:
        """Whether something else is asked now."""
        moves = self.parsed.moves
        return not self.problems and moves is not None and not isinstance(moves, Noted)


@dataclass(repr=False)
class ConductedSession:
    """One session at work: its state, and the keeper of its events.

    Attributes
    ----------
    state : State
        What was answered so far.
    keeper : Keeper
        Where its events are kept, once the client has agreed.
    events : list of tuple
        Every event so far, kind and body, also those that nothing keeps yet.
    number : int
        Tells it from every other session of this process.
    settings : mapping
        Settings of every answer, which an adaptive plan chooses by.
    """

    state: State
    keeper: Keeper
    events: list[tuple[str, Body]] = field(default_factory=list)
    settings: Mapping[str, Any] = field(default_factory=dict)
    number: int = field(default_factory=count(1).__next__)

    @classmethod
    def begun(
        cls, book: Book, facts: Mapping[str, Any], settings: Mapping[str, Any] | None = None
    ) -> Self:
        """Begin a session; nothing is kept before the client has agreed."""
        session = cls(State(), Keeper(book), settings=settings or {})
        session.keep(Begun(dict(facts)))
        return session

    @classmethod
    def taken_up(
        cls, book: Book, kept: KeptVisit, settings: Mapping[str, Any] | None = None
    ) -> Self:
        """Take a session up again where it was broken off."""
        assert kept.state is not None
        events = [(event.kind, dict(event.body)) for event in kept.events]
        session = cls(kept.state, Keeper(book, kept.row, len(events)), events, settings or {})
        session.look_back()
        session.choose_next()  # where it was broken off between an answer and the choice
        return session

    @property
    def code(self) -> str:
        """The client's code, "" as long as it is not told."""
        return str(self.state.known.get("code") or "")

    @property
    def has_readings(self) -> bool:
        """Whether anything was measured."""
        return bool(read_sites(self.state.known))

    def hear(self, line: str, *, asked_back: str = "", meant: str = "") -> Heard:
        """Take a line that was typed: keep the event that it means, or say why it means none.

        ``asked_back`` and ``meant`` as in ``parse_line``. Nothing is changed where it could not be kept.
        """
        before = self.state
        parsed = parse_line(before, line, asked_back=asked_back, meant=meant)
        problems = [problem for problem in (parsed.first, parsed.problem) if problem is not None]
        remarks: list[str] = []
        chosen = None
        if parsed.moves is not None:
            try:
                self.keep(parsed.moves)
            except FoldspanError as error:
                problems += error.problems
            else:
                remarks = self._remarks(before, parsed.moves)
                chosen = self.choose_next()
        return Heard(
            parsed, before.prompt, before, self.state, tuple(problems), tuple(remarks), chosen
        )

    def choose_next(self) -> NextChosen | None:
        """Let an adaptive plan choose what comes next, where it is its turn; keep and return it."""
        chosen = next_chosen(self.state, self.settings)
        if chosen is not None:
            # what cannot be kept now is chosen again after the next answer, which says why
            with contextlib.suppress(FoldspanError):
                self.keep(chosen)
                return chosen
        return None

    def keep(self, event: SessionEvent) -> None:
        """Keep an event on the disk, then go on from it.

        Raises
        ------
        FoldspanError
            Where it could not be written; the session stays as it was. Where it was taken out of the
            book, and a copy may still stand on the disk, the session goes on all the same.
        """
        after, was_kept = self.state.after_event(event), bool(self.keeper.visit)
        try:
            self.keeper.keep(event.kind, event.body(), after)
        except FoldspanError:
            if was_kept and not self.keeper.visit:
                self._go_on(event, after)
            raise
        self._go_on(event, after, begins=not was_kept)

    def _go_on(self, event: SessionEvent, after: State, *, begins: bool = False) -> None:
        self.state = after
        if self.keeper.visit and begins:
            self.events = [*after.events()]  # as the book has them: nothing that was taken back
        else:
            self.events.append((event.kind, event.body()))

    def end(self) -> None:
        """End the session; one in which nothing was measured leaves nothing behind."""
        if not self.has_readings:
            self.keeper.drop()
        elif not self.state.has_ended:
            self.keep(Ended())

    def look_back(self) -> None:
        """Have the client's last visit at hand, to ask back what moved too far."""
        last = last_visit(self.keeper.book, self.code, date.today(), without=self.keeper.visit)
        self.state = replace(self.state, last=last)

    def _remarks(self, before: State, event: SessionEvent) -> list[str]:
        """What the record says of a code that was just typed or mended."""
        if before.known.get("code") == self.state.known.get("code"):
            return []
        self.look_back()
        if not self.code:
            return []
        book = self.keeper.book
        remarks = [
            WAITS.format(code=self.code, day=begun[:10])
            for number, owner, begun in book.unfinished()
            if owner == self.code and number != self.keeper.visit
        ]
        if isinstance(event, Answered):
            codes = [known for known, *_ in book.clients()]
            remarks.append(known_sentence(self.code, self.state.last, codes))
        return remarks


def unfinished_sessions(book: Book) -> list[KeptVisit]:
    """Return the sessions that were broken off, the last one first."""
    return [kept_visit(book, row, code) for row, code, _ in reversed(book.unfinished())]

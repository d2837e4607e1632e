"""Conducted: a measuring session with its record; an answer is on the disk before the next is asked."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from itertools import count
from typing import Any, Self

from foldspan.problems import FoldspanError, Problem
from foldspan.protocol.repeat_rules import USUAL
from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.records.visits import KeptVisit, kept_visit, last_visit
from foldspan.session.answer_words import in_english
from foldspan.session.answers import Prompt, read_sites
from foldspan.session.events import (
    Amended,
    Answer,
    Answered,
    Begun,
    Body,
    Ended,
    NextChosen,
    Noted,
    PageAnswered,
    SessionEvent,
)
from foldspan.session.parse_input import parse_line
from foldspan.session.parsed import ParsedLine
from foldspan.session.state import State
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.client_answers import answer_words
from foldspan.text.questions import known_sentence


@dataclass(frozen=True, slots=True, repr=False)
class LineOutcome:
    """What came of a line that was typed."""

    line: str
    """The line in the words that a session reads."""
    parsed: ParsedLine
    """What was made of it."""
    prompt: Prompt
    """What had been asked."""
    before: State
    """The session before it."""
    after: State
    """The session after it, before an adaptive plan chose what comes next."""
    now: State
    """The session by now."""
    faults: tuple[Problem, ...] = ()
    """Why what would stand was not kept, or not wholly taken out of the book."""
    waiting: tuple[str, ...] = ()
    """Days of other sessions, not finished, of the client whose code was typed."""
    known: str = ""
    """What the book knows of the code that was typed."""
    chosen: NextChosen | None = None
    """What an adaptive plan chose after it."""

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Why it does not stand, in the order in which to say it."""
        said = (self.parsed.first, self.parsed.problem)
        return (*(problem for problem in said if problem is not None), *self.faults)

    @property
    def asked_back(self) -> str:
        """The line that stands when it is given again, "" where none does."""
        return " ".join(self.line.split()) if self.parsed.asks_back else ""

    @property
    def answers(self) -> Mapping[str, Answer]:
        """Key → answer, of every prompt that it answers or mends; none where it does something else."""
        moves = self.parsed.moves
        if isinstance(moves, PageAnswered):
            return moves.values
        return {moves.key: moves.value} if isinstance(moves, Answered | Amended) else {}

    @property
    def has_moved(self) -> bool:
        """Whether the session went on: to something else that is asked, or out of the book."""
        if self.problems:
            return self.after is not self.before
        return self.parsed.moves is not None and not isinstance(self.parsed.moves, Noted)


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
        cls, book: Book, kept: KeptVisit, settings: Mapping[str, Any] | None = None,
        *, chooses: bool = True,
    ) -> Self:  # fmt: skip
        """Take a session up again where it was broken off.

        It may have been broken off between an answer and the choice of what comes next: that is made
        now, or by ``choose_next`` later.
        """
        assert kept.state is not None
        events = [(event.kind, dict(event.body)) for event in kept.events]
        session = cls(kept.state, Keeper(book, kept.row, len(events)), events, settings or {})
        session.look_back()
        if chooses:
            session.choose_next()
        return session

    @property
    def code(self) -> str:
        """The client's code, "" as long as it is not told."""
        return str(self.state.known.get("code") or "")

    @property
    def has_readings(self) -> bool:
        """Whether anything was measured."""
        return bool(read_sites(self.state.known))

    def enter(
        self, line: str, *, asked_back: str = "", meant: str = "", language: Language = ENGLISH
    ) -> LineOutcome:
        """Take a line that was typed: keep the event that it means, or say why it means none.

        ``asked_back`` and ``meant`` as in ``parse_line``; words of the client's ``language`` are
        understood too. Nothing is changed where it could not be kept.
        """
        before = self.state
        read = as_read(before.prompt, line, language)
        if isinstance(read, ParsedLine):
            return LineOutcome(line, read, before.prompt, before, before, before)
        parsed = parse_line(before, read, asked_back=asked_back, meant=meant)
        faults: tuple[Problem, ...] = ()
        if parsed.moves is not None:
            try:
                self.keep(parsed.moves)
            except FoldspanError as error:
                faults = error.problems
        outcome = LineOutcome(read, parsed, before.prompt, before, self.state, self.state, faults)
        if parsed.moves is None or faults:
            return outcome
        if before.known.get("code") != self.state.known.get("code"):
            outcome = self._with_code(outcome)
        chosen = self.choose_next()
        return replace(outcome, chosen=chosen, now=self.state)

    def choose_next(self) -> NextChosen | None:
        """Let an adaptive plan choose what comes next, where it is its turn; keep and return it."""
        if not self.state.wants_next:
            return None
        from foldspan.measuring.next_site import next_chosen

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

    @property
    def waiting(self) -> tuple[str, ...]:
        """Days of the client's other sessions that are not finished."""
        return tuple(
            begun[:10]
            for number, owner, begun in self.keeper.book.unfinished()
            if self.code and owner == self.code and number != self.keeper.visit
        )

    def _with_code(self, outcome: LineOutcome) -> LineOutcome:
        """What the record holds of a code that was just typed or mended."""
        self.look_back()
        known = ""
        if self.code and isinstance(outcome.parsed.moves, Answered):
            codes = [code for code, *_ in self.keeper.book.clients()]
            known = known_sentence(self.code, self.state.last, codes)
        return replace(outcome, after=self.state, waiting=self.waiting, known=known)


def as_read(prompt: Prompt, line: str, language: Language) -> str | ParsedLine:
    """Return a line in the words that a session reads, or why it is asked back."""
    if language.code == ENGLISH.code:
        return line
    return in_english(prompt, line, answer_words(language.code))


def facts_of_now(
    *,
    tester: str = "",
    calliper: str = "",
    step_mm: float = 0.0,
    rule: str = "growing",
    units: str = "metric",
    blind: bool = True,
    asked_for: Mapping[str, Any],
) -> dict[str, Any]:
    """Return the facts that a session begins with: who measures with what and how, and when.

    Parameters
    ----------
    tester, calliper : str
        Codes, "" where none is named.
    step_mm : float
        One division on the calliper [mm], 0 where it is not known.
    rule, units : str
        Keys of the rule for third readings and of the units.
    blind : bool
        Whether earlier readings of a site are hidden.
    asked_for : mapping
        Settings of every answer that were asked for: they hold when it is taken up again.
    """
    now = datetime.now()
    return {
        "tester": tester, "calliper": calliper, "scale_step_mm": step_mm, **USUAL,
        "repeat_rule": rule, "units": units, "blind": blind, "day": now.date().isoformat(),
        "time": now.strftime("%H:%M"), **{name: value for name, value in asked_for.items() if value},
    }  # fmt: skip


def unfinished_sessions(book: Book, code: str = "") -> list[KeptVisit]:
    """Return the sessions that were broken off, of one client if one is named, the last one first."""
    return [
        kept_visit(book, row, owner)
        for row, owner, _ in reversed(book.unfinished())
        if code in ("", owner)
    ]

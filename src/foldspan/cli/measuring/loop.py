"""The loop of a measuring session at a terminal: print what is asked and said, read a line, go on."""

from __future__ import annotations

import contextlib
import shlex
import sys
from collections.abc import Iterable, Mapping
from datetime import date

from foldspan.cli.lines import wrap
from foldspan.cli.measuring.client_side import ClientSide
from foldspan.cli.measuring.screen import Screen
from foldspan.cli.printed.measure import (
    help_lines,
    numbered_lines,
    plan_lines,
    planned_lines,
    reasons_lines,
    where_lines,
)
from foldspan.cli.words import EXIT_INTERRUPTED
from foldspan.measuring.conducted import ConductedSession, LineOutcome
from foldspan.measuring.said import (
    WAITS,
    headings_of,
    rest_of,
    said_changes,
    said_next,
    technique_of,
)
from foldspan.practice.model import Practice
from foldspan.quantities import BY_NAME
from foldspan.records.location import book_path
from foldspan.session.answers import Prompt, is_blind
from foldspan.session.events import Answered, NextChosen
from foldspan.session.parse_numbers import unit_at
from foldspan.session.sites import guide_of, planned
from foldspan.session.state import State, progress
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.measure import ROUNDS, guide_lines, list_words, question, reason_sentence
from foldspan.text.questions import ASKED, without_a_pen

WELCOME = (
    "Type each answer and press Enter. Type help to see what else you can type, or undo to"
    " undo the last answer."
)
TO_CONTINUE = (
    " To continue that one, type end here, then run: foldspan measure --resume --client {code}"
)
HIDES = (
    "Each reading stays on screen until the next entry, so that you can read it back; then"
    " it is hidden."
)
CANNOT_HIDE = "This screen cannot hide earlier readings: turn it away for the second round."
STOPPED = "Stopped. Every entry is saved. To continue later: foldspan measure --resume"
NOT_KEPT = "Stopped. Nothing was saved: the client said no, or had not been asked yet."
NOT_SAVED = "That answer was not saved. Correct this, then type the answer again."
OTHER_DAY = (
    "Readings from different days do not make one visit. Add only what was measured that day, or"
    " start a new session with foldspan measure."
)
CLOCK_IS_BACK = (
    "This computer's clock is earlier than the start of that session: check its date. The session"
    " keeps its own date."
)


class _EndedEarly(Exception):
    """The session is to end with what was measured so far."""


class MeasuringSession:
    """One session at the keyboard."""

    def __init__(
        self,
        session: ConductedSession,
        screen: Screen,
        *,
        as_json: bool = False,
        language: str = "",
        practice: Practice | None = None,
    ) -> None:
        usual = practice.language if practice else ""
        self._client, self._practice = ClientSide(LANGUAGES[language or usual or "en"]), practice
        self._as_json = as_json
        self.session = session
        self.screen = screen
        self._introduced: set[str] = set()

    def run(self, *, is_resumed: bool) -> None:
        """Ask until everything is asked, then show the results; exit 130 if it is broken off."""
        session = self.session
        try:
            self._open(is_resumed=is_resumed)
            # where it was broken off between an answer and the choice
            self._say_next(session.choose_next(), session.state)
            with contextlib.suppress(_EndedEarly):
                while session.state.prompt.kind != "done":
                    self._ask(session.state.prompt)
            self.screen.unveil()
            session.end()
        except (KeyboardInterrupt, EOFError):
            self._stop()
        from foldspan.cli.measuring.results import show

        show(
            session.state, session.keeper, self.screen, session.settings,
            as_json=self._as_json, book=self.book_option, language=self._client.language,
            practice=self._practice,
        )  # fmt: skip

    @property
    def book_option(self) -> str:
        """What names the book on the command line, "" for the user's own."""
        path = self.session.keeper.book.path
        return "" if path == book_path("") else f" --book {shlex.quote(path)}"

    def _stop(self) -> None:
        self.screen.unveil()
        self.screen.space()
        is_kept = self.session.keeper.visit
        self.screen.say(f"{STOPPED}{self.book_option}" if is_kept else NOT_KEPT)
        sys.exit(EXIT_INTERRUPTED)

    def _open(self, *, is_resumed: bool) -> None:
        session = self.session
        self.screen.say(WELCOME)
        if welcome := self._client.welcome():
            self.screen.say(welcome)
        if not is_resumed:
            return
        self._say_waiting(session.waiting)
        begun, today = str(session.state.facts.get("day", "")), date.today().isoformat()
        code = session.code or "a client with no code yet"
        self.screen.say(
            f"Continuing with {code}, started on {begun}. For another client, start with"
            " --client CODE."
        )
        if begun < today:
            self.screen.say(OTHER_DAY)
        elif begun > today:
            self.screen.say(CLOCK_IS_BACK)
        self.screen.tell(where_lines(session.state, hides=self._hides))

    @property
    def _hides(self) -> bool:
        known = self.session.state.known
        return bool(known.get("blind", known.facts.get("blind", True)))

    def _ask(self, prompt: Prompt) -> None:
        """Ask one thing until the session goes on."""
        self._introduce(prompt)
        self.screen.anchor()
        asked_back = meant = ""
        while True:
            line = self.screen.ask(self._question(prompt))
            if line is None:
                raise EOFError
            outcome = self.session.enter(
                line, asked_back=asked_back, meant=meant, language=self._client.language
            )
            asked_back, meant = outcome.asked_back, outcome.parsed.meant
            self._say(outcome)
            if outcome.has_moved:
                return

    def _say(self, outcome: LineOutcome) -> None:
        """Say what came of a line."""
        for problem in outcome.problems:
            self.screen.say(problem.sentence(show_given=problem is outcome.parsed.problem))
        if outcome.problems:
            if outcome.faults and not outcome.has_moved:
                self.screen.say(NOT_SAVED)
        elif outcome.parsed.command == "stop":
            raise EOFError
        elif outcome.parsed.command == "end":
            raise _EndedEarly
        elif outcome.parsed.command:
            self.screen.tell(self._reply_to(outcome.parsed.command, outcome.prompt))
        else:
            self._hide(outcome)
            self._say_waiting(outcome.waiting)
            self.screen.say_all([*filter(None, [outcome.known]), *said_changes(outcome)])
            self._say_planned(outcome)
            self._say_next(outcome.chosen, outcome.now)

    def _hide(self, outcome: LineOutcome) -> None:
        """Hide readings that were typed blind: the last one stays until something else is entered.

        Where the same site comes next, at once: its next reading must not lean on this one.
        """
        if not self.screen.can_wipe:
            return
        event, prompt, state = outcome.parsed.moves, outcome.prompt, outcome.after
        if not isinstance(event, Answered) or not is_blind(state.known, prompt):
            self.screen.unveil()
            return
        reading = event.value if isinstance(event.value, Mapping) else {}
        done, whole = progress(state)
        start = f"{done} of {whole}  {BY_NAME[prompt.quantity].label}: "
        if "cannot" in reading:
            self.screen.hide(f"{start}left out")
        elif state.prompt.quantity == prompt.quantity:
            self.screen.hide(f"{start}noted")
        else:
            self.screen.veil(f"{start}{reading['typed']}", f"{start}noted")

    def _say_waiting(self, days: Iterable[str]) -> None:
        for day in days:
            self.screen.say(f"{WAITS}{TO_CONTINUE}".format(code=self.session.code, day=day))

    def _say_planned(self, outcome: LineOutcome) -> None:
        """Say what will be measured, where an answer named a plan or changed what it leaves."""
        if not outcome.answers:
            return
        known = outcome.after.known
        sites = planned(known)
        if sites and ("plan" in outcome.answers or planned(outcome.before.known) != sites):
            self.screen.tell([*planned_lines(outcome.after), *self._client.planned(known)])

    def _say_next(self, chosen: NextChosen | None, state: State) -> None:
        """Say what an adaptive plan chose."""
        if chosen is not None:
            self.screen.space()
            self.screen.say_all(said_next(chosen, state))

    def _reply_to(self, command: str, prompt: Prompt) -> list[str]:
        known = self.session.state.known
        if command == "where":
            return where_lines(self.session.state, hides=self._hides)
        if command == "how" and prompt.kind == "sites":
            names = [key.removeprefix("mark.") for key in prompt.words]
            guides = [guide_of(known, name) for name in names]
            return [wrap(line) for guide in guides for line in guide_lines(guide)]
        if command == "how" and prompt.quantity:
            return [wrap(line) for line in guide_lines(guide_of(known, prompt.quantity))]
        if command == "reasons":
            return reasons_lines(prompt)
        return [*help_lines(prompt), *self._client.help(prompt)]

    def _question(self, prompt: Prompt) -> str:
        state = self.session.state
        sentence = question(prompt, state.known, unit_at(state, prompt))
        if prompt.kind == "reading":
            done, whole = progress(state)
            return f"{done + 1} of {whole}  {sentence}"
        hint = ""
        if prompt.kind == "yes_no":
            hint = " (y, n or Enter)" if prompt.is_optional else " (y or n)"
        return f"{sentence}{hint}{self._client.hint(prompt)}"

    def _introduce(self, prompt: Prompt) -> None:
        """Say once what has to be known before a prompt."""
        known = self.session.state.known
        for key, text in headings_of(prompt, known).items():
            self._once(key, text)
        if prompt.kind == "plan":
            self.screen.tell(plan_lines(known))
        if prompt.kind == "words" and self._client.is_english:
            self.screen.say(", ".join(list_words(prompt.key)).replace("_", " ") + ".")
        if prompt.key in self._introduced and prompt.kind == "sites":
            left = [BY_NAME[key.removeprefix("mark.")].label for key in prompt.words]
            self.screen.say(without_a_pen(f"Still to mark: {'; '.join(left)}.", known))
        elif prompt.kind in ASKED:
            self._introduced.add(prompt.key)
            self.screen.tell(self._client.before(prompt, known))
            self.screen.tell(numbered_lines(prompt, known, self._client.language))
        if reason := reason_sentence(prompt):
            self.screen.say(reason)
        if prompt.kind not in ("reading", *ASKED):
            self.screen.tell(self._client.before(prompt, known))
        if prompt.key.startswith("mark."):
            self._introduced.add(prompt.quantity)
            self.screen.space()
            self.screen.say_all(guide_lines(guide_of(known, prompt.quantity)))
        if prompt.kind != "reading":
            return
        self._once(f"round {prompt.turn}", ROUNDS[prompt.turn])
        if prompt.turn == 1 and is_blind(known, prompt) and not self.screen.can_wipe:
            self._once("cannot hide", CANNOT_HIDE)
        elif prompt.turn == 1 and is_blind(known, prompt):
            self._once("hides", HIDES)
        is_fold = BY_NAME[prompt.quantity].kind == "skinfold"
        if technique := technique_of(prompt):
            self._once(f"folds {prompt.turn}" if is_fold else "tape", technique)
        if prompt.turn == 1 and prompt.quantity not in self._introduced and not is_fold:
            self.screen.say_all(guide_lines(guide_of(known, prompt.quantity)))
        self.screen.tell(self._client.before(prompt, known))
        if rest := rest_of(prompt):
            self.screen.say(rest)

    def _once(self, key: str, text: str) -> None:
        """Say a thing the first time only."""
        if key not in self._introduced:
            self._introduced.add(key)
            self.screen.space()
            self.screen.say(text)

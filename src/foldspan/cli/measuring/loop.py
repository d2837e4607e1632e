"""The loop of a measuring session: draw a prompt, hear a line, keep the event, go on."""

from __future__ import annotations

import contextlib
import shlex
import sys
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

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
from foldspan.intake.word_search import says_nothing
from foldspan.practice.model import Practice
from foldspan.problems import FoldspanError
from foldspan.protocol.site_guide import FOLD_TECHNIQUE, TAPE_TECHNIQUE
from foldspan.quantities import BY_NAME
from foldspan.records.journal import Keeper
from foldspan.records.location import book_path
from foldspan.records.visits import last_visit
from foldspan.session.answers import Prompt, is_blind, is_unsteady, read_sites
from foldspan.session.events import (
    Amended,
    Answer,
    Answered,
    AskedAgain,
    Ended,
    Noted,
    PageAnswered,
    SessionEvent,
    Undone,
)
from foldspan.session.parse_input import parse_line
from foldspan.session.parse_numbers import unit_at
from foldspan.session.parsed import ParsedLine
from foldspan.session.sites import SITE_CARE, guide_of, planned
from foldspan.session.state import State, progress
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.measure import (
    HEADINGS,
    RESTS,
    ROUNDS,
    SITE_CARE_SENTENCE,
    TAKEN_ANEW,
    UNSTEADY,
    change_sentence,
    guide_lines,
    list_words,
    mark_sentence,
    question,
    reading_reminder,
    reason_sentence,
)
from foldspan.text.next_site import next_lines
from foldspan.text.questions import ASKED, MEDICINES_CHANGE, known_sentence, without_a_pen
from foldspan.visit.client import background_remarks

WELCOME = (
    "Type each answer and press Enter. Type help to see what else you can type, or undo to"
    " undo the last answer."
)
WAITS = (
    "{code} has an unfinished session from {day}. To continue that one, type end here, then"
    " run: foldspan measure --resume --client {code}"
)
HIDES = (
    "Each reading stays on screen until the next entry, so that you can read it back; then"
    " it is hidden."
)
CANNOT_HIDE = "This screen cannot hide earlier readings: turn it away for the second round."
ONE_STOPS = "Stopped. Every entry is saved. To continue later: foldspan measure --resume"
NOT_KEPT = "Stopped. Nothing was saved: the client said no, or had not been asked yet."


class _EndedEarly(Exception):
    """The session is to end with what was measured so far."""


class MeasuringSession:
    """One session at the keyboard."""

    def __init__(
        self,
        state: State,
        keeper: Keeper,
        screen: Screen,
        *,
        as_json: bool = False,
        settings: Mapping[str, Any] | None = None,
        language: str = "",
        practice: Practice | None = None,
    ) -> None:
        self._as_json, self._settings = as_json, settings or {}
        usual = practice.language if practice else ""
        self._client, self._practice = ClientSide(LANGUAGES[language or usual or "en"]), practice
        self.state = state
        self.keeper = keeper
        self.screen = screen
        self._introduced: set[str] = set()

    def run(self, *, is_resumed: bool) -> None:
        """Ask until everything is asked, then show the results; exit 130 if it is broken off."""
        try:
            self._open(is_resumed=is_resumed)
            self._choose_next()  # where it was broken off between an answer and the choice
            with contextlib.suppress(_EndedEarly):
                while self.state.prompt.kind != "done":
                    self._ask(self.state.prompt)
            self._end()
        except (KeyboardInterrupt, EOFError):
            self._stop()
        from foldspan.cli.measuring.results import show

        show(
            self.state, self.keeper, self.screen, self._settings,
            as_json=self._as_json, book=self.book_option, language=self._client.language,
            practice=self._practice,
        )  # fmt: skip

    @property
    def book_option(self) -> str:
        """What names the book on the command line, "" for the user's own."""
        path = self.keeper.book.path
        return "" if path == book_path("") else f" --book {shlex.quote(path)}"

    def _end(self) -> None:
        """End the session; one in which nothing was measured leaves nothing behind."""
        self.screen.unveil()
        if self.keeper.visit and not read_sites(self.state.known):
            self.keeper.drop()
            return
        self._keep(Ended())

    def _stop(self) -> None:
        self.screen.unveil()
        self.screen.space()
        self.screen.say(f"{ONE_STOPS}{self.book_option}" if self.keeper.visit else NOT_KEPT)
        sys.exit(EXIT_INTERRUPTED)

    def _open(self, *, is_resumed: bool) -> None:
        self.screen.say(WELCOME)
        if welcome := self._client.welcome():
            self.screen.say(welcome)
        self._look_back()
        if not is_resumed:
            return
        begun, today = str(self.state.facts.get("day", "")), date.today().isoformat()
        code = self.state.known.get("code") or "a client with no code yet"
        self.screen.say(
            f"Continuing with {code}, started on {begun}. For another client, start with"
            " --client CODE."
        )
        if begun < today:
            self.screen.say(
                "Readings from different days do not make one visit. Add only what was measured"
                " that day, or start a new session with foldspan measure."
            )
        elif begun > today:
            self.screen.say(
                "This computer's clock is earlier than the start of that session: check its"
                " date. The session keeps its own date."
            )
        self.screen.tell(where_lines(self.state, hides=self._hides(self.state.prompt)))

    def _hides(self, prompt: Prompt) -> bool:
        known = self.state.known
        return bool(known.get("blind", known.facts.get("blind", True)))

    def _ask(self, prompt: Prompt) -> None:
        """Ask one thing until an event comes of it."""
        self._introduce(prompt)
        self.screen.anchor()
        asked_back = meant = ""
        while True:
            line = self.screen.ask(self._question(prompt))
            if line is None:
                raise EOFError
            heard = self._client.heard(prompt, line)
            if isinstance(heard, ParsedLine):
                parsed = heard
            else:
                line = heard
                parsed = parse_line(self.state, line, asked_back=asked_back, meant=meant)
            asked_back, meant = "", parsed.meant
            if parsed.first is not None:
                self.screen.say(parsed.first.sentence())
            if parsed.problem is not None:
                self.screen.say(parsed.problem.sentence(show_given=True))
                asked_back = " ".join(line.split()) if parsed.asks_back else ""
            elif parsed.command == "stop":
                raise EOFError
            elif parsed.command == "end":
                raise _EndedEarly
            elif parsed.command:
                self.screen.tell(self._told(parsed.command, prompt))
            elif parsed.moves is not None and self._moved(prompt, parsed.moves):
                return

    def _moved(self, prompt: Prompt, event: SessionEvent) -> bool:
        """Keep an event and say what it changes; whether the session moved on."""
        before = self.state
        try:
            self._keep(event)
        except FoldspanError as error:
            for problem in error.problems:
                self.screen.say(problem.sentence())
            if self.state is not before:
                return True
            self.screen.say("That answer was not saved. Correct this, then type the answer again.")
            return False
        self._hide(prompt, event)
        if before.known.get("code") != self.state.known.get("code"):
            self._look_back(says_known=isinstance(event, Answered))
        self._say_changes(before, event)
        self._choose_next()
        return not isinstance(event, Noted)

    def _choose_next(self) -> None:
        """Let an adaptive plan choose what comes next, where it is its turn; keep and say it."""
        if not self.state.wants_next:
            return
        from foldspan.measuring.next_site import next_chosen

        chosen = next_chosen(self.state, self._settings)
        # what cannot be kept now is chosen again after the next answer, which says why
        with contextlib.suppress(FoldspanError):
            if chosen is not None:
                self._keep(chosen)
                self.screen.space()
                self.screen.say_all(next_lines(chosen, self.state.known))

    def _hide(self, prompt: Prompt, event: SessionEvent) -> None:
        """Hide readings that were typed blind: the last one stays until something else is entered.

        Where the same site comes next, at once: its next reading must not lean on this one.
        """
        if not self.screen.can_wipe:
            return
        if not isinstance(event, Answered) or not is_blind(self.state.known, prompt):
            self.screen.unveil()
            return
        reading = event.value if isinstance(event.value, Mapping) else {}
        done, whole = progress(self.state)
        start = f"{done} of {whole}  {BY_NAME[prompt.quantity].label}: "
        if "cannot" in reading:
            self.screen.hide(f"{start}left out")
        elif self.state.prompt.quantity == prompt.quantity:
            self.screen.hide(f"{start}noted")
        else:
            self.screen.veil(f"{start}{reading['typed']}", f"{start}noted")

    def _keep(self, event: SessionEvent) -> None:
        """Keep an event on the disk, then go on from it."""
        after, was_kept = self.state.after_event(event), bool(self.keeper.visit)
        try:
            self.keeper.keep(event.kind, event.body(), after)
        except FoldspanError:
            if was_kept and not self.keeper.visit:  # taken out, though a copy may stand on the disk
                self.state = after
            raise
        self.state = after

    def _look_back(self, *, says_known: bool = False) -> None:
        """Have the client's last visit at hand; tell where another session of theirs waits."""
        code = str(self.state.known.get("code") or "")
        for number, owner, begun in self.keeper.book.unfinished():
            if code and owner == code and number != self.keeper.visit:
                self.screen.say(WAITS.format(code=code, day=begun[:10]))
        last = last_visit(self.keeper.book, code, date.today(), without=self.keeper.visit)
        self.state = replace(self.state, last=last)
        if code and says_known:
            codes = [known for known, *_ in self.keeper.book.clients()]
            self.screen.say(known_sentence(code, last, codes))

    def _say_changes(self, before: State, event: SessionEvent) -> None:
        if isinstance(event, Undone | AskedAgain):
            self.screen.say("Undone.")
        if not isinstance(event, Answered | Amended | PageAnswered):
            return
        key = event.key
        values = event.values if isinstance(event, PageAnswered) else {key: event.value}
        for answered_key, value in values.items():
            self._say_change(answered_key, value)
        name = key.partition(".")[2]
        if key.startswith("3.") and is_unsteady(self.state.known, name):
            self.screen.say(UNSTEADY.format(site=BY_NAME[name].short_name))
        is_plan = "plan" in values
        if planned(self.state.known) and (
            is_plan or planned(before.known) != planned(self.state.known)
        ):
            self.screen.tell([*planned_lines(self.state), *self._client.planned(self.state.known)])

    def _say_change(self, key: str, value: Answer) -> None:
        """Say what one answer changes."""
        known = self.state.known
        if sentence := change_sentence(key, value, known):
            self.screen.say(sentence)
        if key.startswith("mark.") and isinstance(value, Mapping) and "typed" in value:
            guide = guide_of(known, key.removeprefix("mark."))
            self.screen.say(mark_sentence(guide, str(value["typed"])))
        if key == "family_background" and isinstance(value, str) and not says_nothing(value):
            self.screen.say_all(background_remarks(value))
        if key == "conditions" and known.reported(*SITE_CARE):
            self.screen.say(SITE_CARE_SENTENCE)
        keys = [key] if value is True else value if isinstance(value, list) else []
        for word in keys:
            if word in MEDICINES_CHANGE:
                self.screen.say(MEDICINES_CHANGE[word])

    def _told(self, command: str, prompt: Prompt) -> list[str]:
        if command == "where":
            return where_lines(self.state, hides=self._hides(prompt))
        if command == "how" and prompt.kind == "sites":
            names = [key.removeprefix("mark.") for key in prompt.words]
            guides = [guide_of(self.state.known, name) for name in names]
            return [wrap(line) for guide in guides for line in guide_lines(guide)]
        if command == "how" and prompt.quantity:
            return [wrap(line) for line in guide_lines(guide_of(self.state.known, prompt.quantity))]
        if command == "reasons":
            return reasons_lines(prompt)
        return [*help_lines(prompt), *self._client.help(prompt)]

    def _question(self, prompt: Prompt) -> str:
        asked = question(prompt, self.state.known, unit_at(self.state, prompt))
        if prompt.kind == "reading":
            done, whole = progress(self.state)
            return f"{done + 1} of {whole}  {asked}"
        hint = ""
        if prompt.kind == "yes_no":
            hint = " (y, n or Enter)" if prompt.is_optional else " (y or n)"
        return f"{asked}{hint}{self._client.hint(prompt)}"

    def _introduce(self, prompt: Prompt) -> None:
        """Say once what has to be known before a prompt."""
        known = self.state.known
        for start, text in HEADINGS.items():
            if prompt.key.startswith(start):
                is_site = start in ("page.marks", "mark.")
                self._once(text, without_a_pen(text, known) if is_site else text)
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
        kind = BY_NAME[prompt.quantity].kind
        if kind == "skinfold":
            self._once(
                f"folds {prompt.turn}", FOLD_TECHNIQUE if prompt.turn == 1 else reading_reminder()
            )
        elif kind == "girth":
            self._once("tape", TAPE_TECHNIQUE)
        if prompt.turn == 1 and prompt.quantity not in self._introduced and kind != "skinfold":
            self.screen.say_all(guide_lines(guide_of(known, prompt.quantity)))
        self.screen.tell(self._client.before(prompt, known))
        if prompt.rests:
            self.screen.say(RESTS if kind == "skinfold" else TAKEN_ANEW)

    def _once(self, key: str, text: str) -> None:
        """Say a thing the first time only."""
        if key not in self._introduced:
            self._introduced.add(key)
            self.screen.space()
            self.screen.say(text)

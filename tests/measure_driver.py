"""Drives ``foldspan measure`` as a person does: lines typed at a pseudo-terminal or over a pipe.

What is typed at which prompt is worked out beforehand with the session itself, so that no test depends
on the wording of a question.
"""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import warnings
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pexpect

from foldspan.measuring.next_site import next_chosen
from foldspan.records.book import Book
from foldspan.records.visits import kept_visit
from foldspan.session.pages import LINE_WORDS
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from program_starts import at_terminal, run_to_its_end, surroundings

FACTS: dict[str, Any] = {
    "tester": "", "calliper": "", "scale_step_mm": 0.0, "repeat_rule": "growing",
    "girth_rule": "by_site", "units": "metric", "blind": True,
}  # fmt: skip
# An invented man; a site's value stands for every reading of it that has no line of its own.
MAN: dict[str, str | tuple[str, ...]] = {
    "consent.store": "y", "code": "K-041", "tester": "T-05", "sex": "male", "age_years": "34",
    "pregnant": "n", "birth_months_ago": "", "eating_concern": "n", "plan": "three",
    "consent.touch": "y", "consent.uncover": "y", "consent.mark": "y", "consent.show": "y",
    "consent.share": "y",
    "consent.witness": "n", "prepared.skin": "y", "prepared.rested": "y", "calliper": "ring",
    **{f"go_on.{code}": "y" for code in ("E201", "E202", "E204", "E205", "E206", "urgent")},
    "go_on.eating_concern": "y", "consent.writer": "y", "consent.pinch": "y", "loss_wanted": "y",
    "consent.chest": "y", "operated": "elsewhere", "guardian": "y",
    "weight_kg": "80.4", "height_cm": "179.5", "waist_midpoint_cm": "86.5",
    "neck_cm": "38.5", "abdomen_navel_cm": "87.5", "hip_cm": "98.5", "forearm_girth_cm": "27.5",
    "waist_narrowest_cm": "84.5", "calf_mm": "9.5", "arm_relaxed_girth_cm": "31.5",
    "calf_girth_cm": "37.5",
    "chest_mm": "12.5", "midaxillary_mm": "13.5", "triceps_mm": "11.5", "biceps_mm": "5.5",
    "subscapular_mm": "14.5", "abdominal_mm": "22.5", "suprailiac_anterior_mm": "15.5",
    "suprailiac_midaxillary_mm": "16.5", "thigh_mm": "17.5",
}  # fmt: skip
# Landmark distances share the quantity of their site: they are passed over with Enter.
_MARK = "mark."


def line_at(state: State, answers: Mapping[str, str | tuple[str, ...]]) -> str | tuple[str, ...]:
    """Return what is typed at the prompt: by its key, by its quantity, a page line by line."""
    prompt = state.prompt
    if prompt.key in answers:
        return answers[prompt.key]
    if prompt.kind not in ("those", "permit"):
        return answers.get("" if prompt.key.startswith(_MARK) else prompt.quantity, "")
    lines = {key: answers.get(key, "") for key in prompt.words}
    if prompt.kind == "permit":
        refused = [LINE_WORDS[key] for key, line in lines.items() if line == "n"]
        return ", ".join(f"no {consent}" for consent in refused) or "y"
    named = [LINE_WORDS[key] for key, line in lines.items() if line not in ("", "n", "none")]
    return ", ".join(named) or ("none" if "n" in lines.values() else "")


@dataclass(frozen=True)
class Typed:
    """One line, the key of the prompt it is typed at, and whether an event comes of it."""

    key: str
    line: str
    is_event: bool


def script_of(
    answers: Mapping[str, str | tuple[str, ...]], facts: Mapping[str, Any] | None = None
) -> list[Typed]:
    """Return every line of a session, in order.

    ``answers`` go by the key of a prompt, then by its quantity; several lines at one key are typed one
    after the other, the last one again as often as it is asked.
    """
    state = State().after("begun", FACTS | dict(facts or {}))
    seen: Counter[str] = Counter()
    lines, asked_back = [], ""
    while state.prompt.kind != "done":
        key = state.prompt.key
        given = line_at(state, answers)
        of_key = (given,) if isinstance(given, str) else given
        line = of_key[min(seen[key], len(of_key) - 1)]
        seen[key] += 1
        assert seen[key] < 12, f"{key} is never answered"
        parsed = parse_line(state, line, asked_back=asked_back)
        asked_back = " ".join(line.split()) if parsed.asks_back else ""
        lines.append(Typed(key, line, bool(parsed.event)))
        if parsed.command in ("stop", "end"):
            break
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
        if (chosen := next_chosen(state, {})) is not None:
            state = state.after_event(chosen)
    return lines


def walk_plain(run: Terminal, script: list[Typed]) -> None:
    """Type a script, whatever is asked."""
    run.until_asked()
    run.type_all(script)


def place_of(script: list[Typed], key: str) -> int:
    """Return how many lines are typed before the prompt called ``key`` comes up."""
    return next(place for place, prompt in enumerate(script) if prompt.key == key)


def lines_for(book: Path, answers: Mapping[str, str | tuple[str, ...]]) -> list[str]:
    """Return the lines of a session; a client whom the book knows is asked everything anew."""
    script = script_of(answers)
    lines = [typed.line for typed in script]
    if book.exists():
        lines.insert(place_of(script, "consent.store") + 1, "n")
        lines.insert(place_of(script, "sex"), "n")
    return lines


class Terminal:
    """The program at a pseudo-terminal; ``raw`` is everything that came out of it."""

    def __init__(
        self, book: Path, *options: str, term: str = "xterm", columns: int = 100, rows: int = 300,
        from_nothing: bool = False,
    ) -> None:  # fmt: skip
        with warnings.catch_warnings():  # later Pythons warn of a fork beside idle number threads
            warnings.simplefilter("ignore", DeprecationWarning)
            self.child = at_terminal(
                ["measure", "--book", str(book), *options], folder=book.parent,
                environment=surroundings(book.parent, term), dimensions=(rows, columns),
                from_nothing=from_nothing,
            )  # fmt: skip
        self.child.delaybeforesend = None
        self.child.delayafterclose = self.child.ptyproc.delayafterclose = 0.0
        self.raw = ""
        self.columns, self.rows = columns, rows

    def until_asked(self) -> str:
        """Return what came since the last line; it ends with an open question or the end."""
        new = ""
        while True:
            try:
                # every write but a question ends with the end of a line
                new += self.child.read_nonblocking(1 << 16, 0.01 if new.endswith(": ") else 10)
            except pexpect.TIMEOUT:
                self.raw += new
                assert new.endswith(": "), f"no question came: {new[-300:]!r}"
                return new
            except pexpect.EOF:
                self.raw += new
                return new

    def type(self, line: str) -> str:
        """Type a line and return what came of it, up to the next question or the end."""
        self.child.sendline(line)
        return self.until_asked()

    def type_all(self, script: Iterable[Typed]) -> str:
        """Type the lines of a script and return what came of the last one."""
        shown = ""
        for typed in script:
            shown = self.type(typed.line)
        return shown

    def half(self, text: str) -> None:
        """Type something without Enter, and wait until the terminal has it."""
        self.child.send(text)
        if text:
            self.child.expect_exact(text)

    def kill(self) -> None:
        """End the program as a power cut would."""
        os.kill(self.child.pid, signal.SIGKILL)
        self.child.wait()
        assert self.child.signalstatus == signal.SIGKILL
        self.child.close()

    def hang_up(self) -> None:
        """Close the window: the system sends SIGHUP."""
        self.child.ptyproc.fileobj.close()
        self.child.wait()

    def ended(self) -> int:
        """Return the exit code of the program, which has come to its end."""
        with contextlib.suppress(pexpect.EOF):
            self.raw += self.child.read()
        self.child.wait()
        self.child.close()
        assert self.child.exitstatus is not None, f"ended by signal {self.child.signalstatus}"
        return int(self.child.exitstatus)

    def screen(self) -> str:
        """What stands on the screen, and above it where it scrolled."""
        return "\n".join(shown(self.raw, self.columns, self.rows))


_PIECE = re.compile(r"\x1b\[(\d*)([A-Za-z])|\x1b.|[^\x1b]", re.DOTALL)


def shown(raw: str, columns: int, rows: int) -> list[str]:
    """Return the lines that a plain terminal shows: line ends, wrapping, cursor up, erase below."""
    lines, row, column = [""], 0, 0
    for match in _PIECE.finditer(raw):
        text, order = match.group(0), match.group(2)
        if order == "A":
            row = max(row - int(match.group(1) or 1), len(lines) - rows, 0)
        elif order == "J":
            lines[row:] = [lines[row][:column]]
        elif text == "\r":
            column = 0
        elif text == "\n":
            row += 1
        elif text.startswith("\x1b"):
            raise AssertionError(f"a sequence that plain terminals need not know: {text!r}")
        elif text.isprintable():
            if column == columns:
                row, column = row + 1, 0
            while len(lines) <= row:
                lines.append("")
            lines[row] = lines[row][:column].ljust(column) + text + lines[row][column + 1 :]
            column += 1
        while len(lines) <= row:
            lines.append("")
    return lines


def piped(
    book: Path, lines: Iterable[str], *options: str, term: str = "dumb", from_nothing: bool = False
) -> subprocess.CompletedProcess[str]:
    """Run a session over a pipe, to the end of its input."""
    return run_to_its_end(
        ["measure", "--book", str(book), *options], typed="".join(f"{line}\n" for line in lines),
        folder=book.parent, environment=surroundings(book.parent, term), from_nothing=from_nothing,
    )  # fmt: skip


@contextlib.contextmanager
def terminal(book: Path, *options: str, **how: Any) -> Iterator[Terminal]:
    """A terminal that is gone at the end, whatever happens."""
    session = Terminal(book, *options, **how)
    try:
        yield session
    finally:
        session.child.close(force=True)


@dataclass(frozen=True)
class Kept:
    """A visit as the book has it, without the times of the clock."""

    code: str
    events: list[tuple[str, Any]]
    tree: dict[str, Any]
    has_ended: bool


def record(book: Path) -> list[Kept]:
    """Return every visit of a book; days and hours are left out."""
    found = []
    with Book.opened(str(book)) as opened:
        for number, code in opened.all_visits():
            kept = kept_visit(opened, number, code)
            events = [(event.kind, _untimed(event.body)) for event in kept.events]
            tree = {key: _untimed(part) for key, part in kept.tree.items()}
            found.append(Kept(code, events, tree, kept.has_ended))
    return found


def _untimed(lines: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in lines.items() if key not in ("day", "date", "time")}

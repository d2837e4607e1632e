"""Parsed: what was made of a line typed in a session: an event, a reason to ask again, or a command."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foldspan.problems import Problem
from foldspan.session.answers import Prompt
from foldspan.session.events import Answer, Answered, Body, SessionEvent


@dataclass(frozen=True, slots=True, repr=False)
class ParsedLine:
    """What was made of a line.

    ``moves`` is the event that moves the session on; ``problem`` says why it does not; ``asks_back``
    that the same line, typed again, stands; ``meant`` is a line that a yes stands for; ``command`` is
    for the face to do. ``first`` is said before ``problem``: what cannot wait if the line is right.
    """

    moves: SessionEvent | None = None
    problem: Problem | None = None
    asks_back: bool = False
    meant: str = ""
    command: Literal["", "where", "how", "help", "stop", "end", "reasons"] = ""
    first: Problem | None = None

    @property
    def event(self) -> str:
        """Kind of the event, "" where there is none."""
        return "" if self.moves is None else self.moves.kind

    @property
    def body(self) -> Body | None:
        """The event as a journal keeps it, None where there is none."""
        return None if self.moves is None else self.moves.body()


def again(code: str, what: str, remedy: str, given: str = "") -> ParsedLine:
    """Say why a line does not answer, and what to type."""
    return ParsedLine(problem=Problem(code, "Your answer", what, remedy, given))


def back_once(code: str, what: str, remedy: str, given: str = "") -> ParsedLine:
    """Ask back once; the same line stands when it is typed again."""
    return ParsedLine(problem=Problem(code, "Your answer", what, remedy, given), asks_back=True)


def answer(prompt: Prompt, value: Answer) -> ParsedLine:
    """Answer a prompt."""
    return ParsedLine(moves=Answered(prompt.key, value))

"""Parsed: what was made of a line typed in a session: an event, a reason to ask again, or a command."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from foldspan.problems import Problem
from foldspan.session.answers import Prompt


@dataclass(frozen=True, slots=True, repr=False)
class Heard:
    """What was made of a line.

    ``event`` with its ``body`` moves the session on; ``problem`` says why it does not; ``asks_back``
    that the same line, typed again, stands; ``meant`` is a line that a yes stands for; ``command`` is
    for the face to do. ``first`` is said before ``problem``: what cannot wait if the line is right.
    """

    event: str = ""
    body: Mapping[str, Any] | None = None
    problem: Problem | None = None
    asks_back: bool = False
    meant: str = ""
    command: Literal["", "where", "how", "help", "stop", "end", "reasons"] = ""
    first: Problem | None = None


def again(code: str, what: str, remedy: str, given: str = "") -> Heard:
    """Say why a line does not answer, and what to type."""
    return Heard(problem=Problem(code, "Your answer", what, remedy, given))


def back_once(code: str, what: str, remedy: str, given: str = "") -> Heard:
    """Ask back once; the same line stands when it is typed again."""
    return Heard(problem=Problem(code, "Your answer", what, remedy, given), asks_back=True)


def answer(prompt: Prompt, value: Any) -> Heard:
    """Answer a prompt."""
    return Heard(event="answer", body={"key": prompt.key, "value": value})

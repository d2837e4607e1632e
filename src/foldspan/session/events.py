"""Events: what can happen in a session, each of its own type; a journal keeps their kinds and bodies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, ClassVar, Literal, TypeAlias

Value: TypeAlias = str | float | bool | None
Answer: TypeAlias = Value | list[str] | list[float] | Mapping[str, Value]
"""An answer: a word, a number, a yes or no, a list, or a reading with what belongs to it."""
Body: TypeAlias = dict[str, Any]
"""An event as JSON; ``Any`` because JSON is: nothing but ``event_of`` reads it."""
Kind: TypeAlias = Literal[
    "begun", "answer", "amend", "page", "again", "later", "next", "undo", "note", "ended"
]


class _Kept:
    """What every event can do."""

    __slots__ = ()

    def body(self) -> Body:
        """Return what a journal keeps: its fields by their names."""
        return {name: getattr(self, name) for name in _names(type(self))}


def _names(event: type[_Kept]) -> tuple[str, ...]:
    return tuple(attribute.name for attribute in fields(event))  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, repr=False)
class Begun(_Kept):
    """The session began."""

    kind: ClassVar[Literal["begun"]] = "begun"
    facts: Mapping[str, Value]
    """What was said then: tester, calliper, repeat rule, units, day."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return dict(self.facts)


@dataclass(frozen=True, slots=True, repr=False)
class Answered(_Kept):
    """A prompt was answered."""

    kind: ClassVar[Literal["answer"]] = "answer"
    key: str
    """Key of the prompt."""
    value: Answer
    """The answer."""


@dataclass(frozen=True, slots=True, repr=False)
class Amended(_Kept):
    """An answer was changed later, such as a consent that was taken back."""

    kind: ClassVar[Literal["amend"]] = "amend"
    key: str
    """Key of the prompt."""
    value: Answer
    """The answer as it is now."""


@dataclass(frozen=True, slots=True, repr=False)
class PageAnswered(_Kept):
    """All prompts of one page were answered."""

    kind: ClassVar[Literal["page"]] = "page"
    key: str
    """Key of the page."""
    values: Mapping[str, Answer]
    """Answers by the keys of their prompts."""


@dataclass(frozen=True, slots=True, repr=False)
class AskedAgain(_Kept):
    """A prompt that was answered is to be asked again."""

    kind: ClassVar[Literal["again"]] = "again"
    key: str
    """Key of the prompt."""


@dataclass(frozen=True, slots=True, repr=False)
class PutOff(_Kept):
    """A prompt was put off to the end of its round."""

    kind: ClassVar[Literal["later"]] = "later"
    key: str
    """Key of the prompt."""


@dataclass(frozen=True, slots=True, repr=False)
class NextChosen(_Kept):
    """An adaptive plan chose what is measured next; kept, so that no later version chooses otherwise."""

    kind: ClassVar[Literal["next"]] = "next"
    sites: list[str]
    """Quantity names, to be taken together; none where nothing more is worth its time."""
    width_now: float | None
    """Width of the 80 % range to expect of what was chosen so far [points]; None where there is none."""
    width_expected: float | None
    """Width to expect once these sites are taken too [points]; None where there is none."""


@dataclass(frozen=True, slots=True, repr=False)
class Undone(_Kept):
    """The last step was taken back."""

    kind: ClassVar[Literal["undo"]] = "undo"


@dataclass(frozen=True, slots=True, repr=False)
class Noted(_Kept):
    """A note was written."""

    kind: ClassVar[Literal["note"]] = "note"
    key: str
    """Key of the prompt at which it was written."""
    text: str
    """Its words."""


@dataclass(frozen=True, slots=True, repr=False)
class Ended(_Kept):
    """The session ended."""

    kind: ClassVar[Literal["ended"]] = "ended"


Step: TypeAlias = Answered | Amended | PageAnswered | AskedAgain | PutOff | NextChosen
"""What a step may be; ``Undone`` takes the last one back, and what was chosen after it."""
SessionEvent: TypeAlias = Begun | Step | Undone | Noted | Ended


def event_of(kind: str, body: Mapping[str, Any]) -> SessionEvent:
    """Return an event from what a journal keeps of it.

    Raises
    ------
    ValueError
        For a kind that no session has.
    KeyError
        Where its body lacks something.
    """
    if kind == Begun.kind:
        return Begun(dict(body))
    for event in (
        Answered, Amended, PageAnswered, AskedAgain, PutOff, NextChosen, Undone, Noted, Ended,
    ):  # fmt: skip
        if kind == event.kind:
            return event(**{name: body[name] for name in _names(event)})
    raise ValueError(f"{kind} is not a session event")

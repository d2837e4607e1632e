"""Events: what can happen in a session, each of its own type; a journal keeps their kinds and bodies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, TypeAlias, cast

Value: TypeAlias = str | float | bool | None
Answer: TypeAlias = Value | list[str] | list[float] | Mapping[str, Value]
"""An answer: a word, a number, a yes or no, a list, or a reading with what belongs to it."""
Body: TypeAlias = dict[str, Any]
"""An event as JSON; ``Any`` because JSON is: nothing but ``event_of`` reads it."""
Kind: TypeAlias = Literal[
    "begun", "answer", "amend", "page", "again", "later", "undo", "note", "ended"
]


@dataclass(frozen=True, slots=True, repr=False)
class Begun:
    """The session began."""

    kind: ClassVar[Literal["begun"]] = "begun"
    facts: Mapping[str, Value]
    """What was said then: tester, calliper, repeat rule, units, day."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return dict(self.facts)


@dataclass(frozen=True, slots=True, repr=False)
class Answered:
    """A prompt was answered."""

    kind: ClassVar[Literal["answer"]] = "answer"
    key: str
    """Key of the prompt."""
    value: Answer
    """The answer."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key, "value": self.value}


@dataclass(frozen=True, slots=True, repr=False)
class Amended:
    """An answer was changed later, such as a consent that was taken back."""

    kind: ClassVar[Literal["amend"]] = "amend"
    key: str
    """Key of the prompt."""
    value: Answer
    """The answer as it is now."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key, "value": self.value}


@dataclass(frozen=True, slots=True, repr=False)
class PageAnswered:
    """All prompts of one page were answered."""

    kind: ClassVar[Literal["page"]] = "page"
    key: str
    """Key of the page."""
    values: Mapping[str, Answer]
    """Answers by the keys of their prompts."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key, "values": self.values}


@dataclass(frozen=True, slots=True, repr=False)
class AskedAgain:
    """A prompt that was answered is to be asked again."""

    kind: ClassVar[Literal["again"]] = "again"
    key: str
    """Key of the prompt."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key}


@dataclass(frozen=True, slots=True, repr=False)
class PutOff:
    """A prompt was put off to the end of its round."""

    kind: ClassVar[Literal["later"]] = "later"
    key: str
    """Key of the prompt."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key}


@dataclass(frozen=True, slots=True, repr=False)
class Undone:
    """The last step was taken back."""

    kind: ClassVar[Literal["undo"]] = "undo"

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {}


@dataclass(frozen=True, slots=True, repr=False)
class Noted:
    """A note was written."""

    kind: ClassVar[Literal["note"]] = "note"
    key: str
    """Key of the prompt at which it was written."""
    text: str
    """Its words."""

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {"key": self.key, "text": self.text}


@dataclass(frozen=True, slots=True, repr=False)
class Ended:
    """The session ended."""

    kind: ClassVar[Literal["ended"]] = "ended"

    def body(self) -> Body:
        """Return what a journal keeps."""
        return {}


Step: TypeAlias = Answered | Amended | PageAnswered | AskedAgain | PutOff
"""What a step may be; ``Undone`` takes the last one back."""
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
    match cast(Kind, kind):
        case "begun":
            return Begun(dict(body))
        case "answer":
            return Answered(body["key"], body["value"])
        case "amend":
            return Amended(body["key"], body["value"])
        case "page":
            return PageAnswered(body["key"], body["values"])
        case "again":
            return AskedAgain(body["key"])
        case "later":
            return PutOff(body["key"])
        case "undo":
            return Undone()
        case "note":
            return Noted(body["key"], body["text"])
        case "ended":
            return Ended()
    raise ValueError(f"{kind} is no event of a session")

"""Messages: a sentence as one pattern, in a small part of ICU MessageFormat, parsed once.

``{name}`` stands for a value; ``{name, plural, one {# week} other {# weeks}}`` chooses by the plural
rules of the language, ``=0`` for exactly that number, and ``#`` is the number itself; ``{name, select,
female {women} other {men}}`` chooses by a word. Variants hold patterns of their own, so that every
language orders a whole sentence in its own way. Braces are never text.

The form: https://unicode-org.github.io/icu/userguide/format_parse/messages/
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Literal, NamedTuple, Protocol, TypeAlias

OTHER = "other"


class Amount(NamedTuple):
    """A number with its decimals, as it is written; plurals go by what is written."""

    value: float
    """The number."""
    digits: int = 0
    """How many decimals are written."""

    @property
    def written(self) -> Decimal:
        """The number as its decimals show it."""
        return Decimal(f"{self.value:.{self.digits}f}")


class Speaker(Protocol):
    """What a language has to know to put values into a message."""

    def plural(self, number: Decimal) -> str:
        """Return the plural form that a number takes: ``one``, ``few``, ``other``…"""

    def number(self, value: float, digits: int = 0) -> str:
        """Return a number as it is written."""


@dataclass(frozen=True, slots=True)
class Value:
    """A value that stands in a message as it is said; ``name`` is "" for the number of a plural."""

    name: str


@dataclass(frozen=True, slots=True)
class Choice:
    """Patterns of which one stands in a message, by a number or by a word."""

    name: str
    kind: Literal["plural", "select"]
    variants: tuple[tuple[str, Pattern], ...]

    def chosen(self, value: object, speaker: Speaker) -> Pattern:
        """Return the variant for a value; ``other`` where none is meant for it."""
        known = dict(self.variants)
        if self.kind == "select":
            return known.get(str(value), known[OTHER])
        number = _amount(value).written
        exact = known.get(f"={number}")
        return exact if exact is not None else known.get(speaker.plural(number), known[OTHER])


Pattern: TypeAlias = tuple[str | Value | Choice, ...]


def _amount(value: object) -> Amount:
    if isinstance(value, Amount):
        return value
    if isinstance(value, int):
        return Amount(value)
    # the value itself belongs to a client
    raise TypeError(f"a plural needs a whole number or an Amount, not {type(value).__name__}")


@cache
def parsed(message: str) -> Pattern:
    """Return a message as its parts.

    Raises
    ------
    ValueError
        For braces that do not match, a choice of an unknown kind, or one without ``other``.
    """
    pattern, rest = _pattern(message, in_plural=False)
    if rest:
        raise ValueError(f"a brace too many in the message {message!r}")
    return pattern


def _pattern(text: str, *, in_plural: bool) -> tuple[Pattern, str]:
    """Return the parts up to the brace that closes them, and what is left from that brace on."""
    parts: list[str | Value | Choice] = []
    while text and text[0] != "}":
        if text[0] == "{":
            part, text = _placeholder(text[1:])
            parts.append(part)
            continue
        if text[0] == "#" and in_plural:
            parts.append(Value(""))
            text = text[1:]
            continue
        stops = "{}#" if in_plural else "{}"
        end = min((text.find(sign) for sign in stops if sign in text), default=len(text))
        parts.append(text[:end])
        text = text[end:]
    return tuple(parts), text


def _placeholder(text: str) -> tuple[Value | Choice, str]:
    end = min((text.find(sign) for sign in ",}" if sign in text), default=-1)
    if end < 0:
        raise ValueError(f"an open brace before {text!r}")
    name = text[:end].strip()
    if not name.isidentifier():
        raise ValueError(f"{name!r} is no name of a value")
    if text[end] == "}":
        return Value(name), text[end + 1 :]
    kind, _, text = text[end + 1 :].partition(",")
    word = kind.strip()
    if word == "plural":
        return _choice(name, "plural", text)
    if word == "select":
        return _choice(name, "select", text)
    raise ValueError(f"{word!r} is no kind of choice")


def _choice(name: str, kind: Literal["plural", "select"], text: str) -> tuple[Choice, str]:
    variants: list[tuple[str, Pattern]] = []
    while not text.lstrip().startswith("}"):
        word, opened, text = text.partition("{")
        pattern, text = _pattern(text, in_plural=kind == "plural")
        if not opened or not word.strip() or not text:
            raise ValueError(f"a variant of {name!r} is not closed, or has no word")
        variants.append((word.strip(), pattern))
        text = text[1:]
    if OTHER not in dict(variants):
        raise ValueError(f"{name!r} has no variant for everything else")
    return Choice(name, kind, tuple(variants)), text.lstrip()[1:]


def said(
    pattern: Pattern, values: Mapping[str, object], speaker: Speaker, count: Amount | None = None
) -> str:
    """Return a pattern with its values; ``count`` is the number of the plural it stands in.

    Raises
    ------
    KeyError
        For a value that the chosen parts need and that is not given.
    """
    if len(pattern) == 1 and isinstance(pattern[0], str):
        return pattern[0]
    return "".join([_said(part, values, speaker, count) for part in pattern])


def _said(
    part: str | Value | Choice, values: Mapping[str, object], speaker: Speaker, count: Amount | None
) -> str:
    if isinstance(part, str):
        return part
    if isinstance(part, Choice):
        value = values[part.name]
        inner = _amount(value) if part.kind == "plural" else count
        return said(part.chosen(value, speaker), values, speaker, inner)
    value = values[part.name] if part.name else count
    return speaker.number(*value) if isinstance(value, Amount) else str(value)


def parts_of(pattern: Pattern) -> Iterator[Value | Choice]:
    """Yield every value and choice of a pattern, those inside its variants too."""
    for part in pattern:
        if isinstance(part, str):
            continue
        yield part
        if isinstance(part, Choice):
            for _, variant in part.variants:
                yield from parts_of(variant)


def names_in(message: str) -> set[str]:
    """Return the names of the values of a message."""
    return {part.name for part in parts_of(parsed(message)) if part.name}

"""Document: one page as parts in reading order, before it is HTML, PDF or JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import Any

from foldspan.figures.style import Draw


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of a section."""

    text: str
    """Its words."""
    starts_sheet: bool = False
    """Whether a new sheet begins with it on paper, where the page fits its sheets that way."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph; a ``lead`` is what the page is there to say."""

    text: str
    """Its words."""
    is_lead: bool = False
    """Whether it is what the page is there to say."""


@dataclass(frozen=True, slots=True)
class Bullets:
    """Points of a list."""

    items: tuple[str, ...]
    """One text per point."""


@dataclass(frozen=True, slots=True)
class Notice:
    """What must not be missed, in a frame: a title and its points."""

    title: str
    """Its heading."""
    items: tuple[str, ...]
    """One text per point."""


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what stands for each; texts that people typed stand here and behind ``FillIn`` only."""

    rows: tuple[tuple[str, str], ...]
    """Pairs of a name and its value."""
    columns: int = 1
    """Number of columns on paper."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a header; ``numeric`` are the columns aligned right; no title under a heading."""

    title: str
    """Its title, "" under a heading."""
    header: tuple[str, ...]
    """Names of the columns."""
    rows: tuple[tuple[str, ...], ...]
    """Texts of the cells, row by row."""
    numeric: tuple[int, ...] = ()
    """Columns aligned right [places, from 0]."""
    note: str = ""
    """Note or caption below it."""
    is_dense: bool = False
    """Whether its rows are set close together on paper."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture: ``alt`` says in words what it shows, ``draw`` makes it in any shape."""

    name: str
    """Its name."""
    alt: str
    """What it shows, in words."""
    draw: Draw = field(compare=False, repr=False)
    """Draws it in any shape."""
    caption: str = ""
    """Note or caption below it."""


@dataclass(frozen=True, slots=True)
class Signature:
    """Lines to sign on."""

    labels: tuple[str, ...]
    """The label of each line."""


@dataclass(frozen=True, slots=True)
class FillIn:
    """Lines to be filled in by hand, each behind what belongs there; what is known stands there."""

    labels: tuple[str, ...]
    """What belongs on each line."""
    values: tuple[str, ...] = ()
    """What is already known, line by line; "", or none at all, for a line to fill in."""
    columns: int = 1
    """Number of columns where there is room."""

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """What belongs on each line, and what is known of it."""
        return tuple(zip_longest(self.labels, self.values[: len(self.labels)], fillvalue=""))


@dataclass(frozen=True, slots=True)
class AnswerLines:
    """Ruled lines on which the reader writes an answer."""

    title: str
    """What is asked."""
    count: int = 3
    """How many lines [count]."""


Part = (
    Heading
    | Paragraph
    | Bullets
    | Notice
    | Facts
    | Table
    | Picture
    | Signature
    | FillIn
    | AnswerLines
)


@dataclass(frozen=True, slots=True, repr=False)
class Letterhead:
    """Who writes, above the title: texts that they typed, and their logo."""

    name: str
    """Their name."""
    lines: tuple[str, ...] = ()
    """Address, telephone and the like, one per line."""
    logo: bytes = field(default=b"", compare=False)
    """A picture as the bytes of a PNG, JPEG or SVG file, only ever embedded as an image."""

    def texts(self) -> tuple[str, ...]:
        """Return its texts in reading order."""
        return tuple(text for text in (self.name, *self.lines) if text)


@dataclass(frozen=True, slots=True, repr=False)
class Document:
    """One page for one reader."""

    title: str
    """Its title."""
    language: str
    """Its language, a code of BCP 47."""
    parts: tuple[Part, ...]
    """Its parts in reading order."""
    small: tuple[str, ...] = ()
    """The small print at the end."""
    paper: str = "a4"
    """``a4`` or ``us-letter``."""
    running: str = ""
    """Text at the foot of every sheet."""
    letterhead: Letterhead | None = None
    """Who writes, above the title."""
    is_large: bool = False
    """Whether it is set in large letters, for whoever does not read such pages every day."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"Document(parts={len(self.parts)})"

    def pictures(self) -> Iterator[Picture]:
        """Yield its pictures in order."""
        yield from (part for part in self.parts if isinstance(part, Picture))

    def words(self) -> int:
        """Return how many words it holds, those in pictures left aside."""
        return sum(map(_words_in, _texts(self)))

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree: every part with its kind and its texts, a picture as its words."""
        return {
            "title": self.title,
            "language": self.language,
            "letterhead": [] if self.letterhead is None else list(self.letterhead.texts()),
            "parts": [_tree(part) for part in self.parts],
            "small_print": list(self.small),
        }


def _words_in(text: str) -> int:
    # a sign that a language sets apart, as French its colon, is no word
    return len([word for word in text.split() if word[0].isalnum() or any(map(str.isalnum, word))])


def _texts(document: Document) -> Iterator[str]:
    yield document.title
    yield from () if document.letterhead is None else document.letterhead.texts()
    for part in document.parts:
        match part:
            case Heading(text) | Paragraph(text) | AnswerLines(text):
                yield text
            case Bullets(items) | Signature(items):
                yield from items
            case FillIn():
                yield from (text for line in part.lines for text in line if text)
            case Notice(title, items):
                yield title
                yield from items
            case Picture():
                yield part.caption
            case Facts(rows):
                yield from (text for row in rows for text in row)
            case Table():
                yield part.title
                yield from part.header
                yield from (text for row in part.rows for text in row)
                yield part.note
    yield from document.small


def _tree(part: Part) -> dict[str, Any]:
    match part:
        case Heading(text):
            return {"kind": "heading", "text": text}
        case Paragraph(text, is_lead):
            return {"kind": "lead" if is_lead else "paragraph", "text": text}
        case Bullets(items):
            return {"kind": "list", "items": list(items)}
        case Notice(title, items):
            return {"kind": "notice", "title": title, "items": list(items)}
        case Facts(rows):
            return {"kind": "facts", "rows": [list(row) for row in rows]}
        case Table():
            return {
                "kind": "table",
                "title": part.title,
                "header": list(part.header),
                "rows": [list(row) for row in part.rows],
                "numeric": list(part.numeric),
                "note": part.note,
            }
        case Picture():
            return {
                "kind": "picture",
                "name": part.name,
                "text": part.alt,
                "caption": part.caption,
            }
        case Signature(labels):
            return {"kind": "signature", "labels": list(labels)}
        case FillIn():
            labels, values = zip(*part.lines, strict=True)
            return {"kind": "fill_in", "labels": list(labels), "values": list(values)}
        case AnswerLines(title, count):
            return {"kind": "answer_lines", "title": title, "count": count}

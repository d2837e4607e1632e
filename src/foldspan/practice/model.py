"""Practice: who hands a page over, as it stands at its head and where a number has to be called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from foldspan.practice.logo import fault_of
from foldspan.problems import FoldspanError, Problem
from foldspan.text.catalogue import LANGUAGES

PAPERS = ("a4", "letter")
# most letters of each text: what fits on one line of the head of a page
LONGEST: dict[str, int] = {
    "name": 60, "address": 100, "telephone": 30, "emergency_number": 30, "letterhead": 100,
}  # fmt: skip
WORDS: dict[str, tuple[str, ...]] = {"language": tuple(LANGUAGES), "paper": PAPERS}


@dataclass(frozen=True, slots=True, repr=False)
class Practice:
    """Who measures and hands pages over; "" leaves a line off the page.

    Raises
    ------
    FoldspanError
        E121 for a value that is not text, too long or on several lines, E113 for an unknown
        language or paper, E303 for a logo that cannot be used.

    Examples
    --------
    >>> import foldspan
    >>> foldspan.Practice(name="Riverside Strength Studio", emergency_number="112").name
    'Riverside Strength Studio'
    """

    name: str = ""
    """Name of the practice, the studio or the trainer."""
    address: str = ""
    """Its address, on one line."""
    telephone: str = ""
    """Its telephone number."""
    emergency_number: str = ""
    """The emergency number of the country."""
    language: str = ""
    """Language of the client's page and of sessions: ``en``, ``de``, ``es``, ``fr``; "" for English."""
    paper: str = ""
    """``a4`` or ``letter``; "" for the paper that goes with the units."""
    letterhead: str = ""
    """One line for the top of letters, such as opening hours or a registration number."""
    logo: bytes = b""
    """A picture as the bytes of its file: PNG, JPEG or SVG."""

    def __post_init__(self) -> None:
        """Refuse what would not fit or could not be shown."""
        given = {known.name: getattr(self, known.name) for known in fields(self)}
        if problems := list(problems_of(given, "practice")):
            raise FoldspanError(problems)

    def __repr__(self) -> str:
        """Return a line without a number of theirs."""
        return f"Practice(name={self.name!r})"


KEYS = tuple(known.name for known in fields(Practice))


def problems_of(given: Mapping[str, Any], where: str) -> Iterator[Problem]:
    """Yield what is wrong with the values of a practice; ``where`` stands before each name."""
    for name, value in given.items():
        place = f"{where}: {name}"
        if name == "logo":
            if value and (fault := fault_of(value)):
                remedy = "Save it as a small PNG, JPEG or plain SVG, or leave the line out."
                yield Problem("E303", place, fault, remedy)
            continue
        if not isinstance(value, str):
            yield Problem("E121", place, "not a text", f'Write it in quotes: {name} = "…".')
        elif name in WORDS:
            if value not in ("", *WORDS[name]):
                yield Problem("E113", place, "unknown word", _one_of(WORDS[name]), value)
        elif "\n" in value or "\r" in value:
            yield Problem("E121", place, "more than one line", "Write it on one line.")
        elif len(value) > LONGEST[name]:
            what = f"longer than {LONGEST[name]} characters"
            yield Problem("E121", place, what, "Shorten it, so that it fits on a page.")


def _one_of(words: tuple[str, ...]) -> str:
    return f"Use {', '.join(words[:-1])} or {words[-1]}."

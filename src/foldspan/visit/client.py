"""Reading ``[client]``: which equations fit, and the family background in any words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal, Protocol

from foldspan.intake.rules import OF_WOMEN
from foldspan.intake.word_search import says_none
from foldspan.quantities import SEXES, Sex
from foldspan.standards.backgrounds import ancestry_of, read_background

KnownSex = Sex | Literal["both"]
KNOWN_SEXES: tuple[KnownSex, ...] = (*SEXES, "both")


class Reader(Protocol):
    """What reading needs of the reader of the whole visit; see ``reader``."""

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""

    def text(self, given: Any, place: str) -> str:
        """Return a short plain text."""


def read_sex(reader: Reader, client: Mapping[str, Any]) -> KnownSex | None:
    """Which equations fit, or None with a problem; never a question of gender."""
    given = client.get("sex")
    given = given.strip().lower() if isinstance(given, str) else given
    for known in KNOWN_SEXES:
        if given == known:
            return known
    what = "missing" if given is None else "not an allowed word"
    remedy = (
        "This asks which published equations to use, those for women or those for men; it is"
        ' not about gender. Write female or male, or "both" to see the two results side by'
        " side."
    )
    code = "E111" if given is None else "E113"
    reader.note(code, "[client] sex", what, remedy, given)
    return None


def reported_of_women(tree: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is told in a visit file that rarely goes with the equations for men."""
    for name in OF_WOMEN:
        lines = tree.get(_section(name))
        given = lines.get(name) if isinstance(lines, Mapping) else None
        if given is not None and given is not False and not says_none(given):
            yield name


def note_unusual_for_men(reader: Reader, names: Iterable[str]) -> None:
    """Say where something told rarely goes with the equations for men; it counts all the same."""
    for name in names:
        what = "unusual with the equations for men; used as entered"
        remedy = "Check that this is right; sex says which equations to use, not gender."
        reader.note("W127", f"[{_section(name)}] {name}", what, remedy)


def _section(name: str) -> str:
    return "client" if name == "pregnant" else "intake"


def read_family_background(reader: Reader, client: Mapping[str, Any]) -> str:
    """Family background in the client's own words; what no limit goes by is kept and said.

    "" where nothing is written, or that it was asked and answered none.
    """
    place = "[client] family_background"
    given = reader.text(client.get("family_background", ""), place)
    if says_none(given):
        return ""
    for remark in background_remarks(given):
        what = "not used, or only partly used, by any published limit"
        reader.note("W126", place, what, remark)
    return given


def background_remarks(given: str) -> list[str]:
    """Return what is used of a family background in the client's own words, none where all of it is."""
    read = read_background(given)
    if read.is_used:
        return []
    spoken = read.word.replace("_", " ")
    rest = f"Limits use {spoken} only" if read.word else "The general limits are used"
    range_too = " The range uses it." if ancestry_of(given, "") else ""
    return [f"It is kept as written. {rest}.{range_too}"]

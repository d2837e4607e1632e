"""CSV head: what stands before the rows and is no name of a column."""

from __future__ import annotations

import codecs
import re
from collections.abc import Sequence
from typing import BinaryIO

from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import CENTIMETRES_PER, KILOGRAMS_PER, UNIT_WORDS
from foldspan.tables.columns import meaning_of
from foldspan.tables.csv.rows import cells_of

DELIMITERS = ",;\t|"
WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")
WIDEST_MARKS = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)
# so many cells that can be nothing else show a line of names, or one of units (ours)
ENOUGH = 2
_PLAIN_NAMES = frozenset({"sex", "age_years", "code", "tester", "birth_date"})
_UNITS = frozenset({*CENTIMETRES_PER, *KILOGRAMS_PER, *UNIT_WORDS, "years", "mmhg", "%"})
_SEPARATOR = re.compile(rb'\s*"?sep=(.)"?[ \t]*(?:\r\n|\n|\r)', re.IGNORECASE)


class WideText:
    """A stream of UTF-16 that is read as UTF-8; what is cut short or damaged raises ``ValueError``."""

    def __init__(self, start: bytes, stream: BinaryIO) -> None:
        self._start, self._stream = start, stream
        self._decoder = codecs.getincrementaldecoder("utf-16")()

    def read(self, size: int) -> bytes:
        """Return some more; nothing at the end."""
        while True:
            data = self._start or self._stream.read(size)
            self._start = b""
            text = self._decoder.decode(data, final=not data)
            if text or not data:
                return text.encode()


def declared_separator(data: bytes, where: str) -> tuple[str, bytes]:
    """Return the delimiter that a first line ``sep=;`` says, "" without one, and the rest of the data.

    Raises
    ------
    FoldspanError
        E404 for a sign that does not part the cells of any table here.
    """
    match = _SEPARATOR.match(data)
    if match is None:
        return "", data
    sign = match[1].decode("latin-1")
    if sign not in DELIMITERS:
        remedy = "Save it with commas, semicolons, tabs or | between cells."
        what = "the first line names another separator"
        raise FoldspanError([Problem("E404", where, what, remedy)])
    return sign, data[match.end() :]


def check_head(names: Sequence[str], below: Sequence[str], delimiter: str, where: str) -> None:
    """Raise E404 where the names stand further down, or a line of units below them.

    ``below`` are the lines after the first, as far as they are known.
    """
    if not any(map(_is_name, names)):
        for place, line in enumerate(below, start=2):
            if any(_count_names(line, mark) >= ENOUGH for mark in DELIMITERS):
                above = "line 1 is" if place == 2 else f"lines 1 to {place - 1} are"
                what = f"{above} above the column names, which are in line {place}"
                remedy = "Delete everything above the column names."
                raise FoldspanError([Problem("E404", where, what, remedy)])
    first = next((line for line in below if line.strip()), "")
    if are_units(cells_of(first, delimiter)):
        what = "the line below the column names contains units, not a client"
        remedy = (
            "Delete that line: put the unit in the column name, such as weight_kg, or use"
            " --unit COLUMN=UNIT."
        )
        raise FoldspanError([Problem("E404", where, what, remedy)])


def are_units(cells: Sequence[str]) -> bool:
    """Whether the cells of a row tell units: two or more of them, and no number."""
    bare = [cell.strip(" ()[].").lower() for cell in cells]
    units = sum(cell in _UNITS for cell in bare)
    return units >= ENOUGH and not any(re.search(r"\d", cell) for cell in bare)


def _is_name(cell: str) -> bool:
    return cell.strip().lower() in _PLAIN_NAMES or meaning_of(cell) is not None


def _count_names(line: str, delimiter: str) -> int:
    return sum(map(_is_name, cells_of(line, delimiter)))

"""Looks: what a sheet shows that the values of its cells do not hold.

A cell of 27 % holds 0.27, a formula whose result was never saved holds nothing, a cell that shows
#DIV/0! is no empty cell, and a hidden column is read all the same: each is found here, so that none of
them passes in silence.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field

from foldspan.tables.sheets.container import parse

Place = tuple[int, int]
# what stands for a formula without a saved result: no rule can read it, so it is told
NO_RESULT = "=?"
# built-in formats of percent (ECMA-376 part 1, 18.8.30)
_PERCENT_FORMATS = frozenset({"9", "10"})
_LITERAL = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')
_CELL = re.compile(r"([A-Z]{1,3})(\d{1,7})")
# no sheet is wider (ECMA-376 part 1, 18.3.1.13: 16,384 columns)
WIDEST = 1 << 14
# a row that is repeated more often than this fills the sheet's end and is no client's
MOST_REPEATS = 10_000


@dataclass(slots=True, repr=False)
class Looks:
    """Places are (row, column) of the sheet, both counted from 0."""

    percent: set[Place] = field(default_factory=set)
    """Cells that show a percentage."""
    instead: dict[Place, str] = field(default_factory=dict)
    """Cells with an error or without a result, and the text that stands for them."""
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    """First and last of each run of hidden columns."""
    hidden_rows: set[int] = field(default_factory=set)
    """Rows that are hidden, by hand or by a filter."""
    merged: list[tuple[Place, Place]] = field(default_factory=list)
    """First and last cell of each merged range."""

    def is_hidden(self, column: int) -> bool:
        """Whether a column is hidden."""
        return any(first <= column <= last for first, last in self.hidden_columns)


def looks_of(archive: zipfile.ZipFile, sheet: str) -> Looks:
    """Return what the sheet of a name shows.

    Raises
    ------
    KeyError
        Where the archive has no such sheet.
    """
    if "content.xml" in archive.namelist():
        reader = _OpenDocument(sheet)
        parse(archive, "content.xml", reader.start, is_sheet=True)
        return reader.looks
    part = _parts(archive)[sheet]
    cells = _OfficeOpen(_percent_styles(archive))
    parse(archive, part, cells.start, cells.end, cells.text, is_sheet=True)
    return cells.looks


def place_of(reference: str) -> Place | None:
    """Return row and column of a cell such as ``B7``, from 0; None for what is none.

    Examples
    --------
    >>> place_of("B7"), place_of("AA1"), place_of("7")
    ((6, 1), (0, 26), None)
    """
    match = _CELL.fullmatch(reference)
    if match is None:
        return None
    column = 0
    for letter in match[1]:
        column = 26 * column + ord(letter) - 64
    return int(match[2]) - 1, column - 1


def letters_of(column: int) -> str:
    """Return the letters of a column counted from 0.

    Examples
    --------
    >>> letters_of(0), letters_of(26)
    ('A', 'AA')
    """
    letters, left = "", column + 1
    while left:
        left, letter = divmod(left - 1, 26)
        letters = chr(65 + letter) + letters
    return letters


def _parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """The part of each sheet by its name (ECMA-376 part 1, 12.3.24: found by its relationship)."""
    ids: dict[str, str] = {}
    targets: dict[str, str] = {}

    def sheet(tag: str, given: Mapping[str, str]) -> None:
        if tag == "sheet":
            ids[given.get("name", "")] = given.get("id", "")

    def relation(tag: str, given: Mapping[str, str]) -> None:
        if tag == "Relationship":
            target = given.get("Target", "")
            targets[given.get("Id", "")] = target[1:] if target[:1] == "/" else f"xl/{target}"

    parse(archive, "xl/workbook.xml", sheet)
    parse(archive, "xl/_rels/workbook.xml.rels", relation)
    return {name: targets[key] for name, key in ids.items() if key in targets}


def _percent_styles(archive: zipfile.ZipFile) -> frozenset[str]:
    """Numbers of the cell styles that show a percentage."""
    formats, styles = set(_PERCENT_FORMATS), []
    inside = ""

    def start(tag: str, given: Mapping[str, str]) -> None:
        nonlocal inside
        if tag == "numFmt" and "%" in _LITERAL.sub("", given.get("formatCode", "")):
            formats.add(given.get("numFmtId", ""))
        elif tag in ("cellXfs", "cellStyleXfs", "cellStyles", "dxfs"):
            inside = tag
        elif tag == "xf" and inside == "cellXfs":
            styles.append(given.get("numFmtId", "0"))

    if "xl/styles.xml" in archive.namelist():
        parse(archive, "xl/styles.xml", start)
    return frozenset(str(number) for number, style in enumerate(styles) if style in formats)


class _OfficeOpen:
    """Reads a sheet of Office Open XML (ECMA-376 part 1, 18.3)."""

    def __init__(self, percent_styles: frozenset[str]) -> None:
        self.looks = Looks()
        self._percent = percent_styles
        self._row, self._reference, self._after = -1, "", 0
        self._kind, self._style = "", ""
        self._has_formula, self._is_value, self._value = False, False, ""

    def start(self, tag: str, given: Mapping[str, str]) -> None:
        if tag == "c":
            self._begin(given)
        elif tag == "f":
            self._has_formula = True
        elif tag == "v":
            self._is_value = self._has_formula or self._kind == "e" or self._style in self._percent
        elif tag == "row":
            self._row = int(given["r"]) - 1 if given.get("r", "").isdigit() else self._row + 1
            self._reference, self._after = "", 0
            if given.get("hidden") in ("1", "true"):
                self.looks.hidden_rows.add(self._row)
        elif tag == "col" and given.get("hidden") in ("1", "true"):
            first, last = given.get("min", ""), given.get("max", "")
            if first.isdigit() and last.isdigit():
                self.looks.hidden_columns.append((int(first) - 1, int(last) - 1))
        elif tag == "mergeCell":
            first, _, last = given.get("ref", "").partition(":")
            places = place_of(first), place_of(last)
            if places[0] is not None and places[1] is not None:
                self.looks.merged.append((places[0], places[1]))

    def _begin(self, given: Mapping[str, str]) -> None:
        # worked out where it is needed: most cells look as they are
        reference = given.get("r", "")
        if reference[:1].isalpha():
            self._reference, self._after = reference, 0
        else:
            self._after += 1
        self._kind, self._style = given.get("t", "n"), given.get("s", "0")
        self._has_formula, self._value = False, ""

    def text(self, text: str) -> None:
        if self._is_value:
            self._value += text

    def end(self, tag: str) -> None:
        if tag == "v":
            self._is_value = False
        elif tag == "c":
            if self._kind == "e":
                self.looks.instead[self._place()] = self._value or NO_RESULT
            elif self._has_formula and not self._value and self._kind != "str":
                self.looks.instead[self._place()] = NO_RESULT
            elif self._kind == "n" and self._value and self._style in self._percent:
                self.looks.percent.add(self._place())

    def _place(self) -> Place:
        """Where the cell is: by its own reference, or so many cells after the last that has one."""
        last = place_of(self._reference)
        return self._row, (-1 if last is None else last[1]) + self._after


class _OpenDocument:
    """Reads a sheet of an OpenDocument workbook (OASIS OpenDocument 1.3 part 3, 9)."""

    def __init__(self, sheet: str) -> None:
        self.looks = Looks()
        self._sheet, self._is_here = sheet, False
        self._row, self._column, self._next_column = -1, -1, 0
        self._rows_here = 1

    def start(self, tag: str, given: Mapping[str, str]) -> None:
        if tag == "table":
            self._is_here = given.get("name") == self._sheet
            self._row, self._rows_here, self._next_column = -1, 1, 0
        elif not self._is_here:
            return
        elif tag == "table-column":
            count = _count(given, "number-columns-repeated")
            if given.get("visibility") in ("collapse", "filter"):
                last = min(self._next_column + count, WIDEST) - 1
                self.looks.hidden_columns.append((self._next_column, last))
            self._next_column += count
        elif tag == "table-row":
            self._row += self._rows_here
            self._rows_here = _count(given, "number-rows-repeated")
            self._column = 0
            if given.get("visibility") in ("collapse", "filter"):
                last = self._row + min(self._rows_here, MOST_REPEATS)
                self.looks.hidden_rows.update(range(self._row, last))
        elif tag in ("table-cell", "covered-table-cell"):
            self._cell(given)

    def _cell(self, given: Mapping[str, str]) -> None:
        count = _count(given, "number-columns-repeated")
        columns = range(self._column, min(self._column + count, WIDEST))
        rows = range(self._row, self._row + min(self._rows_here, MOST_REPEATS))
        kind = given.get("value-type", "")
        if kind == "error":
            self.looks.instead |= {(row, column): "#ERROR" for row in rows for column in columns}
        elif kind == "percentage":
            self.looks.percent.update((row, column) for row in rows for column in columns)
        elif "formula" in given and not kind:
            self.looks.instead |= {(row, column): NO_RESULT for row in rows for column in columns}
        width = _count(given, "number-columns-spanned")
        height = _count(given, "number-rows-spanned")
        if width > 1 or height > 1:
            last = (self._row + height - 1, self._column + width - 1)
            self.looks.merged.append(((self._row, self._column), last))
        self._column += count


def _count(given: Mapping[str, str], name: str) -> int:
    text = given.get(name, "1")
    return max(int(text), 1) if text.isdigit() and len(text) < 9 else 1

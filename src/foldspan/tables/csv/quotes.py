"""CSV quotes: rows of a block that quotes make doubtful, held against the reader that Python brings.

Rows are found one by one (``rows``), so that a quote that is never closed costs its own row and not
those below it. Wherever Python's reader finds other rows, both readings have something for them, so the
row is given up where its quote opens, and so is the one in which that quote would be closed.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from foldspan.tables.csv.rows import Dialect, is_open, lines_of_text, long_cells, rows_of

# a note of more lines is taken for a quote that was not closed, and another that closes it by chance
LONGEST_NOTE = 20


@dataclass(frozen=True, slots=True, repr=False)
class QuotedRow:
    """The cells of one row; ``is_doubtful`` where its quotes can be read in two ways."""

    cells: list[str]
    is_doubtful: bool


@dataclass(frozen=True, slots=True, repr=False)
class _Record:
    """A row as Python reads it: the number of its first line, how many lines, and its cells."""

    start: int
    lines: int
    cells: list[str]
    is_closed: bool = True


def quoted_rows(text: str, width: int, dialect: Dialect) -> list[QuotedRow]:
    """Return the rows of a text; ``width`` is the number of columns."""
    lines, delimiter = lines_of_text(text), dialect.delimiter
    theirs = _as_python_reads(lines, delimiter)
    by_start = {row.start: row for row in theirs}
    found, place = [], 0
    for start, taken, cells, is_torn in rows_of(lines, width, dialect):
        while place + 1 < len(theirs) and theirs[place + 1].start <= start:
            place += 1
        row = "".join(lines[start : start + taken])
        is_doubtful = is_torn
        if not is_torn and not _is_same(by_start.get(start), taken, cells):
            is_doubtful = not _stands_alone(theirs[place], start, taken, row, delimiter)
        if not is_torn and '"' in row and not _is_strict(row, delimiter):
            cells = as_typed(row, delimiter)
        found.append(QuotedRow(cells, is_doubtful))
    return found


def _as_python_reads(lines: Sequence[str], delimiter: str) -> list[_Record]:
    with long_cells():
        reader = csv.reader(iter(lines), delimiter=delimiter)
        found, start = [], 0
        for cells in reader:
            if cells:
                found.append(_Record(start, reader.line_num - start, cells))
            start = reader.line_num
    if found and found[-1].lines > 1:  # only the last can be open
        last = found[-1]
        if is_open("".join(lines[last.start : last.start + last.lines]), delimiter):
            found[-1] = _Record(last.start, last.lines, last.cells, is_closed=False)
    return found


def _is_same(record: _Record | None, taken: int, cells: list[str]) -> bool:
    return record is not None and record.lines == taken and record.cells == cells


def _stands_alone(record: _Record, start: int, taken: int, row: str, delimiter: str) -> bool:
    """Whether a row that Python has within another one is a row all the same.

    It is where the quote above it was never closed, or so far below that it is another's, and the row
    itself leaves no doubt.
    """
    is_within = record.start < start and start + taken < record.start + record.lines
    is_below_open = record.start < start and not record.is_closed
    is_far = is_within and record.lines > LONGEST_NOTE
    return (is_below_open or is_far) and _is_strict(row, delimiter)


def _is_strict(row: str, delimiter: str) -> bool:
    """Whether every quote of a row opens a cell, closes it, or is doubled inside it."""
    try:
        with long_cells():
            list(csv.reader([row], delimiter=delimiter, strict=True))
    except csv.Error:
        return False
    return True


def as_typed(row: str, delimiter: str) -> list[str]:
    """Return the cells of a row; one that goes on after its closing quote (``"5"7``) as it was typed.

    Python would join its two halves to a number that nobody wrote.
    """
    text, cells, at = row.rstrip("\r\n"), [], 0
    closing = re.compile(r'"[^"]*(?:""[^"]*)*"')
    while True:
        quoted = closing.match(text, at)
        end = text.find(delimiter, at if quoted is None else quoted.end())
        end = len(text) if end < 0 else end
        if quoted is not None and quoted.end() == end:
            cells.append(quoted[0][1:-1].replace('""', '"'))
        else:
            cells.append(text[at:end])
        if end >= len(text):
            return cells
        at = end + len(delimiter)


__all__ = ["LONGEST_NOTE", "QuotedRow", "as_typed", "quoted_rows"]

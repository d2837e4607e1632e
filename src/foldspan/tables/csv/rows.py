"""CSV rows: one row after the other, where a block cannot be read at once.

Quotes go wrong in two ways. One that stands inside a cell (5'6") is a sign like any other. One that
opens a cell and is never closed would hold all rows below it in that cell: such a row is given up where
its line ends, and the rows below it are read.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

# a quote that is still open after so many characters was never closed (a cell of a million may be)
LONGEST_CELL = 1 << 21
# a table of fewer columns has rows that a note of several lines may look like
FEWEST_COLUMNS = 5
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\n|\r|$)")
_ERRORS = "foldspan_windows_1252"


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a CSV file is written: what stands between cells, the decimal mark, the ends of lines."""

    delimiter: str = ","
    """What stands between cells."""
    decimal_comma: bool = False
    """Whether a comma parts whole numbers from tenths."""
    newline: str = "\n"
    """What ends a line."""
    has_mark: bool = False
    """Whether the file begins with the mark of its encoding."""
    is_wide: bool = False
    """Whether it is UTF-16."""

    @property
    def how_written(self) -> str:
        """What was recognised, in words; "" for the plainest kind."""
        names = {";": "semicolons", "\t": "tabs", "|": "bars"}
        parts = [f"{names[self.delimiter]} between cells"] if self.delimiter != "," else []
        parts += ["a decimal comma"] if self.decimal_comma else []
        if self.is_wide:
            return f"Read as UTF-16{' with ' if parts else ''}{' and '.join(parts)}."
        return f"Read with {' and '.join(parts)}." if parts else ""


def cells_of(line: str, delimiter: str) -> list[str]:
    """Return the cells of one row, as far as it can be taken apart."""
    text = line.rstrip("\r\n")
    try:
        with long_cells():
            return next(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), [""])
    except csv.Error:
        return text.split(delimiter)


def is_open(text: str, delimiter: str, *, is_inside: bool = False) -> bool:
    """Whether a quote that opened a cell is not closed where a text ends.

    ``is_inside`` says that it starts within such a cell. A quote opens a cell only where the cell
    begins; anywhere else it is a sign like any other.
    """
    at, is_start = 0, not is_inside
    while at < len(text):
        if is_inside:
            at = text.find('"', at)
            if at < 0:
                return True
            is_inside = text.startswith('""', at)
            at += 2 if is_inside else 1
        elif is_start and text[at] == '"':
            is_inside, is_start = True, False
            at += 1
        else:
            at = text.find(delimiter, at) + 1
            if not at:
                return False
            is_start = True
    return is_inside


def last_end(text: str, delimiter: str) -> tuple[int, bool]:
    """Return where the last whole row of a text ends, quote by quote, and if a quote is left open.

    The end is 0 where no row ends. A quote is left open where it was open for too long to be closed.
    """
    opening = re.compile(rf'(?:^|[\r\n{re.escape(delimiter)}])"')
    at, end = 0, 0
    while (found := opening.search(text, at)) is not None:
        end = text.rfind("\n", at, found.end()) + 1 or end
        closed = closing(text, found.end())
        if closed < 0:
            is_torn = len(text) - found.end() > LONGEST_CELL
            return (text.rfind("\n") + 1, True) if is_torn else (end, False)
        at = closed
    return text.rfind("\n", at) + 1 or end, False


def closing(text: str, at: int) -> int:
    """Where a cell in quotes that holds a place is closed, just after the quote; -1 where it is not."""
    while (at := text.find('"', at)) >= 0:
        if not text.startswith('""', at):
            return at + 1
        at += 2
    return -1


def are_names(head: str, delimiter: str) -> bool:
    """Whether lines can be one row of names: quoted as they should be, and no name holding cells."""
    try:
        rows = list(csv.reader(io.StringIO(head, newline=""), delimiter=delimiter, strict=True))
    except csv.Error:
        return False
    return all("\n" not in name or delimiter not in name for row in rows for name in row)


@contextmanager
def long_cells() -> Iterator[None]:
    """Let a cell be as long as any line."""
    before = csv.field_size_limit(1 << 30)
    try:
        yield
    finally:
        csv.field_size_limit(before)


def holds_rows(cell: str, width: int, dialect: Dialect) -> bool:
    """Whether a cell of several lines holds one that is a whole row of the table."""
    lines = re.split(r"\r\n|\n|\r", cell)[1:]
    return width >= FEWEST_COLUMNS and any(
        len(cells_of(line, dialect.delimiter)) == width for line in lines
    )


def lines_of_text(text: str) -> list[str]:
    """Return the lines of a text, each with its end."""
    return [line for line in _LINES.findall(text) if line]


def rows_of(
    lines: list[str], width: int, dialect: Dialect
) -> Iterator[tuple[int, int, list[str], bool]]:
    """Yield of every row its first line, its lines, its cells, and whether an open quote tore it off."""
    at = 0
    while at < len(lines):
        if not lines[at].strip("\r\n"):
            at += 1
            continue
        taken = _lines_of_row(lines, at, width, dialect)
        if taken:
            yield at, taken, cells_of("".join(lines[at : at + taken]), dialect.delimiter), False
        else:
            yield at, 1, lines[at].rstrip("\r\n").split(dialect.delimiter), True
        at += max(taken, 1)


def _lines_of_row(lines: list[str], at: int, width: int, dialect: Dialect) -> int:
    """How many lines the row has that starts at one; 0 where its quote is never closed."""
    length, is_inside = 0, False
    # no copy of the rest: there may be as many as rows
    for taken, line in enumerate((lines[place] for place in range(at, len(lines))), start=1):
        is_inside = is_open(line, dialect.delimiter, is_inside=is_inside)
        if taken > 1 and holds_rows(f"\n{line}", width, dialect):
            return 0
        if not is_inside:
            return taken
        length += len(line)
        if length > LONGEST_CELL:
            return 0
    return 0


def in_utf8(data: bytes) -> tuple[bytes, str]:
    """Return bytes in UTF-8, and the mark before every sign that was read as Windows-1252, or "".

    The mark is a sign that the data do not hold, so that the rows can be found again.
    """
    try:
        data.decode()
    except UnicodeDecodeError:
        pass
    else:
        return data, ""
    mark = next(
        character for character in map(chr, range(0xE000, 0xF8FF)) if character.encode() not in data
    )

    def recode(error: UnicodeError) -> tuple[str, int]:
        assert isinstance(error, UnicodeDecodeError)
        odd = error.object[error.start : error.end]
        return mark + "".join(_sign(value) for value in odd), error.end

    codecs.register_error(_ERRORS, recode)
    return data.decode(errors=_ERRORS).encode(), mark


def _sign(value: int) -> str:
    byte = bytes([value])
    try:
        return byte.decode("cp1252")
    except UnicodeDecodeError:  # five places of that page are empty
        return byte.decode("latin-1")

"""CSV blocks: a table of any length as blocks of whole lines, and a block as columns of text.

A block is cut at the end of a row, so each can be read by itself, in any process. Nothing is lost: a
row with too few or too many cells keeps its place and its text, and says what is wrong with it.
"""

from __future__ import annotations

import csv
import io
import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
import pyarrow as pa
import pyarrow.csv as arrow_csv

from foldspan.catalogue.card import Array
from foldspan.problems import FoldspanError, Problem

# bytes read at a time: some thousand rows
BLOCK = 1 << 22
# bytes looked at to see how a file is written
SAMPLE = 1 << 16
# a quote that is still open after so many bytes was no quote (a cell of a million characters may be)
LONGEST_CELL = 1 << 21
LONGEST_LINE = 1 << 26
DELIMITERS = ",;\t|"
_DECIMAL_COMMA = re.compile(r"[-+]?\d{1,3},\d{1,2}")


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a CSV file is written: what stands between cells, the decimal mark, the ends of lines."""

    delimiter: str = ","
    decimal_comma: bool = False
    newline: str = "\n"

    @property
    def said(self) -> str:
        """What was recognised, in words; "" for the plainest kind."""
        names = {";": "semicolons", "\t": "tabs", "|": "bars"}
        parts = [f"{names[self.delimiter]} between cells"] if self.delimiter != "," else []
        parts += ["a decimal comma"] if self.decimal_comma else []
        return f"Read with {' and '.join(parts)}." if parts else ""


@dataclass(frozen=True, slots=True, repr=False)
class Block:
    """Rows of one block as columns of text, in the order of the header.

    ``is_ragged`` (N,) marks rows with another number of cells, ``was_recoded`` those with bytes that
    are not UTF-8, read as Windows-1252. A ragged row keeps its cells; what is over stands in the last.
    """

    columns: tuple[pa.Array, ...]
    is_ragged: Array
    was_recoded: Array

    @property
    def length(self) -> int:
        """How many rows."""
        return int(self.is_ragged.size)


class CsvSource:
    """A CSV file opened for reading: its names, its dialect, and its rows in blocks of bytes."""

    def __init__(self, stream: BinaryIO, where: str) -> None:
        self.where = where
        self._stream = stream
        start = self._read(SAMPLE)
        if b"\n" not in start and b"\r" not in start:
            start += self._read(BLOCK)
        if start[:2] in (b"\xff\xfe", b"\xfe\xff"):
            raise self._stop("E304", "UTF-16, not UTF-8 text", "Save it as CSV UTF-8.")
        start = start.removeprefix(b"\xef\xbb\xbf")
        if not start.strip():
            raise self._stop(
                "E306", "empty", "The first line names the columns, then one a client."
            )
        self._only_returns = b"\n" not in start and b"\r" in start
        self._rest = self._lines(start)
        head = self._head()
        self.dialect = dialect_of(head, self._rest[:SAMPLE].decode(errors="replace"))
        self.names = [cell.strip() for cell in _cells(head, self.dialect.delimiter)]
        self.bytes_read = len(start)

    def _stop(self, code: str, what: str, remedy: str) -> FoldspanError:
        return FoldspanError([Problem(code, self.where, what, remedy)])

    def _lines(self, data: bytes) -> bytes:
        """Bytes with ends of line that every reader knows."""
        return data.replace(b"\r", b"\n") if self._only_returns else data

    def _read(self, size: int) -> bytes:
        try:
            return self._stream.read(size)
        except (
            OSError,
            EOFError,
            ValueError,
            zlib.error,
        ) as error:  # a damaged or cut archive among them
            kind = "damaged or cut short" if isinstance(error, EOFError) else "cannot be read on"
            remedy = "Nothing was written. Copy or unpack it anew."
            raise self._stop("E303", kind, remedy) from None

    def _head(self) -> str:
        """Take the first line off the rest."""
        self._rest = self._rest.lstrip(b"\r\n")
        end = self._rest.find(b"\n")
        while end >= 0 and self._rest.count(b'"', 0, end) % 2:  # a line break inside a name
            end = self._rest.find(b"\n", end + 1)
        if end < 0 and b'"' in self._rest:
            end = self._rest.find(b"\n")
        if end < 0 and len(self._rest) >= BLOCK:
            raise self._stop("E404", "no line ends in the first megabytes", "Is it a CSV file?")
        end = len(self._rest) if end < 0 else end
        head, self._rest = self._rest[: end + 1], self._rest[end + 1 :]
        try:
            return head.decode()
        except UnicodeDecodeError:
            return head.decode("cp1252", errors="replace")

    def blocks(self) -> Iterator[bytes]:
        """Yield the rows as bytes, each block ending with a row."""
        waiting = self._rest
        self._rest = b""
        while True:
            more = self._lines(self._read(BLOCK))
            self.bytes_read += len(more)
            if not more:
                break
            waiting += more
            end = last_row_end(waiting)
            if end:
                yield waiting[:end]
                waiting = waiting[end:]
            elif len(waiting) > LONGEST_LINE:
                raise self._stop(
                    "E404", "a line is longer than 64 million bytes", "Mend that line."
                )
        if waiting.strip(b"\r\n"):
            yield waiting


def last_row_end(data: bytes) -> int:
    """Return where the last whole row of some bytes ends; 0 where none does.

    A line break inside quotes ends no row, unless the quote has been open for too long to be one.
    """
    end = data.rfind(b"\n") + 1
    if not end or data.count(b'"', 0, end) % 2 == 0:
        return end
    opened = data.rfind(b'"', 0, end)
    return end if end - opened > LONGEST_CELL else data.rfind(b"\n", 0, opened) + 1


def dialect_of(head: str, sample: str) -> Dialect:
    """Return how a file is written, from its first line and some more."""
    outside = re.sub(r'"[^"]*"', "", head)
    delimiter = max(DELIMITERS, key=lambda one: (outside.count(one), -DELIMITERS.index(one)))
    cells = [cell.strip() for line in sample.splitlines()[:200] for cell in line.split(delimiter)]
    commas = sum(_DECIMAL_COMMA.fullmatch(cell.strip('"')) is not None for cell in cells)
    newline = "\r\n" if head.endswith("\r\n") else "\n"
    return Dialect(delimiter, delimiter != "," and commas > 0, newline)


def _cells(line: str, delimiter: str) -> list[str]:
    """Cells of one line, as far as it can be taken apart."""
    try:
        found = next(csv.reader(io.StringIO(line.rstrip("\r\n")), delimiter=delimiter), [""])
    except csv.Error:
        found = line.rstrip("\r\n").split(delimiter)
    return found


def read_block(data: bytes, width: int, dialect: Dialect) -> Block:
    """Return the rows of a block of bytes; ``width`` is the number of columns."""
    odd: list[tuple[int, str]] = []

    def keep(row: arrow_csv.InvalidRow) -> str:
        odd.append((row.number - 1, row.text))
        return "skip"

    is_text = _is_utf8(data)
    names = [str(place) for place in range(width)]
    try:
        table = arrow_csv.read_csv(
            pa.BufferReader(data),
            read_options=arrow_csv.ReadOptions(
                column_names=names, use_threads=False, block_size=len(data) + 1
            ),
            parse_options=arrow_csv.ParseOptions(
                delimiter=dialect.delimiter,
                newlines_in_values=b'"' in data,
                invalid_row_handler=keep,
            ),
            convert_options=arrow_csv.ConvertOptions(
                column_types=dict.fromkeys(names, pa.string() if is_text else pa.binary()),
                strings_can_be_null=False,
                check_utf8=False,
            ),
        )
    except pa.ArrowInvalid:
        return _line_by_line(data, width, dialect)
    columns = [_whole(column) for column in table.columns]
    recoded = np.zeros(table.num_rows, dtype=bool)
    if not is_text:
        columns = [_as_text(column, recoded) for column in columns]
    return _with_ragged(columns, recoded, odd, dialect)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _whole(column: pa.ChunkedArray) -> pa.Array:
    return column.chunk(0) if column.num_chunks == 1 else column.combine_chunks()


def _as_text(column: pa.Array, recoded: Array) -> pa.Array:
    """Bytes as text; cells that are not UTF-8 are read as Windows-1252 and their rows marked."""
    try:
        return column.cast(pa.string())
    except pa.ArrowInvalid:
        pass
    texts = []
    for row, cell in enumerate(column.to_pylist()):
        try:
            texts.append(cell.decode())
        except UnicodeDecodeError:
            texts.append(cell.decode("cp1252", errors="replace"))
            recoded[row] = True
    return pa.array(texts, pa.string())


def _with_ragged(
    columns: list[pa.Array], recoded: Array, odd: list[tuple[int, str]], dialect: Dialect
) -> Block:
    """Put the rows with another number of cells back to their places."""
    length = len(columns[0]) + len(odd)
    is_ragged = np.zeros(length, dtype=bool)
    if not odd:
        return Block(tuple(columns), is_ragged, recoded)
    is_ragged[[row for row, _ in odd]] = True
    order = np.empty(length, dtype=np.int64)
    order[~is_ragged] = np.arange(len(columns[0]))
    order[is_ragged] = len(columns[0]) + np.argsort(np.argsort([row for row, _ in odd]))
    width = len(columns)
    kept = [_fitted(_cells(text, dialect.delimiter), width, dialect) for _, text in odd]
    whole = [
        pa.concat_arrays([column, pa.array([cells[place] for cells in kept], pa.string())])
        for place, column in enumerate(columns)
    ]
    moved = np.append(recoded, np.zeros(len(odd), dtype=bool))[order]
    return Block(tuple(column.take(pa.array(order)) for column in whole), is_ragged, moved)


def _fitted(cells: list[str], width: int, dialect: Dialect) -> list[str]:
    """Cells of a ragged row in the width of the table; what is over joins the last."""
    if len(cells) <= width:
        return cells + [""] * (width - len(cells))
    return [*cells[: width - 1], dialect.delimiter.join(cells[width - 1 :])]


def _line_by_line(data: bytes, width: int, dialect: Dialect) -> Block:
    """Rows of a block that cannot be read as a whole: every line is a row of its own."""
    lines = [line for line in data.decode(errors="replace").splitlines() if line]
    rows = [_cells(line, dialect.delimiter) for line in lines]
    is_ragged = np.array([len(cells) != width for cells in rows], dtype=bool)
    fitted = [_fitted(cells, width, dialect) for cells in rows]
    columns = tuple(
        pa.array([cells[place] for cells in fitted], pa.string()) for place in range(width)
    )
    return Block(columns, is_ragged, np.zeros(len(rows), dtype=bool))

"""CSV blocks: a table of any length as blocks of whole lines, and a block as columns of text.

A block is cut at the end of a row, so each can be read by itself, in any process. Nothing is lost: a
row with too few or too many cells keeps its place and its text, and says what is wrong with it.
"""

from __future__ import annotations

import re
import zlib
from codecs import BOM_UTF8
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import BinaryIO

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv as arrow_csv

from foldspan.catalogue.card import Array, BoolArray
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.csv.head import (
    DELIMITERS,
    WIDE_MARKS,
    WIDEST_MARKS,
    WideText,
    check_head,
    declared_separator,
)
from foldspan.tables.csv.quotes import quoted_rows
from foldspan.tables.csv.rows import (
    LONGEST_CELL,
    Dialect,
    are_names,
    cells_of,
    closing,
    holds_rows,
    in_utf8,
    is_open,
    last_end,
    lines_of_text,
)

# bytes read at a time, some twenty thousand rows: what every part costs weighs less in large ones, which
# take more memory; a table of few columns comes to as many rows in fewer bytes
BLOCK = 3 << 20
PER_COLUMN, PER_TABLE = 1 << 16, 10 << 16
# bytes looked at to see how a file is written
SAMPLE = 1 << 16
LONGEST_LINE = 1 << 26
# lines that a row of names may take
LONGEST_HEAD = 20
# characters below the names that are looked through for other names, or units
LONGEST_LOOK = 1 << 13
NO_TEXT = {
    b"PK\x03\x04": (
        "a workbook or an archive, not text",
        "Give a workbook a name that ends in .xlsx or .ods.",
    ),
    b"PAR1": ("a Parquet file", "Give it a name that ends in .parquet."),
}
_LINE_END = re.compile(rb"\r\n|\n|\r")
_DECIMAL_COMMA = re.compile(r"[-+]?\d{1,3},\d{1,2}")


@dataclass(frozen=True, slots=True, repr=False)
class Block:
    """Rows of one block as columns of text, in the order of the header.

    ``is_ragged`` (N,) marks rows with another number of cells, ``is_doubtful`` those whose quotes can be
    read in two ways, ``was_recoded`` those with bytes that are not UTF-8, read as Windows-1252. A ragged
    row keeps its cells; what is over stands in the last.
    """

    columns: tuple[pa.Array, ...]
    is_ragged: BoolArray
    was_recoded: Array
    is_doubtful: BoolArray

    @property
    def is_lost(self) -> Array:
        """Rows (N,) of which nothing can be used: their cells may stand in the wrong columns."""
        return self.is_ragged | self.is_doubtful

    @property
    def length(self) -> int:
        """How many rows."""
        return int(self.is_ragged.size)


class CsvSource:
    """A CSV file opened for reading: its names, its dialect, and its rows in blocks of bytes."""

    def __init__(self, stream: BinaryIO, where: str) -> None:
        self.where = where
        self._stream: BinaryIO | WideText = stream
        start = self._read(SAMPLE)
        if b"\n" not in start and b"\r" not in start:
            start += self._read(BLOCK)
        if start[:4] in WIDEST_MARKS:
            raise self._stop("E304", "UTF-32, not UTF-8 text", "Save it as CSV UTF-8.")
        is_wide = start[:2] in WIDE_MARKS
        if is_wide:
            self._stream = WideText(start, stream)
            start = self._read(SAMPLE)
        elif start[:SAMPLE].count(0) > len(start[:SAMPLE]) / 4:
            raise self._stop("E304", "not UTF-8 text", "Save it as CSV UTF-8.")
        for sign, (what, remedy) in NO_TEXT.items():
            if start.startswith(sign):
                raise self._stop("E304", what, remedy)
        self._has_mark = is_wide or start.startswith(BOM_UTF8)
        start = start.removeprefix(BOM_UTF8)
        if not start.strip():
            raise self._stop(
                "E306", "empty", "The first line names the columns; then comes one line per client."
            )
        self._only_returns = b"\n" not in start and b"\r" in start
        declared, self._rest = declared_separator(self._lines(start), where)
        head = self._head(declared)
        sample = self._rest[:SAMPLE].decode(errors="replace")
        self.dialect = replace(
            dialect_of(head, sample, declared), has_mark=self._has_mark, is_wide=is_wide
        )
        self.names = [cell.strip() for cell in cells_of(head, self.dialect.delimiter)]
        below = lines_of_text(sample[:LONGEST_LOOK])[:LONGEST_HEAD]
        check_head(self.names, below, self.dialect.delimiter, where)

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
            kind = (
                "damaged or cut short"
                if isinstance(error, EOFError)
                else ("cannot be read any further")
            )
            remedy = "Nothing was written. Copy or unpack the file again."
            raise self._stop("E303", kind, remedy) from None

    def _head(self, declared: str) -> str:
        """Take the first row off the rest; a name in quotes may hold a line break."""
        self._rest = self._rest.lstrip(b"\r\n")
        ends = [match.end() for match in islice(_LINE_END.finditer(self._rest), LONGEST_HEAD)]
        if not ends and len(self._rest) >= BLOCK:
            raise self._stop(
                "E404", "no line break in the first few megabytes", "Is it a CSV file?"
            )
        ends = ends or [len(self._rest)]
        heads = [_as_head(self._rest[:end]) for end in ends]
        delimiter = dialect_of(heads[0], "", declared).delimiter
        whole = next((at for at, head in enumerate(heads) if not is_open(head, delimiter)), 0)
        whole = whole if are_names(heads[whole], delimiter) else 0
        if is_open(heads[whole], delimiter):
            remedy = "Close it or delete it: it would swallow the first rows."
            raise self._stop("E404", "a quotation mark among the names is not closed", remedy)
        self._rest = self._rest[ends[whole] :]
        return heads[whole]

    def blocks(self) -> Iterator[Piece]:
        """Yield the rows in pieces, each ending with a row.

        A quote that was open for too long is taken as never closed, and its piece ends within it. The
        line below that closes it all the same stands alone, so that it is told as it would be beside it.
        """
        waiting, is_left_open = self._rest, False
        self._rest = b""
        size = min(BLOCK, PER_TABLE + PER_COLUMN * len(self.names))
        while more := self._lines(self._read(size)):
            waiting += more
            if is_left_open:
                start, end = closing_line(waiting[: waiting.rfind(b"\n") + 1])
                yield from _pieces(waiting[:start], waiting[start:end])
                waiting, is_left_open = waiting[end:], start == end
            if not is_left_open:
                end, is_left_open = last_row_end(waiting, self.dialect.delimiter)
                yield from _pieces(waiting[:end])
                waiting = waiting[end:]
            if len(waiting) > LONGEST_LINE:
                raise self._stop(
                    "E404", "a line is longer than 64 million bytes", "Correct that line."
                )
        if is_left_open:
            start, end = closing_line(waiting)
            yield from _pieces(waiting[:start], waiting[start:end])
            waiting = waiting[end:]
        if waiting.strip(b"\r\n"):
            yield Piece(waiting)


@dataclass(frozen=True, slots=True, repr=False)
class Piece:
    """Some whole rows as bytes; ``is_doubtful`` is one line that closes a quote of an earlier piece."""

    data: bytes
    is_doubtful: bool = False


def _pieces(rows: bytes, line: bytes = b"") -> Iterator[Piece]:
    if rows:
        yield Piece(rows)
    if line:
        yield Piece(line, is_doubtful=True)


def closing_line(data: bytes) -> tuple[int, int]:
    """Return start and end of the line that closes a quote left open; both the end where none does."""
    at = closing(data.decode("latin-1"), 0)
    if at < 0:
        return len(data), len(data)
    start, end = data.rfind(b"\n", 0, at) + 1, data.find(b"\n", at) + 1
    return start, end or len(data)


def last_row_end(data: bytes, delimiter: str) -> tuple[int, bool]:
    """Return where the last whole row of some bytes ends, 0 for none, and if a quote is left open.

    A line break inside quotes ends no row, unless the quote has been open for too long to be one.
    """
    end = data.rfind(b"\n") + 1
    if not end or b'"' not in data:
        return end, False
    if not _are_pairs(data, delimiter):
        return last_end(data.decode("latin-1"), delimiter)
    if data.count(b'"', 0, end) % 2 == 0:
        return end, False
    opened = data.rfind(b'"', 0, end)
    if end - opened > LONGEST_CELL:
        return end, True
    return data.rfind(b"\n", 0, opened) + 1, False


def _are_pairs(data: bytes, delimiter: str) -> bool:
    """Whether every other quote opens a cell and those between close it, so that they may be counted."""
    signs = np.frombuffer(data, np.uint8)
    quotes = np.flatnonzero(signs == ord('"'))
    edges = np.frombuffer(f'{delimiter}\r\n"'.encode(), np.uint8)
    opens, closes = quotes[0::2], quotes[1::2]
    before = signs[np.maximum(opens - 1, 0)]
    after = signs[np.minimum(closes + 1, signs.size - 1)]
    is_open = np.isin(before, edges) | (opens == 0)
    return bool(is_open.all() and np.isin(after, edges).all())


def dialect_of(head: str, sample: str, declared: str = "") -> Dialect:
    """Return how a file is written, from its first line and some more; ``said`` is its delimiter."""
    outside = re.sub(r'"[^"]*"', "", head)
    delimiter = declared or max(
        DELIMITERS, key=lambda mark: (outside.count(mark), -DELIMITERS.index(mark))
    )
    cells = [cell.strip() for line in sample.splitlines()[:200] for cell in line.split(delimiter)]
    commas = sum(_DECIMAL_COMMA.fullmatch(cell.strip('"')) is not None for cell in cells)
    newline = "\r\n" if head.endswith("\r\n") else "\n"
    return Dialect(delimiter, delimiter != "," and commas > 0, newline)


def _as_head(line: bytes) -> str:
    try:
        return line.decode()
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


def read_block(piece: Piece, width: int, dialect: Dialect) -> Block:
    """Return the rows of a piece of a table; ``width`` is the number of columns."""
    data, mark = in_utf8(piece.data)
    if piece.is_doubtful:
        block = _carefully(data, width, dialect)
        all_rows = np.ones(block.length, dtype=bool)
        return _with_marks(replace(block, is_ragged=~all_rows, is_doubtful=all_rows), mark)
    try:
        columns, odd = _at_once(data, width, dialect)
    except pa.ArrowInvalid:
        columns, odd = None, []
    if columns is None or _are_in_doubt(data, columns, odd, dialect):
        return _with_marks(_carefully(data, width, dialect), mark)
    return _with_marks(_with_ragged(columns, odd, dialect), mark)


def _at_once(
    data: bytes, width: int, dialect: Dialect
) -> tuple[list[pa.Array], list[tuple[int, str]]]:
    """Columns of the rows that have the right number of cells; place and text of the others."""
    odd: list[tuple[int, str]] = []

    def keep(row: arrow_csv.InvalidRow) -> str:
        odd.append((row.number - 1, row.text))
        return "skip"

    names = [str(place) for place in range(width)]
    # the reader of streams: the other has a thread read, for which a small table waits longest
    with arrow_csv.open_csv(
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
            column_types=dict.fromkeys(names, pa.string()),
            strings_can_be_null=False,
            check_utf8=False,
        ),
    ) as stream:
        table = stream.read_all()
    columns = [
        column.chunk(0) if column.num_chunks == 1 else column.combine_chunks()
        for column in table.columns
    ]
    return columns, odd


def _are_in_doubt(
    data: bytes, columns: list[pa.Array], odd: list[tuple[int, str]], dialect: Dialect
) -> bool:
    """Whether quotes may be read in two ways, or one that was never closed may hold whole rows."""
    if b'"' not in data:
        return False
    if data.count(b'"') % 2 or not _are_pairs(data, dialect.delimiter):
        return True
    if data.count(b"\n") <= len(columns[0]) + len(odd):
        return False  # every line is a row
    if any("\n" in text.rstrip("\r\n") for _, text in odd):
        return True
    long = [column.filter(pc.match_substring_regex(column, "[\r\n]")) for column in columns]
    return any(
        holds_rows(cell, len(columns), dialect) for column in long for cell in column.to_pylist()
    )


def _carefully(data: bytes, width: int, dialect: Dialect) -> Block:
    """Rows of a block that cannot be read at once: found one by one; see ``quotes``."""
    rows = quoted_rows(data.decode(), width, dialect)
    is_doubtful = np.array([row.is_doubtful for row in rows], dtype=bool)
    is_ragged = np.array([len(row.cells) != width for row in rows], dtype=bool) & ~is_doubtful
    fitted = [_fitted(row.cells, width, dialect) for row in rows]
    columns = [[cells[place] for cells in fitted] for place in range(width)]
    texts = tuple(pa.array(column, pa.string()) for column in columns)
    return Block(texts, is_ragged, is_ragged & False, is_doubtful)


def _with_ragged(columns: list[pa.Array], odd: list[tuple[int, str]], dialect: Dialect) -> Block:
    """Put the rows with another number of cells back to their places."""
    length, width = len(columns[0]) + len(odd), len(columns)
    is_ragged = np.zeros(length, dtype=bool)
    if not odd:
        return Block(tuple(columns), is_ragged, is_ragged, is_ragged)
    is_ragged[[row for row, _ in odd]] = True
    order = np.empty(length, dtype=np.int64)
    order[~is_ragged] = np.arange(len(columns[0]))
    order[is_ragged] = len(columns[0]) + np.argsort(np.argsort([row for row, _ in odd]))
    kept = [_fitted(cells_of(text, dialect.delimiter), width, dialect) for _, text in odd]
    whole = [
        pa.concat_arrays([column, pa.array([cells[place] for cells in kept], pa.string())])
        for place, column in enumerate(columns)
    ]
    texts = tuple(column.take(pa.array(order)) for column in whole)
    return Block(texts, is_ragged, is_ragged & False, is_ragged & False)


def _fitted(cells: list[str], width: int, dialect: Dialect) -> list[str]:
    """Cells of a ragged row in the width of the table; what is over joins the last."""
    if len(cells) <= width:
        return cells + [""] * (width - len(cells))
    return [*cells[: width - 1], dialect.delimiter.join(cells[width - 1 :])]


def _with_marks(block: Block, mark: str) -> Block:
    """Take the marks of recoded bytes out of the cells again, and tell the rows that had some."""
    if not mark:
        return block
    marked = [pc.match_substring(column, mark) for column in block.columns]
    recoded = np.any([chunk.to_numpy(zero_copy_only=False) for chunk in marked], axis=0)
    columns = tuple(pc.replace_substring(column, mark, "") for column in block.columns)
    return Block(columns, block.is_ragged, recoded, block.is_doubtful)

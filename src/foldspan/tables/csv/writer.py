"""CSV writer: columns of text as the bytes of a file, safe to open in a spreadsheet."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.tables.csv.rows import Dialect

# A spreadsheet runs a cell that starts like this as a formula; full-width forms count in some.
_FORMULA = r"^\s*[=+\-@\t\r＝＋－＠]"
_HARMLESS = r"^\s*(?:[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?\s?%?|-+)\s*$"
_STARTS = tuple(character.encode() for character in "=+-@\t\r")
_WIDE = "＝".encode()[:2]  # how every full-width form starts
# rows of a small table
FEW = 256
# two decimals say more than any method knows; every usual percentage as its text
_HUNDREDTHS = pa.array([f"{place / 100:.2f}" for place in range(10_000)])


def harmless(column: pa.Array) -> pa.Array:
    """Return texts with an apostrophe before what a spreadsheet would run as a formula."""
    risky = pc.match_substring_regex(column, _FORMULA)
    if not pc.any(risky).as_py():
        return column
    risky = pc.and_not(risky, pc.match_substring_regex(column, _HARMLESS))
    return pc.if_else(risky, pc.binary_join_element_wise("'", column, ""), column)


def as_typed(text: str) -> str:
    """Return a text without the apostrophe that ``harmless`` puts before it."""
    bare = text.removeprefix("'")
    is_risky = re.match(_FORMULA, bare) and not re.match(_HARMLESS, bare)
    return bare if bare != text and is_risky else text


def all_harmless(columns: Sequence[pa.Array]) -> tuple[pa.Array, ...]:
    """Return columns of texts as ``harmless`` returns each."""
    return _written_at_once(columns, harmless)


def all_quoted(columns: Sequence[pa.Array], delimiter: str) -> tuple[pa.Array, ...]:
    """Return columns of texts as ``quoted`` returns each."""
    return _written_at_once(columns, lambda texts: quoted(texts, delimiter))


def _written_at_once(
    columns: Sequence[pa.Array], work: Callable[[pa.Array], pa.Array]
) -> tuple[pa.Array, ...]:
    """Work on columns of texts; those of few rows one below the other, as one column."""
    if not columns or len(columns[0]) > FEW:
        return tuple(map(work, columns))
    cells, length = work(pa.concat_arrays(columns)), len(columns[0])
    return tuple(cells.slice(place * length, length) for place in range(len(columns)))


def may_hold_formula(data: bytes, delimiter: str) -> bool:
    """Whether any cell of some bytes may start like a formula; a quick look before a closer one."""
    if _WIDE in data:
        return True
    signs = np.frombuffer(data, np.uint8)
    before = np.frombuffer(f'{delimiter}\n" '.encode(), np.uint8)
    for start in _STARTS:
        if start in data:
            places = np.flatnonzero(signs == start[0])
            if places[0] == 0 or np.isin(signs[places - 1], before).any():
                return True
    return False


def quoted(column: pa.Array, delimiter: str) -> pa.Array:
    """Return texts with quotes around those that would else be read as several cells or lines."""
    if not _holds(column, f'"\r\n{delimiter}'):
        return column
    needs = pc.match_substring_regex(column, f'["\r\n{delimiter}]')
    doubled = pc.replace_substring(column, '"', '""')
    return pc.if_else(needs, pc.binary_join_element_wise('"', doubled, '"', ""), column)


def _holds(column: pa.Array, signs: str) -> bool:
    """Whether any of the texts may hold any of the signs; a quick look at all bytes at once."""
    data = column.buffers()[2]
    texts = b"" if data is None else data.to_pybytes()
    return any(sign.encode() in texts for sign in signs)


def hundredths(values: Array) -> pa.Array:
    """Return numbers (N,) as texts with two decimals, "" for NaN."""
    whole = np.rint(values * 100.0)
    known = np.isfinite(whole)
    if not known.any():
        return pa.repeat(pa.scalar("", pa.string()), whole.size)
    places = np.where(known, whole, 0.0)
    unusual = np.flatnonzero((places < 0.0) | (places >= len(_HUNDREDTHS)))
    table = _HUNDREDTHS
    if unusual.size:  # few: below nothing or above a hundred
        different, at = np.unique(places[unusual], return_inverse=True)
        more = pa.array([f"{text / 100.0:.2f}" for text in different])
        table = pa.concat_arrays([_HUNDREDTHS, more])
        places[unusual] = len(_HUNDREDTHS) + at
    return table.take(pa.array(places.astype(np.int64), mask=~known)).fill_null("")


def all_hundredths(columns: Sequence[Array]) -> list[pa.Array]:
    """Return columns of numbers as ``hundredths`` returns each; those of few rows in one go."""
    if not columns or columns[0].size > FEW:
        return list(map(hundredths, columns))
    texts, length = hundredths(np.concatenate(columns)), columns[0].size
    return [texts.slice(place * length, length) for place in range(len(columns))]


def lines_of(columns: Sequence[pa.Array], delimiter: str, newline: str) -> bytes:
    """Return the rows of columns of text, ready to be written; cells are taken as they are."""
    last = pc.binary_join_element_wise(columns[-1], pa.scalar(newline), "")
    lines = pc.binary_join_element_wise(*columns[:-1], last, pa.scalar(delimiter))
    return b"".join(_bytes_of(lines))


def lines_behind(data: bytes, columns: Sequence[pa.Array], delimiter: str) -> bytes:
    """Return lines as they stand in a table, each with its cells of more columns behind it.

    As many lines as rows, each with an end of one sign: see ``is_plain``.
    """
    ends = np.flatnonzero(np.frombuffer(data, np.uint8) == ord("\n")).astype(np.int32)
    starts = np.concatenate([np.zeros(1, np.int32), ends])
    # each begins with the end of the line before it, so that nothing has to be copied
    given = pa.StringArray.from_buffers(ends.size, pa.py_buffer(starts), pa.py_buffer(data))
    lines = pc.binary_join_element_wise(given, *columns, pa.scalar(delimiter))
    return b"".join([*_bytes_of(lines), b"\n"])


def is_plain(data: bytes, rows: int, dialect: Dialect) -> bool:
    """Whether every line is one row, to be written as it stands: without quotes or formulas."""
    if b'"' in data or b"\r" in data or dialect.newline != "\n" or not data.endswith(b"\n"):
        return False
    return data.count(b"\n") == rows and not may_hold_formula(data, dialect.delimiter)


def _bytes_of(lines: pa.Array | pa.ChunkedArray) -> list[bytes]:
    """The bytes of texts one after another: the buffer that they stand in already."""
    chunks = lines.chunks if isinstance(lines, pa.ChunkedArray) else [lines]
    return [
        b""
        if not len(chunk)
        else memoryview(chunk.buffers()[2])[_start(chunk) : _end(chunk)].tobytes()
        for chunk in chunks
    ]


def _start(texts: pa.Array) -> int:
    return int(np.frombuffer(texts.buffers()[1], np.int32)[texts.offset])


def _end(texts: pa.Array) -> int:
    return int(np.frombuffer(texts.buffers()[1], np.int32)[texts.offset + len(texts)])


def header_line(names: Sequence[str], delimiter: str, newline: str) -> bytes:
    """Return the first line of a file."""
    texts = quoted(harmless(pa.array(list(names), pa.string())), delimiter)
    return (delimiter.join(texts.to_pylist()) + newline).encode()

"""Collect: what comes of the parts of a table, put together in the order of its rows.

Nothing here grows with the rows: lists go to unnamed files on the disk that vanish with the process.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.referrals import NAMES, REFERRING
from foldspan.tables.csv.writer import harmless, header_line, lines_of, quoted

# numbers looked through at a time for repeats
AT_ONCE = 1 << 19
# so many of the most urgent stand in the summary itself
SHOWN = 10
_SHOWN_COLUMNS = ("row", "code", "reasons", "in_doubt", "borderline")


def _spool() -> BinaryIO:
    """An unnamed file on the disk that vanishes with the process."""
    try:
        return tempfile.TemporaryFile()
    except OSError:
        raise _no_room() from None


def _put(file: BinaryIO, data: bytes) -> None:
    try:
        file.write(data)
    except OSError:
        raise _no_room() from None


def _no_room() -> FoldspanError:
    remedy = "Free some space there, or set TMPDIR to a folder with more."
    what = "no space left for temporary counts"
    return FoldspanError([Problem("E303", tempfile.gettempdir(), what, remedy)])


class Repeats:
    """Rows whose number was seen before, found on the disk: numbers are sorted share by share."""

    def __init__(self) -> None:
        self._file = _spool()
        self.length = 0

    def add(self, hashes: Array) -> None:
        """Add the numbers of more rows; 0 stands for a row that is not held against others."""
        _put(self._file, hashes.astype("<u8").tobytes())
        self.length += hashes.size

    def found(self, most: int = 5) -> tuple[int, list[int]]:
        """Return how many rows repeat an earlier one, and the numbers of the first of them, from 1."""
        shares = -(-self.length // AT_ONCE)
        count, first = 0, np.empty(0, dtype=np.int64)
        for share in range(shares):
            hashes, rows = [], []
            for start, some in self._parts():
                here = np.flatnonzero(
                    (some != 0) & ((some >> np.uint64(1)) % np.uint64(shares) == share)
                )
                hashes.append(some[here])
                rows.append(here + start)
            numbers, places = np.concatenate(hashes), np.concatenate(rows)
            in_order = np.sort(numbers)
            if not (in_order[1:] == in_order[:-1]).any():
                continue  # the usual case, and seen sooner than in which order they stand
            order = np.argsort(numbers, kind="stable")
            same = np.flatnonzero(np.diff(numbers[order]) == 0) + 1
            count += same.size
            first = np.sort(np.append(first, places[order[same]]))[:most]
        return count, [int(row) + 1 for row in first]

    def _parts(self) -> Iterator[tuple[int, Array]]:
        self._file.seek(0)
        start = 0
        while some := self._file.read(8 * AT_ONCE):
            hashes = np.frombuffer(some, "<u8")
            yield start, hashes
            start += hashes.size

    def close(self) -> None:
        """Forget everything."""
        self._file.close()


@dataclass(frozen=True, slots=True, repr=False)
class Referred:
    """One row to be referred, as the summary shows it."""

    level: str
    """Level of the most urgent flag."""
    part: str
    """Name of the part of the table, "" for a table of one file."""
    row: str
    """Number of the row, as a spreadsheet counts."""
    code: str
    """The client's code."""
    reasons: str
    """Why it is referred, in words, the most urgent first."""
    in_doubt: str
    """Codes of the problems of the row."""
    borderline: str
    """Flags that the errors of the measurement leave open."""


class ReferralList:
    """The list of those to be referred, as CSV: the most urgent first, in each level by row.

    Where no list is wanted they are counted, and the first are known.
    """

    def __init__(self, *, with_part: bool = False, is_wanted: bool = True) -> None:
        self.is_wanted = is_wanted
        self._files = {level: _spool() for level in REFERRING if is_wanted}
        self.names = ("part", *NAMES) if with_part else NAMES
        self.count = 0
        self._first: dict[str, list[Referred]] = {level: [] for level in REFERRING}

    @property
    def first(self) -> tuple[Referred, ...]:
        """The most urgent of all, at most ``SHOWN``."""
        return tuple(column for some in self._first.values() for column in some)[:SHOWN]

    def add(self, referrals: pa.RecordBatch, base: int, part: str = "", more: int = 0) -> None:
        """Add people of one part, whose rows are counted from ``base``; ``more`` are only counted."""
        self.count += len(referrals) + more
        if not len(referrals):
            return
        columns = dict(zip(NAMES, referrals.columns, strict=True))
        rows = columns["row"].to_numpy() + base + 1
        columns["row"] = pa.array(rows, pa.int64()).cast(pa.string())
        columns["part"] = pa.array([part] * len(referrals), pa.string())
        levels = np.array(columns["level"].to_pylist(), dtype=object)
        for level, known in self._first.items():
            for place in np.flatnonzero(levels == level)[: SHOWN - len(known)].tolist():
                answers = {name: columns[name][place].as_py() for name in _SHOWN_COLUMNS}
                known.append(Referred(level, part, **answers))
        if self.is_wanted:
            self._keep(levels, [quoted(harmless(columns[name]), ",") for name in self.names])

    def _keep(self, levels: Array, texts: list[pa.Array]) -> None:
        for level, file in self._files.items():
            here = pa.array(np.flatnonzero(levels == level))
            if len(here):
                _put(file, lines_of([text.take(here) for text in texts], ",", "\n"))

    def write(self, out: BinaryIO) -> None:
        """Write the whole list."""
        out.write(header_line(self.names, ",", "\n"))
        for file in self._files.values():
            file.seek(0)
            while some := file.read(1 << 20):
                out.write(some)

    def close(self) -> None:
        """Forget everything."""
        for file in self._files.values():
            file.close()

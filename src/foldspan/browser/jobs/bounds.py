"""Bounds: what a table that is sent here may be, held against it before anything of it is read."""

from __future__ import annotations

import gzip
import os
import zlib

from foldspan.problems import FoldspanError, Problem

# bytes that are sent, bytes that these may unpack to, and rows (ours)
LARGEST, LARGEST_UNPACKED, MOST_ROWS = 200 << 20, 1 << 32, 5_000_000
_CHUNK = 1 << 20
_REMEDY = "Split the table, and screen each part."


def check_bounds(source: str) -> None:
    """Raise E304 for a table that unpacks to more than it may, or has too many rows.

    A workbook is bounded where it is read; the rows of a CSV are counted while it is screened.
    """
    if os.path.getsize(source) > LARGEST:
        raise _stop(source, f"larger than {LARGEST >> 20} MB")
    with open(source, "rb") as file:
        is_packed = file.read(2) == b"\x1f\x8b"
    if is_packed:
        _check_packed(source)
    elif source.lower().endswith(".parquet"):
        _check_parquet(source)


def _check_packed(source: str) -> None:
    unpacked = 0
    try:
        with gzip.open(source) as file:
            while some := len(file.read(_CHUNK)):
                unpacked += some
                if unpacked > LARGEST_UNPACKED:
                    raise _stop(source, f"unpacks to more than {LARGEST_UNPACKED >> 30} GB")
    except (OSError, EOFError, zlib.error):
        return  # damage is told where it is read


def _check_parquet(source: str) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        about = pq.read_metadata(source)
    except (OSError, pa.ArrowException):
        return  # damage is told where it is read
    size = sum(about.row_group(place).total_byte_size for place in range(about.num_row_groups))
    if size > LARGEST_UNPACKED:
        raise _stop(source, f"unpacks to more than {LARGEST_UNPACKED >> 30} GB")
    if about.num_rows > MOST_ROWS:
        raise _stop(source, f"more than {MOST_ROWS:,} rows")


def _stop(source: str, what: str) -> FoldspanError:
    return FoldspanError([Problem("E304", source, what, _REMEDY)])

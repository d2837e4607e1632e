"""Codes: the codes of clients as numbers, so that two tables of any length can be matched.

Codes are compared as they are written, without the white space around them; a number that a spreadsheet
made of a code is its digits. Neither the codes nor what they stand for are kept anywhere.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.tables.cells import MISSING_WORDS

# whole numbers up to here are exact in a spreadsheet
LARGEST_WHOLE = 1e15
# two ways of mixing bytes (Fowler, Noll and Vo; the second begins elsewhere, with another odd factor)
_STARTS = (np.uint64(0xCBF29CE484222325), np.uint64(0x9AE16A3B2F90404F))
_FACTORS = (np.uint64(0x100000001B3), np.uint64(0x9E3779B97F4A7C15))


class Keys(NamedTuple):
    """Two numbers for each of N codes, 0 for none: both alike by chance in 1 of about 10³⁸ pairs."""

    first: Array
    second: Array


def codes_in(column: Any) -> pa.Array:
    """Return a column of codes as texts without white space around them, "" where there is none."""
    if isinstance(column, pa.ChunkedArray):
        column = column.combine_chunks()
    if pa.types.is_dictionary(column.type):
        column = column.cast(column.type.value_type)
    if pa.types.is_floating(column.type):
        column = _digits(column.cast(pa.float64()))
    if not pa.types.is_string(column.type):
        column = _as_string(column)
    codes = pc.utf8_trim_whitespace(pc.fill_null(column, ""))
    missing = pc.is_in(pc.utf8_lower(codes), value_set=pa.array(sorted(MISSING_WORDS)))
    return pc.if_else(missing, "", codes)


def _digits(column: pa.Array) -> pa.Array:
    values = column.to_numpy(zero_copy_only=False)
    with np.errstate(invalid="ignore"):
        whole = (np.floor(values) == values) & (np.abs(values) < LARGEST_WHOLE)
    digits = pa.array(np.where(whole, values, 0.0).astype(np.int64)).cast(pa.string())
    texts = pc.if_else(pa.array(whole), digits, column.cast(pa.string()))
    return pc.if_else(pa.array(np.isnan(values)), "", texts)


def _as_string(column: pa.Array) -> pa.Array:
    try:
        return column.cast(pa.string())
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        return pa.array([""] * len(column), pa.string())


def keys_of(codes: pa.Array) -> Keys:
    """Return the numbers of texts; "" has 0."""
    codes = pa.concat_arrays([codes])  # from its own start
    _, offsets, data = codes.buffers()
    count = len(codes)
    ends = np.frombuffer(offsets, np.int32)[codes.offset : codes.offset + count + 1].astype(
        np.int64
    )
    letters = np.frombuffer(data if data is not None and data.size else b"\0", np.uint8)
    lengths = np.diff(ends)
    found = [np.full(count, start) for start in _STARTS]
    rows, starts = np.arange(count), ends[:-1]
    for place in range(int(lengths.max(initial=0))):
        longer = lengths[rows] > place
        rows = rows if longer.all() else rows[longer]
        letter = letters[starts[rows] + place].astype(np.uint64)
        for mixed, factor in zip(found, _FACTORS, strict=True):
            mixed[rows] = (mixed[rows] ^ letter) * factor
    return Keys(*(np.where(lengths > 0, _stirred(mixed), np.uint64(0)) for mixed in found))


def _stirred(mixed: Array) -> Array:
    """Numbers whose bits all depend on all bits, never 0."""
    mixed = mixed ^ (mixed >> np.uint64(29))
    mixed = mixed * np.uint64(0xBF58476D1CE4E5B9)
    return np.asarray((mixed ^ (mixed >> np.uint64(32))) | np.uint64(1))


def loosely(codes: pa.Array) -> pa.Array:
    """Return codes as they would be without capitals, spaces, dashes and leading zeros.

    Two codes that are alike only so are not matched: it is said that they may be meant for one.
    """
    plain = pc.replace_substring_regex(pc.utf8_lower(codes), r"[\s\-_./]+", "")
    return pc.replace_substring_regex(plain, "^0+([0-9a-z])", r"\1")

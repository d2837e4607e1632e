"""Reading: a table of any kind part by part, and what an error says where it is the earlier one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import BoolArray
from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.csv.blocks import Block, CsvSource, Piece, read_block
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.parquet import ParquetSource, batches_of, readable_parts
from foldspan.tables.paths import check_sheet, opened, source_kind

Part = Piece | tuple[pa.Array, ...]


@dataclass(frozen=True, slots=True)
class TableParts:
    """A table: its names, how its texts are written, and its rows part by part."""

    names: list[str]
    dialect: Dialect
    parts: Iterator[Part]


@contextmanager
def table_in_parts(path: str, sheet: str) -> Iterator[TableParts]:
    """Lend a table to be read once.

    Raises
    ------
    FoldspanError
        E301 to E307 for a file that cannot be read, E404 for parts of different columns.
    """
    kind = source_kind(path)
    check_sheet(kind, sheet)
    if kind == "csv":
        with opened(path) as (stream, _):
            csv = CsvSource(stream, "standard input" if path == "-" else path)
            yield TableParts(csv.names, csv.dialect, csv.blocks())
    elif kind == "sheet":
        require("sheets")
        from foldspan.tables.sheets.source import SheetSource

        book = SheetSource(path, sheet)
        parts = (tuple(batch.columns) for batch in book.batches())
        yield TableParts(book.names, book.dialect, parts)
    else:
        left_out: list[str] = []
        files = iter([ParquetSource(path)]) if kind == "parquet" else readable_parts(path, left_out)
        first = next(files, None)
        if first is None or left_out:
            what = left_out[0] if left_out else "none of the parts can be read"
            raise FoldspanError([Problem("E303", path, what, "Check the parts one by one.")])
        batches = (tuple(batch.columns) for batch in batches_of(first, files))
        yield TableParts(first.names, first.dialect, _whole(path, batches, left_out))


def _whole(path: str, batches: Iterator[Part], left_out: list[str]) -> Iterator[Part]:
    yield from batches
    if left_out:
        raise FoldspanError([Problem("E303", path, left_out[0], "Correct the part, or remove it.")])


def columns_of(
    part: Part, width: int, dialect: Dialect
) -> tuple[tuple[pa.Array, ...], Block | None]:
    """Return the columns of a part, and the block that they were read from in a CSV."""
    if not isinstance(part, Piece):
        return part, None
    block = read_block(part, width, dialect)
    return block.columns, block


def lost_in(block: Block | None, length: int) -> BoolArray:
    """Return the rows of which nothing can be used, bool (N,)."""
    return np.zeros(length, dtype=bool) if block is None else np.asarray(block.is_lost)


@contextmanager
def said_of_earlier(path: str) -> Iterator[None]:
    """Let every error name the earlier table, and the options that are for it."""
    try:
        yield
    except FoldspanError as error:
        raise FoldspanError([_of_earlier(problem, path) for problem in error.problems]) from None


def _of_earlier(problem: Problem, path: str) -> Problem:
    where, what, remedy = (
        re.sub(r"--(map-file|map|unit|sheet)\b", r"--before-\1", text)
        for text in (problem.where, problem.what, problem.remedy)
    )
    if not where.startswith(("--before", path)):
        where = f"{path}: {where}"
    return replace(problem, where=where, what=what, remedy=remedy)

"""Whole table: a whole table in memory, read as ``screen`` reads it, CSV and Parquet alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import BoolArray
from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.cells import MISSING_WORDS, TextRules, arrow_column
from foldspan.tables.csv.blocks import Block, CsvSource, read_block
from foldspan.tables.parquet import ParquetSource, batches_of, readable_parts
from foldspan.tables.paths import check_sheet, opened, source_kind
from foldspan.tables.sheets.notes import SheetNote


@dataclass(frozen=True, slots=True, repr=False)
class WholeTable:
    """A table of N rows: its names, and its columns as float64 or text in their order.

    ``problems`` name every row of which nothing can be used; its cells are empty. ``how_written`` tells
    how the file was read, "" for the plainest kind, ``notes`` how a sheet was. Rows are counted as a
    spreadsheet does: the names are row 1.
    """

    where: str
    names: tuple[str, ...]
    columns: tuple[pa.Array, ...]
    rules: TextRules
    is_lost: BoolArray
    problems: tuple[Problem, ...] = ()
    how_written: str = ""
    notes: tuple[SheetNote, ...] = ()

    @property
    def length(self) -> int:
        """How many rows."""
        return int(self.is_lost.size)

    def count_repeats(self) -> int:
        """Return how many rows are the same as one above them, cell by cell."""
        rows = Counter(zip(*(column.to_pylist() for column in self.columns), strict=True))
        return sum(rows.values()) - len(rows)


def read_table(path: str, sheet: str = "") -> WholeTable:
    """Return the table in a file or a folder of parts, or on standard input for ``-``.

    ``sheet`` names the sheet of a workbook, where it has several.

    Raises
    ------
    FoldspanError
        E301 to E307 for a file that cannot be read, E404 if it is not a table, E306 without rows.
    """
    kind = source_kind(path)
    check_sheet(kind, sheet)
    if kind == "sheet":
        table = _from_sheet(path, sheet)
    else:
        table = _from_csv(path) if kind == "csv" else _from_parquet(path, is_folder=kind == "parts")
    if not table.length:
        raise FoldspanError([Problem("E306", table.where, "no rows", "Add one row per client.")])
    return table


def _from_csv(path: str) -> WholeTable:
    where = "standard input" if path == "-" else path
    with opened(path) as (stream, _):
        source = CsvSource(stream, where)
        width = len(source.names)
        blocks = [read_block(data, width, source.dialect) for data in source.blocks()]
    is_lost = np.concatenate([np.zeros(0, dtype=bool), *(block.is_lost for block in blocks)])
    lost = pa.array(is_lost)
    columns = []
    for place in range(width):
        column = pa.chunked_array([block.columns[place] for block in blocks], pa.string())
        whole = column.combine_chunks()
        columns.append(pc.if_else(lost, None, whole) if is_lost.any() else whole)
    rules = TextRules(MISSING_WORDS, source.dialect.decimal_comma)
    problems = tuple(_lost_rows(where, blocks, width))
    how_written = source.dialect.how_written
    return WholeTable(
        where, tuple(source.names), tuple(columns), rules, is_lost, problems, how_written
    )


def _lost_rows(where: str, blocks: list[Block], width: int) -> Iterator[Problem]:
    """Name every row that is given up."""
    base = 2
    for block in blocks:
        for row in np.flatnonzero(block.is_lost).tolist():
            place = f"{where} row {base + row}"
            if block.is_doubtful[row]:
                what = "a quotation mark that can be read in two ways; the row is not used"
                remedy = "Remove it, or double it inside a quoted cell."
                yield Problem("E411", place, what, remedy)
            else:
                what = f"more or fewer cells than the {width} column names; the row is not used"
                remedy = "Look for a stray delimiter or a missing cell."
                yield Problem("E410", place, what, remedy)
        base += block.length


def _from_sheet(path: str, sheet: str) -> WholeTable:
    require("sheets")
    from foldspan.tables.sheets.source import SheetSource

    source = SheetSource(path, sheet)
    table = pa.Table.from_batches(list(source.batches()), source.schema)
    columns = tuple(arrow_column(column) for column in table.columns)
    return WholeTable(
        path, tuple(source.names), columns, TextRules(MISSING_WORDS, source.dialect.decimal_comma),
        np.zeros(table.num_rows, dtype=bool), notes=source.notes,
    )  # fmt: skip


def _from_parquet(path: str, *, is_folder: bool) -> WholeTable:
    left_out: list[str] = []
    sources = readable_parts(path, left_out) if is_folder else iter([ParquetSource(path)])
    first = next(sources, None)
    if first is None or left_out:
        remedy = "Check the parts one by one."
        what = left_out[0] if left_out else "none of the parts can be read"
        raise FoldspanError([Problem("E303", path, what, remedy)])
    names, schema = tuple(first.names), first.schema
    table = pa.Table.from_batches(list(batches_of(first, sources)), schema.remove_metadata())
    if left_out:
        raise FoldspanError(
            [Problem("E303", path, left_out[0], ("Correct the part, or remove it."))]
        )
    columns = tuple(arrow_column(column) for column in table.columns)
    return WholeTable(
        path, names, columns, TextRules(MISSING_WORDS), np.zeros(table.num_rows, dtype=bool)
    )

"""Sample: the names of a table and its first rows, whatever kind of file it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pyarrow as pa

from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.cells import MISSING_WORDS, TextRules, arrow_column
from foldspan.tables.csv.blocks import CsvSource, read_block
from foldspan.tables.parquet import ParquetSource, TableSource, readable_parts
from foldspan.tables.paths import check_sheet, opened, source_kind
from foldspan.tables.sheets.notes import SheetNote

# rows that are enough to tell a unit (ours)
ENOUGH_ROWS = 2_000


@dataclass(frozen=True, slots=True, repr=False)
class Sample:
    """The first rows of a table as columns, float64 or text, with the rules for its texts.

    ``notes`` are what to know of how a sheet is read.
    """

    names: tuple[str, ...]
    columns: tuple[pa.Array, ...]
    rules: TextRules
    notes: tuple[SheetNote, ...] = ()


def sample_of(path: str, sheet: str = "") -> Sample:
    """Return the names and the first rows of a table.

    Raises
    ------
    FoldspanError
        As ``read_table``; E501 for standard input, which can be read once only.
    """
    if path == "-":
        remedy = "Save the table as a file, and name that."
        raise FoldspanError([Problem("E501", "--guess", "cannot look at standard input", remedy)])
    kind = source_kind(path)
    check_sheet(kind, sheet)
    if kind == "csv":
        return _of_csv(path)
    source: TableSource | None
    if kind == "sheet":
        require("sheets")
        from foldspan.tables.sheets.source import SheetSource

        source = SheetSource(path, sheet)
    else:
        source = next(readable_parts(path, []), None) if kind == "parts" else ParquetSource(path)
    if source is None:
        raise FoldspanError([Problem("E303", path, "no part can be read", "Check the parts.")])
    batch = next(iter(source.batches()), None)
    source.close()
    columns: Sequence[pa.Array] = [] if batch is None else batch.slice(0, ENOUGH_ROWS).columns
    columns = columns or [pa.array([], pa.string()) for _ in source.names]
    rules = TextRules(MISSING_WORDS, source.dialect.decimal_comma)
    return Sample(tuple(source.names), tuple(map(arrow_column, columns)), rules, source.notes)


def _of_csv(path: str) -> Sample:
    with opened(path) as (stream, _):
        source = CsvSource(stream, path)
        width, piece = len(source.names), next(source.blocks(), None)
        columns: tuple[pa.Array, ...] = tuple(pa.array([], pa.string()) for _ in range(width))
        if piece is not None:
            block = read_block(piece, width, source.dialect)
            rows = pa.array(~block.is_lost)
            columns = tuple(column.filter(rows)[:ENOUGH_ROWS] for column in block.columns)
    return Sample(
        tuple(source.names), columns, TextRules(MISSING_WORDS, source.dialect.decimal_comma)
    )

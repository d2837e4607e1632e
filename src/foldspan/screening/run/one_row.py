"""One row: a single row of a table, as a letter or a page about its client needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from foldspan.problems import FoldspanError, Problem
from foldspan.screening.batch import Plan, answered
from foldspan.screening.letters import LetterFor, letters_for
from foldspan.screening.run.single import layout_for
from foldspan.tables.columns import Wanted
from foldspan.tables.csv.blocks import CsvSource, read_block
from foldspan.tables.parquet import ParquetSource, TableSource
from foldspan.tables.paths import opened, source_kind


def letter_for_row(path: str, row: int, wanted: Wanted, options: Mapping[str, Any]) -> LetterFor:
    """Return what a row of a table says of its client.

    Parameters
    ----------
    path : str
        A table of one file.
    row : int
        Its number, 1 for the first row below the names.
    wanted : Wanted
        What the caller says of columns.
    options : mapping
        Settings as ``Plan`` takes them.

    Raises
    ------
    FoldspanError
        E706 for a row that is not there; else as for a table that is screened.
    """
    of_kind = _in_csv if source_kind(path) == "csv" else _in_columns
    for plan, columns, block, before in of_kind(path, wanted, options):
        place = row - 1 - before
        if 0 <= place < len(columns[0]):
            answers, _, labels = answered(plan, columns, block)
            return letters_for(answers, labels, np.array([place]))[0]
    raise FoldspanError(
        [Problem("E706", f"Row {row}", "is not in the table", "Choose another row.")]
    )


def _in_csv(path: str, wanted: Wanted, options: Mapping[str, Any]) -> Iterator[tuple[Any, ...]]:
    with opened(path) as (stream, _):
        source = CsvSource(stream, path)
        plan = Plan(layout_for(source.names, wanted), source.dialect, **options)
        before = 0
        for piece in source.blocks():
            block = read_block(piece, len(source.names), source.dialect)
            yield plan, block.columns, block, before
            before += len(block.columns[0])


def _in_columns(path: str, wanted: Wanted, options: Mapping[str, Any]) -> Iterator[tuple[Any, ...]]:
    source: TableSource
    if source_kind(path) == "sheet":
        from foldspan.tables.sheets.source import SheetSource

        source = SheetSource(path, wanted.sheet)
    else:
        source = ParquetSource(path)
    plan = Plan(layout_for(source.names, wanted), source.dialect, **options)
    before = 0
    for batch in source.batches():
        yield plan, tuple(batch.columns), None, before
        before += len(batch)

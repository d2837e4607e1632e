"""One row: a single row of a table, as a letter or a page about its client needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from typing import Any

import numpy as np

from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.batch import Plan, answered, since
from foldspan.screening.before.given import EarlierTable
from foldspan.screening.letters import LetterFor, letters_for
from foldspan.screening.run.single import layout_for
from foldspan.tables.columns import Layout, Wanted
from foldspan.tables.csv.blocks import CsvSource, read_block
from foldspan.tables.parquet import ParquetSource, TableSource
from foldspan.tables.paths import TablePaths, opened, source_kind


def letter_for_row(
    path: str,
    row: int,
    wanted: Wanted,
    options: Mapping[str, Any],
    before: EarlierTable | None = None,
) -> LetterFor:
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
    before : EarlierTable, optional
        The earlier table that it was screened with: a loss since then can be why a row is referred.

    Raises
    ------
    FoldspanError
        E706 for a row that is not there; else as for a table that is screened.
    """
    of_kind = _in_csv if source_kind(path) == "csv" else _in_columns
    with ExitStack() as opened_here:
        if before is not None:
            options = {**options, "earlier": _earlier(path, wanted, options, before, opened_here)}
        for plan, columns, block, above in of_kind(path, wanted, options):
            place = row - 1 - above
            if 0 <= place < len(columns[0]):
                answers, facts, labels = answered(plan, columns, block)
                rows = np.array([place])
                return letters_for(answers, labels, rows, since(plan, answers, facts, rows))[0]
    raise FoldspanError(
        [Problem("E706", f"Row {row}", "is not in the table", "Choose another row.")]
    )


def _earlier(
    path: str, wanted: Wanted, options: Mapping[str, Any], before: EarlierTable, stack: ExitStack
) -> Any:
    """The earlier table, ready to be compared with until the stack is closed."""
    from foldspan.screening.before.prepare import prepared

    kind = source_kind(path)
    settings = Plan(Layout((), {}), **options).settings
    lent = prepared(before, TablePaths(path, kind, "", kind), wanted, settings, workers=1)
    return stack.enter_context(lent)[0]


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
        require("sheets")
        from foldspan.tables.sheets.source import SheetSource

        source = SheetSource(path, wanted.sheet)
    else:
        source = ParquetSource(path)
    plan = Plan(layout_for(source.names, wanted), source.dialect, **options)
    before = 0
    for batch in source.batches():
        yield plan, tuple(batch.columns), None, before
        before += len(batch)

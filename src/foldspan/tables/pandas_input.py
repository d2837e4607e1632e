"""Pandas input: a pandas data frame as the known columns of a table."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa

from foldspan.problems import FoldspanError, Problem
from foldspan.tables.cells import TextRules
from foldspan.tables.columns import Layout, layout_of
from foldspan.tables.rows import Cells, Rows
from foldspan.tables.value_words import WordMeanings


def check_columns(frame: pd.DataFrame) -> Layout:
    """Return what the columns of a frame mean; raise for what is no table of one row per client.

    Raises
    ------
    FoldspanError
        E404 not a data frame, and as ``layout_of``.
    """
    if not isinstance(frame, pd.DataFrame):
        raise FoldspanError(
            [Problem("E404", "table", "not a data frame", "Give a pandas data frame.")]
        )
    return layout_of([str(name) for name in frame.columns])


def cells_of(
    frame: pd.DataFrame, layout: Layout, word_meanings: WordMeanings | None = None
) -> Cells:
    """Return the known columns of a frame; ``word_meanings`` is what the caller says that words mean."""
    columns = {
        name: tuple((_column(frame.iloc[:, column.place]), column.unit) for column in some)
        for name, some in layout.columns.items()
    }
    return Cells(len(frame), columns, TextRules(word_meanings=word_meanings or {}))


def rows_of(frame: pd.DataFrame) -> Rows:
    """Return the rows of a frame; see ``check_columns`` for errors."""
    return Rows(cells_of(frame, check_columns(frame)))


def _column(column: pd.Series[Any]) -> pa.Array:
    if pd.api.types.is_numeric_dtype(column) and not pd.api.types.is_bool_dtype(column):
        return pa.array(column.to_numpy(dtype=float, na_value=np.nan))
    return pa.array([_text(cell) for cell in column], pa.string())


def _text(cell: Any) -> str | None:
    """A cell as text, None where it is missing, "?" where it holds what no rule can read."""
    if cell is None or cell is pd.NA or cell is pd.NaT:
        return None
    if isinstance(cell, date):  # of a day or a moment; a moment that is missing was seen above
        return cell.isoformat()[:10]
    if isinstance(cell, bool | np.bool_ | str | int | float | np.number):
        if isinstance(cell, float) and np.isnan(cell):
            return None
        return str(cell).encode(errors="replace").decode()
    return "?"

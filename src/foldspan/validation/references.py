"""References: people with measurements and a reference, from a file or a pandas frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.quantities import MEASURED
from foldspan.tables.columns import Wanted, layout_of
from foldspan.tables.rows import Cells, Rows
from foldspan.tables.value_words import meanings
from foldspan.tables.whole_table import WholeTable

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True, repr=False)
class ReferencedTable:
    """The known columns of N rows; ``repeats`` are rows that are the same as one above them."""

    cells: Cells
    repeats: int = 0

    def rows(self) -> Rows:
        """Return the rows, ready to be read."""
        return Rows(self.cells)

    def take(self, places: Array) -> ReferencedTable:
        """Return some rows by their numbers."""
        some = pa.array(places)
        columns: Mapping[str, Any] = {
            name: tuple((column.take(some), unit) for column, unit in given)
            for name, given in self.cells.columns.items()
        }
        return ReferencedTable(replace(self.cells, length=len(some), columns=columns))

    def unvaried(self) -> list[str]:
        """Return the measured columns that hold one value only."""
        if self.cells.length < 2:
            return []
        return [
            name
            for name in MEASURED
            if len(given := self.cells.columns.get(name, ())) == 1
            and pc.count_distinct(given[0][0], mode="only_valid").as_py() == 1
        ]


def from_file(table: WholeTable, wanted: Wanted | None = None) -> ReferencedTable:
    """Return a table that was read from a file; see ``tables.columns.layout_of`` for errors."""
    wanted = wanted or Wanted()
    layout = layout_of(table.names, wanted)
    columns = {
        name: tuple((table.columns[column.place], column.unit) for column in some)
        for name, some in layout.columns.items()
    }
    rules = replace(table.rules, word_meanings=meanings(wanted.words))
    return ReferencedTable(Cells(table.length, columns, rules), table.count_repeats())


def referenced(given: pd.DataFrame | ReferencedTable) -> ReferencedTable:
    """Return a frame as a table of people; see ``tables.pandas_input.check_columns`` for errors."""
    if isinstance(given, ReferencedTable):
        return given
    from foldspan.tables.pandas_input import cells_of, check_columns

    layout = check_columns(given)
    return ReferencedTable(cells_of(given, layout), int(given.astype(str).duplicated().sum()))

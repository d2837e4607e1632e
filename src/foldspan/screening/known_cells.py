"""Known cells: the columns of a part whose meaning is known, as arrays or texts."""

from __future__ import annotations

import pyarrow as pa
import pyarrow.compute as pc

from foldspan.tables.cells import TextRules, arrow_column
from foldspan.tables.columns import Layout
from foldspan.tables.csv.blocks import Block
from foldspan.tables.rows import Cells


def known_cells(
    layout: Layout, columns: tuple[pa.Array, ...], block: Block | None, rules: TextRules
) -> Cells:
    """Return the known columns of a part, given in the order of the table.

    ``block`` is the part as it was read from a CSV, None for one that comes as columns.
    """
    lost = None if block is None or not block.is_lost.any() else pa.array(block.is_lost)

    def known(place: int) -> pa.Array:
        column = arrow_column(columns[place])
        # nothing of a row whose cells may stand in the wrong columns is used
        return column if lost is None else pc.if_else(lost, None, column)

    return Cells(
        len(columns[layout.places[0]]),
        {
            name: tuple((known(column.place), column.unit) for column in some)
            for name, some in layout.columns.items()
        },
        rules,
    )

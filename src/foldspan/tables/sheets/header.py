"""Header: in which row of a sheet the column names stand, and what else must be known of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foldspan.tables.column_names import expecting_name, other_name, word_named
from foldspan.tables.columns import KNOWN, meaning_of
from foldspan.tables.csv.head import ENOUGH, are_units
from foldspan.tables.sheets.container import stop
from foldspan.tables.sheets.looks import Looks, letters_of

# rows looked through for the names
MOST_ABOVE = 50


@dataclass(frozen=True, slots=True)
class Header:
    """Where the names of a sheet stand; rows and columns are counted from 0."""

    row: int
    names: tuple[str, ...]
    """Names of the columns that are read, in their order; one without a name is named by its letters."""
    columns: tuple[int, ...]
    """Their places in the sheet."""
    unnamed: tuple[str, ...] = ()
    """Letters of those that have values and no name."""


def header_of(
    rows: Sequence[Sequence[Any]], filled: Sequence[bool], looks: Looks, where: str
) -> Header:
    """Return where the names stand in the first rows of a sheet.

    Parameters
    ----------
    rows : sequence of sequences of cells
        The first rows of the sheet, as far as names may stand there.
    filled : sequence of bool
        Which columns have any value at all.
    looks : Looks
    where : str
        The file and its sheet.

    Raises
    ------
    FoldspanError
        E404 where names stand in merged cells or two rows, or a line of units below them; E306 where
        the sheet is empty.
    """
    at = _row_of_names(rows)
    if at is None:
        raise stop(where, "an empty sheet", "The first line names the columns.", "E306")
    for first, last in looks.merged:
        if first[0] <= at <= last[0] and first != last:
            place = f"{letters_of(first[1])}{first[0] + 1}:{letters_of(last[1])}{last[0] + 1}"
            what = f"merged cells among the column names, {place}"
            remedy = "Unmerge them, and write one name above each column, in one row."
            raise stop(where, what, remedy, "E404")
    filled_below = (row for row in range(at + 1, len(rows)) if any(map(_text, rows[row])))
    below = next(filled_below, None)
    if below is not None and are_units([_text(cell) for cell in rows[below]]):
        what = f"the row below the column names, row {below + 1}, contains units, not a client"
        remedy = (
            "Delete that row: put the unit in the column name, such as weight_kg, or use"
            " --unit COLUMN=UNIT."
        )
        raise stop(where, what, remedy, "E404")
    return _named(rows[at], at, filled)


def _named(cells: Sequence[Any], at: int, filled: Sequence[bool]) -> Header:
    names, columns, unnamed = [], [], []
    for column, is_filled in enumerate(filled):
        name = _text(cells[column]) if column < len(cells) else ""
        if not name and not is_filled:
            continue
        if not name:
            unnamed.append(letters_of(column))
        names.append(name or f"column {letters_of(column)}")
        columns.append(column)
    return Header(at, tuple(names), tuple(columns), tuple(unnamed))


def _row_of_names(rows: Sequence[Sequence[Any]]) -> int | None:
    """The first row with names that are known, or may be; else the first that holds two or more."""
    texts = [[_text(cell) for cell in row] for row in rows]
    for at, row in enumerate(texts):
        if sum(map(may_be_name, row)) >= ENOUGH:
            return at
    several = (at for at, row in enumerate(texts) if sum(map(bool, row)) >= ENOUGH)
    return next(several, next((at for at, row in enumerate(texts) if any(row)), None))


def may_be_name(text: str) -> bool:
    """Whether a cell is, or is likely to be, the name of a column that is known here."""
    if not text or len(text) > 60 or not re.search(r"[^\W\d]", text):
        return False
    return (
        text.lower() in KNOWN
        or meaning_of(text) is not None
        or bool(other_name(text) or expecting_name(text) or word_named(text))
    )


def _text(cell: Any) -> str:
    """A name as one line."""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return " ".join(str(cell).split())

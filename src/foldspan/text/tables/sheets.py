"""Wording of how a sheet of a workbook was read."""

from __future__ import annotations

from collections.abc import Iterable

from foldspan.tables.sheets.notes import SheetNote

SHEET_NOTES = {
    "sheet": "Sheet read: {names}.",
    "names_below": "Column names read from row {names}; nothing above that row was used.",
    "hidden_columns": "Hidden in the sheet, but read: {names}.",
    "hidden_rows": "Hidden in the sheet, by hand or by a filter, but read: {rows}.",
    "unnamed": "Not used, because the column has values but no name: {names}.",
    "percent": "Percentages, read as percent (27% as 27): {names}.",
    "no_result": "Formulas that show an error or have no saved result: {rows}. These cells were not"
    " used; open the workbook, correct them and save it.",
    "comma": "Numbers typed as text were read with a decimal comma.",
}


def how_read(how_written: str, notes: Iterable[SheetNote]) -> list[str]:
    """Return what to know of how a table was read, in sentences."""
    return [how_written] * bool(how_written) + list(map(sheet_sentence, notes))


def sheet_sentence(note: SheetNote) -> str:
    """Return what to know of how a sheet was read."""
    return SHEET_NOTES[note.code].format(names=", ".join(note.names), rows=rows_words(note.rows))


def rows_words(rows: int) -> str:
    """Return ``1 row`` or ``12 rows``."""
    return "1 row" if rows == 1 else f"{rows:,} rows"

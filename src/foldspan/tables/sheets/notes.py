"""Sheet notes: what to know of how a sheet was read, as codes with their parameters."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SheetNote:
    """One thing to know of how a sheet was read."""

    code: str
    """A key of ``text.tables.sheets.SHEET_NOTES``."""
    names: tuple[str, ...] = ()
    """What it is about: columns, the sheet, the row of the names."""
    rows: int = 0
    """How many rows it is about [rows]."""

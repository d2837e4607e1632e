"""Notes: how a table was read and what became of letters, as codes with their parameters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from foldspan.tables.columns import Layout
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.sheets.notes import SheetNote
from foldspan.text.screen import NOTES
from foldspan.text.tables.sheets import rows_words, sheet_sentence


@dataclass(frozen=True, slots=True)
class ScreeningNote:
    """One thing to know of how a table was screened."""

    code: str
    """``written``, ``sheet``, or a key of ``NOTES``."""
    names: tuple[str, ...] = ()
    """Columns that it is about."""
    rows: int = 0
    """Of letters: how many rows they are for [rows]."""
    folder: str = ""
    """Of letters: where they are."""
    dialect: Dialect | None = None
    """Of ``written``: how the file is written, None for other codes."""
    sheet: SheetNote | None = None
    """Of ``sheet``: one thing about how a sheet was read, None for other codes."""

    @property
    def text(self) -> str:
        """Its sentence, in English."""
        if self.dialect is not None:
            return self.dialect.how_written
        if self.sheet is not None:
            return sheet_sentence(self.sheet)
        between = " and no " if self.code == "no_size" else ", "
        return NOTES[self.code].format(
            names=between.join(self.names), rows=rows_words(self.rows), folder=self.folder
        )


def columns_read(layout: Layout) -> tuple[str, ...]:
    """Return the columns of a table that were read, each with its name here where that is another."""
    return tuple(
        column.given if column.given.startswith(name) else f"{column.given} as {name}"
        for name, some in layout.columns.items()
        for column in some
    )


def notes_on_earlier(read: tuple[str, ...], unused: tuple[str, ...]) -> Iterator[ScreeningNote]:
    """Yield which columns of an earlier table were read, and which were not."""
    yield ScreeningNote("read_before", read)
    if unused:
        yield ScreeningNote("unused_before", unused)

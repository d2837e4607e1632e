"""Sheet source: one sheet of a workbook as columns of a table."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from itertools import islice
from typing import Any
from zipfile import ZipFile

import pyarrow as pa
from python_calamine import (
    CalamineError,
    CalamineSheet,
    CalamineWorkbook,
    SheetTypeEnum,
    SheetVisibleEnum,
)

from foldspan.problems import FoldspanError, Problem
from foldspan.tables.cells import LONGEST
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.parquet import BATCH
from foldspan.tables.sheets.container import opened, stop
from foldspan.tables.sheets.header import MOST_ABOVE, Header, header_of
from foldspan.tables.sheets.looks import Looks, looks_of
from foldspan.tables.sheets.notes import SheetNote

_DECIMAL_COMMA = re.compile(r"\s*[-+]?\d{1,3},\d{1,2}\s*")
_DECIMAL_POINT = re.compile(r"\s*[-+]?\d+\.\d+\s*")
# digits that a percentage keeps when it is multiplied out: 0.273 is 27.3 and not 27.300000000000004
_DIGITS = 10


class SheetSource:
    """A sheet of a workbook, read whole: names, kinds and rows as a Parquet file gives them.

    A column of numbers alone is float64, every other one text: dates as year-month-day. Percentages are
    multiplied out. Empty rows below the last client are no rows.
    """

    def __init__(self, path: str, sheet: str = "") -> None:
        self.where = path
        with (
            _damage_reported(path),
            opened(path) as archive,
            CalamineWorkbook.from_path(path) as book,
        ):
            name, is_named_sheet = _sheet_of(book, archive, sheet)
            looks = looks_of(archive, name)
            where = f"{path}, sheet {name}" if is_named_sheet else path
            cells = _cells(book.get_sheet_by_name(name), where)
        width = max(map(len, cells), default=0)
        filled = [any(_is_filled(row, column) for row in cells) for column in range(width)]
        header = header_of(cells[:MOST_ABOVE], filled, looks, where)
        self._batches = list(_batches(cells, header, looks))
        self.names = list(header.names)
        table = _whole(self._batches, self.names)
        self.schema, self.rows = table.schema, table.num_rows
        self._batches = table.to_batches(BATCH)
        has_comma = _has_decimal_comma(cells[header.row + 1 :])
        # as a file of its own such a sheet would be saved with semicolons
        self.dialect = Dialect(";", decimal_comma=True) if has_comma else Dialect()
        read = name if is_named_sheet else ""
        self.notes = tuple(_notes(read, header, looks, len(cells), has_comma=has_comma))

    def batches(self) -> Iterator[pa.RecordBatch]:
        """Yield the rows in batches."""
        yield from self._batches

    def close(self) -> None:
        """Forget the rows."""
        self._batches = []


@contextmanager
def _damage_reported(path: str) -> Iterator[None]:
    """Raise E303 where the parts of a workbook are not what they should be."""
    try:
        yield
    except (CalamineError, KeyError, ValueError, OSError):
        remedy = "Open it in a spreadsheet program and save it again."
        raise stop(path, "a damaged workbook", remedy, "E303") from None


def _sheet_of(book: CalamineWorkbook, archive: ZipFile, wanted: str) -> tuple[str, bool]:
    """Return the sheet to read, and whether it is one of several.

    Raises
    ------
    FoldspanError
        E501 for a sheet that is not there, or where several may be meant; E306 where all are empty.
    """
    every, path = list(book.sheet_names), str(archive.filename)
    if not every:
        raise KeyError("no sheet")
    if wanted:
        alike = [name for name in every if name.casefold().strip() == wanted.casefold().strip()]
        if wanted in every or len(alike) == 1:
            return wanted if wanted in every else alike[0], len(every) > 1
        remedy = f"Its sheets are: {', '.join(every)}."
        raise FoldspanError([Problem("E501", "--sheet", "no such sheet", remedy, wanted)])
    shown, full = _shown_sheets(book), _filled_sheets(book)
    if len(full) > 1:
        what = f"a workbook of {len(full)} sheets: {', '.join(full)}"
        raise FoldspanError([Problem("E501", path, what, f'Say which: --sheet "{full[0]}".')])
    if not full:
        for name in shown:
            looks_of(archive, name)  # one that is missing is damage, and not an empty sheet
        hidden = [name for name in every if name not in shown]
        remedy = (
            f"Hidden sheets are read with --sheet: {', '.join(hidden)}."
            if hidden
            else "The first line names the columns."
        )
        raise stop(path, "no sheet with anything in it", remedy, "E306")
    return full[0], len(every) > 1


def sheets_of(path: str) -> tuple[str, ...]:
    """Return the names of the sheets that are shown and have something in them.

    Raises
    ------
    FoldspanError
        As ``SheetSource`` for a workbook that cannot be read.
    """
    with _damage_reported(path), opened(path), CalamineWorkbook.from_path(path) as book:
        return tuple(_filled_sheets(book))


def _filled_sheets(book: CalamineWorkbook) -> list[str]:
    return [name for name in _shown_sheets(book) if book.get_sheet_by_name(name).height]


def _shown_sheets(book: CalamineWorkbook) -> list[str]:
    return [
        sheet.name for sheet in book.sheets_metadata
        if sheet.visible == SheetVisibleEnum.Visible and sheet.typ == SheetTypeEnum.WorkSheet
    ]  # fmt: skip


def _cells(sheet: CalamineSheet, where: str) -> list[list[Any]]:
    """The cells of every row, from the first of the sheet to the last that has something in it.

    Raises
    ------
    FoldspanError
        E404 for a date or a time that no calendar has.
    """
    try:
        rows = list(sheet.to_python(skip_empty_area=False))
    except OverflowError:
        what = "a cell shown as a date or a time has a number beyond every calendar"
        remedy = "Correct that number, or show its column as numbers, and save the workbook again."
        raise stop(where, what, remedy, "E404") from None
    while rows and not any(map(_is_cell, rows[-1])):
        rows.pop()
    return rows


def _is_cell(cell: Any) -> bool:
    return not (isinstance(cell, str) and not cell.strip())


def _is_filled(row: Sequence[Any], column: int) -> bool:
    return column < len(row) and _is_cell(row[column])


def _batches(
    cells: Sequence[Sequence[Any]], header: Header, looks: Looks
) -> Iterator[list[pa.Array]]:
    """Columns of some rows at a time: numbers where all are, else texts."""
    numbered = iter(enumerate(cells[header.row + 1 :], header.row + 1))
    while some := list(islice(numbered, BATCH)):
        yield [
            _column([_cell(row, at, column, looks) for at, row in some])
            for column in header.columns
        ]


def _cell(row: Sequence[Any], at: int, column: int, looks: Looks) -> Any:
    place = (at, column)
    if place in looks.instead:
        return looks.instead[place]
    cell = row[column] if column < len(row) else ""
    if place in looks.percent and isinstance(cell, float):
        return round(cell * 100.0, _DIGITS)
    return cell


def _column(cells: Sequence[Any]) -> pa.Array:
    if all(type(cell) in (float, int) or cell == "" for cell in cells):
        return pa.array([None if cell == "" else float(cell) for cell in cells], pa.float64())
    return pa.array([_text(cell) for cell in cells], pa.string())


def _text(cell: Any) -> str | None:
    """A cell as a person reads it in the sheet; numbers with all their digits."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float | int):
        return str(int(cell)) if float(cell).is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date | time):
        return cell.isoformat()
    if isinstance(cell, timedelta):
        return str(cell)
    return str(cell).encode(errors="replace").decode() if cell else None


def _whole(batches: Sequence[Sequence[pa.Array]], names: Sequence[str]) -> pa.Table:
    """All batches as one table: a column that is a text in one of them is a text in all."""
    columns = []
    for place, _ in enumerate(names):
        chunks = [batch[place] for batch in batches]
        if any(pa.types.is_string(chunk.type) for chunk in chunks):
            chunks = [
                chunk if pa.types.is_string(chunk.type) else _as_texts(chunk) for chunk in chunks
            ]
            columns.append(pa.chunked_array(chunks, pa.string()))
        else:
            columns.append(pa.chunked_array(chunks, pa.float64()))
    return pa.Table.from_arrays(columns, names=list(names))


def _as_texts(numbers: pa.Array) -> pa.Array:
    return pa.array(
        [_text("" if cell is None else cell) for cell in numbers.to_pylist()], pa.string()
    )


def _has_decimal_comma(cells: Sequence[Sequence[Any]]) -> bool:
    """Whether texts of the sheet are numbers with a decimal comma, and none has a decimal point."""
    texts = {
        cell for row in cells for cell in row if isinstance(cell, str) and len(cell) <= LONGEST
    }
    return any(map(_DECIMAL_COMMA.fullmatch, texts)) and not any(
        map(_DECIMAL_POINT.fullmatch, texts)
    )


def _notes(
    sheet: str, header: Header, looks: Looks, length: int, *, has_comma: bool
) -> Iterator[SheetNote]:
    if sheet:
        yield SheetNote("sheet", (sheet,))
    if has_comma:
        yield SheetNote("comma")
    if header.row:
        yield SheetNote("names_below", (str(header.row + 1),), header.row)
    hidden = tuple(
        name for name, column in zip(header.names, header.columns, strict=True)
        if looks.is_hidden(column)
    )  # fmt: skip
    if hidden:
        yield SheetNote("hidden_columns", hidden)
    rows = sum(header.row < row < length for row in looks.hidden_rows)
    if rows:
        yield SheetNote("hidden_rows", rows=rows)
    if header.unnamed:
        yield SheetNote("unnamed", header.unnamed)
    columns = dict(zip(header.columns, header.names, strict=True))
    percent = {
        columns[column] for row, column in looks.percent if row > header.row and column in columns
    }
    if percent:
        yield SheetNote("percent", tuple(name for name in header.names if name in percent))
    odd = [place for place in looks.instead if place[0] > header.row and place[1] in columns]
    if odd:
        yield SheetNote("no_result", rows=len({row for row, _ in odd}))

"""Sheet writer: a workbook being written, row by row, with nothing in it that could run.

Every text is written as a text, whatever it starts with: a cell that somebody typed as ``=1+1`` shows
just that. Numbers are numbers and days are days, so that a sheet can be sorted and summed.
"""

from __future__ import annotations

import math
import re
import shutil
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any, BinaryIO, Self

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from foldspan.files.waiting import new_folder
from foldspan.problems import FoldspanError, Problem

# rows and characters that a sheet and a cell can hold (ECMA-376; the programs' own limits)
MOST_ROWS, LONGEST_TEXT = 1 << 20, 32_767
CUT = " … (cut)"
# widths in characters, and rows that are looked at for them
NARROWEST, WIDEST, LOOKED_AT = 7, 48, 200
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_NUMBER = re.compile(r"-?(?:0|[1-9]\d{0,14})(?:\.\d{1,15})?")


class Workbook:
    """A workbook being written. Rows wait in a folder that only the owner can look into."""

    def __init__(self, out: BinaryIO) -> None:
        self._folder = new_folder()
        options = {
            "constant_memory": True, "tmpdir": self._folder, "strings_to_formulas": False,
            "strings_to_numbers": False, "strings_to_urls": False,
        }  # fmt: skip
        self._book = xlsxwriter.Workbook(out, options)
        self._bold = self._book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        self._day = self._book.add_format({"num_format": "yyyy-mm-dd", "align": "left"})
        self._wrapped = self._book.add_format({"text_wrap": True, "valign": "top"})
        self.cut = 0
        """How many texts were too long for a cell and are cut."""

    def sheet(self, title: str, names: Sequence[str], *, wraps: Iterable[int] = ()) -> Sheet:
        """Begin a sheet with its names in a first row that stays in sight; some columns may wrap."""
        made = self._book.add_worksheet(title)
        made.freeze_panes(1, 0)
        return Sheet(self, made, names, frozenset(wraps))

    def put(
        self, sheet: Worksheet, row: int, column: int, value: Any, *, wraps: bool = False
    ) -> None:
        """Write one cell: a number, a day, or a text as it stands."""
        if value is None or value == "":
            return
        if isinstance(value, bool):
            sheet.write_boolean(row, column, value)
        elif isinstance(value, int | float):
            if math.isfinite(value):
                sheet.write_number(row, column, value)
        elif isinstance(value, date):
            moment = datetime(value.year, value.month, value.day)
            sheet.write_datetime(row, column, moment, self._day)
        else:
            if len(value) > LONGEST_TEXT:
                value = value[: LONGEST_TEXT - len(CUT)] + CUT
                self.cut += 1
            sheet.write_string(row, column, value, self._wrapped if wraps else None)

    def head(self, sheet: Worksheet, names: Sequence[str]) -> None:
        """Write the names into the first row."""
        for column, name in enumerate(names):
            sheet.write_string(0, column, name[:LONGEST_TEXT], self._bold)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, *rest: object) -> None:
        """End the workbook; where the work failed nothing of it is put together."""
        try:
            if kind is None:
                self._book.close()
            else:
                self._book.fileclosed = True  # else it would be written when it is forgotten
                for sheet in self._book.worksheets():
                    sheet.row_data_fh.close()
        finally:
            shutil.rmtree(self._folder, ignore_errors=True)


class Sheet:
    """One sheet being written, from its first row down."""

    def __init__(
        self, book: Workbook, sheet: Worksheet, names: Sequence[str], wraps: frozenset[int]
    ) -> None:
        self._book, self._sheet, self._wraps = book, sheet, wraps
        self._row = 0
        book.head(sheet, names)
        self._widths = [_width(name) for name in names]

    def write(self, rows: Iterable[Sequence[Any]]) -> None:
        """Write rows below those that are there.

        Raises
        ------
        FoldspanError
            E303 for more rows than a sheet can hold.
        """
        for cells in rows:
            self._row += 1
            if self._row >= MOST_ROWS:
                what = f"a sheet holds {MOST_ROWS - 1:,} rows at most"
                remedy = "Give the result a name that ends in .csv or .parquet."
                raise FoldspanError([Problem("E303", "the workbook", what, remedy)])
            for column, value in enumerate(cells):
                self._book.put(self._sheet, self._row, column, value, wraps=column in self._wraps)
            if self._row <= LOOKED_AT:
                self._widths = [
                    max(width, _width(value))
                    for width, value in zip(self._widths, cells, strict=True)
                ]

    def close(self) -> None:
        """Set the widths of the columns, and a filter over the names."""
        for column, width in enumerate(self._widths):
            self._sheet.set_column(column, column, width)
        if self._row:
            self._sheet.autofilter(0, 0, self._row, len(self._widths) - 1)


def as_values(cells: Sequence[str | None], *, is_number: bool) -> list[Any]:
    """Return texts of a column as what they mean: days as days, plain numbers as numbers.

    ``is_number`` is for measurements and ages: a code stays a text, also one of digits alone.
    """
    return [_value(cell, is_number=is_number) for cell in cells]


def _value(cell: str | None, *, is_number: bool) -> Any:
    if not cell:
        return cell
    if is_number and _NUMBER.fullmatch(cell):
        return float(cell)
    if _DAY.fullmatch(cell):
        try:
            day = date.fromisoformat(cell)
        except ValueError:
            return cell
        return day if day.year >= 1900 else cell  # no sheet knows earlier days
    return cell


def _width(value: Any) -> int:
    if isinstance(value, float):
        return NARROWEST
    return min(max(len(str(value if value is not None else "")) + 2, NARROWEST), WIDEST)

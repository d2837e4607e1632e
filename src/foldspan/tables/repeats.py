"""Reading a table of repeats: one row per client and tester, every reading in its own column."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from foldspan.measurement.plausibility import range_problem, span_problem
from foldspan.measurement.site_names import suprailiac_sites
from foldspan.measurement.technical_error import Repeat
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME, MEASURED, convert
from foldspan.tables.cells import with_points
from foldspan.tables.columns import (
    FACTS,
    INTAKE_COLUMNS,
    REFERENCE,
    Wanted,
    check_wanted,
    meaning_of,
)
from foldspan.tables.sheets.notes import SheetNote
from foldspan.tables.whole_table import WholeTable, read_table
from foldspan.units import plain_number

if TYPE_CHECKING:
    import pandas as pd

_NUMBERED = re.compile(r"(.+?)_([1-9]\d*)")
_TWICE = re.compile(r"(.+)\.\d+")  # how the table library names a column that stands twice
# known in other tables, and of no use here
_ELSEWHERE = {*FACTS, *INTAKE_COLUMNS, *REFERENCE, "date"}
COUNTS = ("rows", "rows_counted", "cells", "cells_counted")
EXAMPLE = "Name columns by quantity, unit and number, such as triceps_mm_1 and triceps_mm_2."


@dataclass(frozen=True, slots=True, repr=False)
class RepeatTable:
    """What a table of repeats holds: what counts, and a problem for all that does not.

    ``rows`` are those with anything in them; ``cells`` are filled cells of readings.
    """

    repeats: tuple[Repeat, ...]
    problems: tuple[Problem, ...]
    rows: int
    rows_counted: int
    cells: int
    cells_counted: int
    how_written: str = ""
    notes: tuple[SheetNote, ...] = ()

    @property
    def is_complete(self) -> bool:
        """Whether every row and every filled cell counted."""
        return not any(problem.is_error for problem in self.problems)


def read_repeat_file(path: str, wanted: Wanted | None = None) -> RepeatTable:
    """Read a table of repeats from a file, or from standard input for ``-``.

    Raises
    ------
    FoldspanError
        As ``read_table`` and ``read_repeats``; E501 for what the caller says of columns that are not
        there, E104 for a unit that is not known.
    """
    wanted = wanted or Wanted()
    table = read_table(path, wanted.sheet)
    if problems := check_wanted(table.names, wanted):
        raise FoldspanError(problems)
    reader = _Reader(list(table.names), _rows_of(table), table.where, wanted, table.problems)
    return replace(reader.result(), how_written=table.how_written, notes=table.notes)


def _rows_of(table: WholeTable) -> list[tuple[Any, ...]]:
    """Cells row by row; words for "not measured" are empty, and a decimal comma is a point."""

    def plain(cell: Any) -> Any:
        if not isinstance(cell, str):
            return cell
        text = cell.strip()
        if text.lower() in table.rules.missing:
            return None
        return with_points(text) if table.rules.decimal_comma else text

    columns = [[plain(cell) for cell in column.to_pylist()] for column in table.columns]
    return list(zip(*columns, strict=True))


def read_repeats(frame: pd.DataFrame, table: str = "table") -> RepeatTable:
    """Read a table of repeats.

    Parameters
    ----------
    frame : DataFrame
        Columns ``code``, ``tester`` (optional) and a column a reading: ``triceps_mm_1``,
        ``triceps_mm_2``; ``triceps_mm`` alone is one reading.
    table : str
        Name of the table for messages.

    Raises
    ------
    FoldspanError
        E404 not a table, E401 without ``code``, E403 a column twice, E114 a bare ``suprailiac``,
        E120 without readings, E122 two rows of one client and tester.
    """
    import pandas as pd

    if not isinstance(frame, pd.DataFrame):
        raise FoldspanError(
            [Problem("E404", table, "not a data frame", "Give a pandas data frame.")]
        )
    names = [str(name).strip() for name in frame.columns]
    rows = list(frame.itertuples(index=False, name=None))
    return _Reader(names, rows, table, Wanted()).result()


@dataclass(slots=True)
class _Reader:
    given: list[str]
    cells: Sequence[tuple[Any, ...]]
    table: str
    wanted: Wanted
    lost: tuple[Problem, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    places: dict[str, dict[int, str]] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    unit_of: dict[str, str] = field(default_factory=dict)
    repeats: list[Repeat] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=lambda: dict.fromkeys(COUNTS, 0))

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""
        self.problems.append(
            Problem(code, f"{self.table} {place}".strip(), what, remedy, str(given))
        )

    def columns(self) -> None:
        """Sort the columns by quantity and number; stop where the table cannot be read."""
        names = [self.wanted.names.get(name, name) for name in self.given]
        self.unit_of = {
            self.wanted.names.get(name, name): unit for name, unit in self.wanted.units.items()
        }
        if "code" not in names:
            self.note("E401", "column code", "missing", _code_remedy(names))
        unknown = []
        for name in dict.fromkeys(names):
            twice = _TWICE.fullmatch(name)
            if names.count(name) > 1 or (twice and twice.group(1) in names):
                self.note("E403", f"column {name}", "given twice", "Keep one.")
            elif name not in ("code", "tester") and not self._place(name):
                unknown.append(name)
        for quantity, numbers in self.places.items():
            if 0 in numbers and len(numbers) > 1:
                remedy = "Keep the numbered readings; if it is their mean, remove it."
                what = "given alongside numbered readings: is it a reading, or their mean?"
                self.note("E403", f"column {quantity}", what, remedy)
        if not self.places:
            self.note("E120", "", "no column of readings", EXAMPLE)
        for name in unknown:
            self._unknown(name)
        if any(problem.is_error for problem in self.problems):
            raise FoldspanError(self.problems)

    def _place(self, name: str) -> bool:
        """Take a column of readings down; False if it is none."""
        numbered = _NUMBERED.fullmatch(name)
        base, number = (numbered[1], int(numbered[2])) if numbered else (name, 0)
        found = meaning_of(base, self.unit_of.get(name, ""))
        if found is None or (number and found[2]):
            return False
        quantity, self.units[name], reading = found
        number = number or reading
        numbers = self.places.setdefault(quantity, {})
        if number in numbers:
            what = f"means the same as column {numbers[number]}"
            self.note("E403", f"column {name}", what, "Keep one, or number them.")
        numbers[number] = name
        return True

    def _unknown(self, name: str) -> None:
        place = f"column {name}"
        numbered = _NUMBERED.fullmatch(name)
        base, number = (numbered[1], f"_{numbered[2]}") if numbered else (name, "")
        base = base.lower()
        if base in ("suprailiac", "suprailiac_mm"):
            what, choices = suprailiac_sites(f"_mm{number}")
            self.note("E114", place, what, f"Use {choices}.")
        elif name not in _ELSEWHERE:
            near = [name for name in MEASURED if BY_NAME[name].short_name == base]
            near = near or difflib.get_close_matches(base, MEASURED, n=3, cutoff=0.75)
            near = near or [name for name in MEASURED if name.startswith(f"{base}_")]
            words = ", ".join(f"{name}{number or '_1'}" for name in near)
            if base in ("tester", "testers", "observer", "measurer"):
                words = "tester"
            remedy = f"Similar names: {words}." if words else EXAMPLE
            self.note("W402", place, "not used (unknown name)", remedy)

    def rows(self) -> None:
        """Read every row; stop where one client and tester stand in two."""
        seen: dict[tuple[str, str], int] = {}
        twice = False
        names = [self.wanted.names.get(name, name) for name in self.given]
        for row, line in enumerate(self.cells, start=2):
            cells = dict(zip(names, line, strict=True))
            if all(_is_empty(cell) for cell in cells.values()):
                continue
            self.counts["rows"] += 1
            who = self._who(cells, f"row {row}")
            given = [cells[name] for column in self.places.values() for name in column.values()]
            self.counts["cells"] += sum(not _is_empty(cell) for cell in given)
            if who is None:
                continue
            if who in seen:
                twice = True
                what = f"the same client and tester as row {seen[who]}"
                remedy = (
                    "Put all readings of one visit in one row, and readings from other days in"
                    " another table."
                )
                self.note("E122", f"row {row}", what, remedy)
                continue
            seen[who] = row
            self._row(*who, cells, f"row {row}")
        if twice or not self.counts["rows"]:
            if not twice:
                self.note("E306", "", "no rows", "Add one row per client and tester.")
            raise FoldspanError(self.problems)

    def _who(self, cells: Mapping[Any, Any], place: str) -> tuple[str, str] | None:
        """Client and tester of a row, or None with a problem."""
        code = _word(cells["code"])
        tester = _word(cells.get("tester"))
        if not code:
            self.note("E121", f"{place}, code", "empty; the row is not used", "Write the code.")
            return None
        if not tester and "tester" in cells:
            remedy = "Write who measured, or remove the column if there was only one tester."
            self.note("E121", f"{place}, tester", "empty; the row is not used", remedy)
            return None
        return code, tester

    def _row(self, code: str, tester: str, cells: Mapping[Any, Any], place: str) -> None:
        counted, refused = 0, len(self.problems)
        for quantity, columns in self.places.items():
            readings = self._site(quantity, columns, cells, place)
            if readings:
                counted += len(readings)
                self.repeats.append(Repeat(code, tester, quantity, readings))
        self.counts["cells_counted"] += counted
        self.counts["rows_counted"] += counted > 0
        if not counted and len(self.problems) == refused:
            self.note("E110", place, "no reading given", "Add one, or remove the row.")

    def _site(
        self, quantity: str, columns: Mapping[int, str], cells: Mapping[Any, Any], place: str
    ) -> tuple[float, ...]:
        """The readings of one site that count, in the order of their numbers."""
        names = [columns[number] for number in sorted(columns)]
        ended = [name for name in names if _is_at_end(cells[name], quantity)]
        if ended:
            what = "a reading at the end of the calliper's scale says nothing about repeatability"
            remedy = "This site is not used for this client; the others are."
            self.note("E101", f"{place}, {ended[0]}", what, remedy, cells[ended[0]])
            return ()
        read = [self._cell(quantity, name, cells[name], place) for name in names]
        readings = tuple(column for column in read if column is not None)
        if len(readings) > 1:
            where = f"{self.table} {place}, {quantity}"
            apart = range_problem(readings, BY_NAME[quantity], where, accept_unusual=True)
            self.problems += [apart] if apart is not None else []
        return readings

    def _cell(self, quantity: str, name: str, cell: Any, place: str) -> float | None:
        if _is_empty(cell):
            return None
        known, unit = BY_NAME[quantity], self.units[name]
        place = f"{place}, {name}"
        value = plain_number(
            self.note,
            cell,
            unit,
            place,
            shape=f"Write a number in {unit}.",
            again="Measure again, or leave the cell empty.",
        )
        if value is None:
            return None
        value = value if unit == known.unit else convert(value, unit, known.unit)
        problem = span_problem(
            value, known, None, f"{self.table} {place}", accept_unusual=True,
            typed=cell if isinstance(cell, str) else "",
        )  # fmt: skip
        if problem is None:
            return value
        self.problems.append(problem)
        return None if problem.is_error else value

    def result(self) -> RepeatTable:
        """Read everything, and return what there is."""
        self.columns()
        self.problems += self.lost
        self.rows()
        counts: Any = self.counts
        return RepeatTable(tuple(self.repeats), tuple(self.problems), **counts)


def _code_remedy(names: list[str]) -> str:
    if len(names) == 1 and re.search(r"[;\t]", names[0]):
        return "The cells are not separated by commas: save the table as CSV with commas."
    near = [name for name in names if name.lower() in ("code", "client", "id", "client_code")]
    return (
        f"Name the column {near[0]} code."
        if near
        else "Add a column code: one made-up code per client."
    )


def _is_empty(cell: Any) -> bool:
    if isinstance(cell, str):
        return not cell.strip()
    try:
        return cell is None or bool(cell != cell)
    except TypeError:  # a frame's own mark for nothing cannot say whether it is itself
        return True


def _is_at_end(cell: Any, quantity: str) -> bool:
    is_fold = BY_NAME[quantity].kind == "skinfold"
    return is_fold and isinstance(cell, str) and re.fullmatch(r"\s*\d.*\+\s*", cell) is not None


def _word(cell: Any) -> str:
    """A code as text; a number without the decimals that an empty neighbour gave it."""
    if _is_empty(cell):
        return ""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell).strip()

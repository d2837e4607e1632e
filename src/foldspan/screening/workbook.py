"""Result workbook: the rows with what is said of them, who to refer, the summary, and the problems."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from typing import Any, BinaryIO, Self

import pyarrow as pa
import pyarrow.compute as pc

from foldspan.quantities import BY_NAME
from foldspan.screening.batch import PartResult
from foldspan.screening.collect import ReferralList
from foldspan.screening.referrals import NAMES as REFERRAL_NAMES
from foldspan.screening.result_columns import NAMES, names_of
from foldspan.screening.summary import Screening
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.bands import systems
from foldspan.tables.columns import LABELS, Layout
from foldspan.tables.csv.writer import as_typed
from foldspan.tables.sheets.writer import Workbook, as_values
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.health import BAND_WORDS
from foldspan.text.screen import (
    LOOK_FIRST,
    MEASURE_TITLES,
    SCREENING,
    WHY_NO_RANGE,
    problem_in_short,
)
from foldspan.text.tables.guessing import what_to_call

TITLES = ("Result", "Refer", "Summary", "Problems")
# every problem ends in its code
_EACH = re.compile(r"(?<=\]); ")
# long texts of the list of those to be referred
_LONG = ("reasons", "in_doubt", "what_to_do", "sources")


class ResultWorkbook:
    """The workbook that a screening writes: rows as they come, the other sheets at the end."""

    def __init__(self, out: BinaryIO, layout: Layout, *, with_change: bool = False) -> None:
        self._book = Workbook(out)
        self._numeric = {
            column.place
            for name, some in layout.columns.items()
            if name in BY_NAME
            for column in some
        }
        self._labels = {
            name: layout.columns[name][0].place for name in LABELS if name in layout.columns
        }
        names = names_of(with_change=with_change)
        self._rows = self._book.sheet(TITLES[0], [*layout.names, *names])
        self._problems: list[tuple[int, str, str]] = []
        self._count = 0

    def write(self, worked: PartResult, given: tuple[pa.Array, ...]) -> None:
        """Write the rows of one part."""
        assert worked.answer_columns is not None
        own = worked.given or given
        columns = [
            _values(column, is_number=place in self._numeric) for place, column in enumerate(own)
        ]
        answers = [column.to_pylist() for column in worked.answer_columns.columns]
        self._rows.write(zip(*columns, *answers, strict=True))
        codes = columns[self._labels["code"]] if "code" in self._labels else None
        for row, text in enumerate(answers[NAMES.index("problems")]):
            if text:
                code = "" if codes is None or codes[row] is None else codes[row]
                self._problems.append((self._count + row + 1, code, text))
        self._count += len(answers[0])

    def end(self, screening: Screening, referrals: ReferralList) -> None:
        """Write what came of it: who to refer, the summary, the problems of each row."""
        self._rows.close()
        self._refer(referrals)
        summary = self._book.sheet(TITLES[2], ("what", "which", "rows", "share"), wraps=(0, 1))
        summary.write(summary_rows(screening))
        summary.close()
        problems = self._book.sheet(TITLES[3], ("row", "code", "problem"), wraps=(2,))
        problems.write(
            (row, code, part) for row, code, text in self._problems for part in _EACH.split(text)
        )
        problems.close()

    @property
    def cut(self) -> int:
        """How many texts were too long for a cell."""
        return self._book.cut

    def _refer(self, referrals: ReferralList) -> None:
        wraps = [REFERRAL_NAMES.index(name) for name in _LONG]
        sheet = self._book.sheet(TITLES[1], REFERRAL_NAMES, wraps=wraps)
        sheet.write(
            [int(row), *as_values(rest, is_number=False)] for row, *rest in listed(referrals)
        )
        sheet.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: Any) -> None:
        """End the workbook."""
        self._book.__exit__(*error)


def listed(referrals: ReferralList) -> Iterator[Sequence[str]]:
    """Yield the rows of a list of those to be referred, as texts."""
    with io.BytesIO() as text:
        referrals.write(text)
        text.seek(0)
        reader = csv.reader(io.TextIOWrapper(text, "utf-8", newline=""))
        next(reader)
        yield from ([as_typed(cell) for cell in row] for row in reader)


def _values(column: pa.Array, *, is_number: bool) -> list[Any]:
    """A given column as what its cells mean; "" stands for nothing."""
    if pa.types.is_string(column.type):
        return as_values(column.to_pylist(), is_number=is_number)
    if pa.types.is_floating(column.type) or pa.types.is_integer(column.type):
        return list(column.to_pylist())
    if pa.types.is_timestamp(column.type):
        column = pc.cast(column, pa.date32(), safe=False)
    return [
        cell if isinstance(cell, bool | int | float) or hasattr(cell, "isoformat") else _text(cell)
        for cell in column.to_pylist()
    ]


def _text(cell: object) -> str | None:
    return None if cell is None else str(cell)


def summary_rows(screening: Screening) -> Iterator[tuple[str, str, float | None, float | None]]:
    """Yield the summary as rows of what, which, how many rows, and their share [0 to 1]."""
    rows = screening.rows
    for words in screening.look_first:
        yield LOOK_FIRST, words, None, None
    if screening.held_back:
        yield LOOK_FIRST, screening.held_back, None, None
    yield "Rows", "all", rows, None
    yield "Rows", "with a range", screening.with_range, _share(screening.with_range, rows)
    for key, number in screening.without_range.items():
        yield "Rows", f"no range: {WHY_NO_RANGE[key]}", number, _share(number, rows)
    yield "To refer to a clinician", "all", screening.referred, _share(screening.referred, rows)
    if screening.unit_first:
        yield "To refer to a clinician", screening.unit_first, None, None
    if screening.not_asked_sentence:
        yield "To refer to a clinician", screening.not_asked_sentence, None, None
    yield from _changes(screening)
    for level, flags in screening.flags.items():
        for code, number in flags.items():
            words = f"{RULE_BY_CODE[code].when} ({code})"
            yield f"Flags: {LEVEL_WORDS[level]}", words, number, _share(number, rows)  # type: ignore[index]
    for word, number in screening.verdicts.items():
        yield "Methods", word, number, _share(number, screening.with_range)
    yield from _bands(screening)
    for key, number in screening.problems.items():
        yield "Problems in cells", problem_in_short(key), number, _share(number, rows)
    for words in screening.quality:
        yield "Data quality", words, None, None
    for words in what_to_call(screening.unused):
        yield "Columns not used", words, None, None
    for words in screening.notes:
        yield "How the table was read", words, None, None
    yield "Please note", SCREENING, None, None


def _changes(screening: Screening) -> Iterator[tuple[str, str, float | None, float | None]]:
    """What changed since the earlier table."""
    if screening.change is None:
        return
    for title, words, number, of in screening.change.lines(screening.rows):
        yield title, words, number, _share(number, of)
    for words in screening.change.checks:
        yield LOOK_FIRST, words, None, None


def _bands(screening: Screening) -> Iterator[tuple[str, str, float, float]]:
    method = "dxa" if screening.reference_method == "dxa" else "density"
    for measure, sexes in screening.bands.items():
        standards = " and ".join(systems(measure, method))  # type: ignore[arg-type]
        title = f"{MEASURE_TITLES[measure]}: expected in each category ({standards})"
        for sex, bands in sexes.items():
            for label, share in bands.items():
                yield title, f"{sex}: {BAND_WORDS[label]}", round(share.people, 1), share.share


def _share(rows: int, of: int) -> float:
    return round(rows / max(of, 1), 4)

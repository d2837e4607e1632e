"""Broken CSV files: each ends in a coded problem, or in a result that lost no row.

What a file holds is read here a second time with Python's own ``csv`` and without a line of the reader
under test. Where that reading is strict, rows, their order and every cell are held against the result;
where it is not, every line that is not blank has to be found again in the result, in order.

Every file is read, written and held against its own bytes alone. The equations, where most of the time
would go, answer every tenth file alone and the people of the others many files at once: ``finished``
answers those who still wait. Every eighth file goes through what the browser's pages do, every eighth
has quotation marks of every kind, and its rows are held against Python's reader one by one.
"""

from __future__ import annotations

import copy
import csv
import io
import random
import re
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest

import foldspan
from foldspan.estimation.settings import Settings
from foldspan.problems import FoldspanError
from foldspan.screening import batch
from foldspan.screening.counts import tally_of, unread_in
from foldspan.screening.result_columns import problem_column, text_columns, typed_columns
from foldspan.tables.answers import Answers, answer_rows
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.rows import Cells
from fuzz.cases import Case, check_problems, left_as_they_were
from fuzz.kinds import pages, quotes

ALONE = 10  # one file in so many is answered alone
NAMES = "code,sex,age_years,weight_kg,height_cm,triceps_mm,pregnant,note"
FIRST_OF_OURS = "fat_percent"
# invented; most are under 18, since such a row goes through the reader and not through the equations
ROWS = (
    "K-01,female,{a},71.37,168.43,21.5,no,plain",
    "K-02,male,{a},80.29,181.61,12.5,,",
    'K-03,f,{a},"64.83",159.19,,no,"says ""well"", went home"',
    "K-04,m,{a},157 lb,5 ft 10 in,14,,é ü 測",
    "K-05,female,{a},n/a,171.53,60+,yes,",
    'K-06,male,{a},91.73,,,no,"two\nlines"',
    "K-07,female,{a},1e3,-3,+4,no,=1+1",
    "K-08,F,{a},0068.11,161.57,18.5,0,-",
)
PERSONAL = ("71.37", "168.43", "80.29", "181.61", "64.83", "159.19", "171.53", "91.73", "161.57")
PASTED = (
    b"\x00", b'"', b'""', b"'", b'"\n', b'\n"', b"9" * 60, b"9" * 400, b"1e999", b"-1e-999", b"=1+1",
    b'=HYPERLINK("x")', b"@SUM(A1)", b"+cmd|' /C x'!A0", b"\t=2", b"\xc2\xa0=2", b"\xe9", b"\xff\xfe",
    b"\xc3", b"\xed\xa0\x80", b"\xf0\x9f", b"\xef\xbb\xbf", "＝1".encode(), "\u2028".encode(), b"\x0b",
    b"\x0c", b"\x1c", b"\x85", b"\x81", b"\r", b"\r\n", b"\n\n", b",", b",,,,", b";", b"\t", b"|", b" ",
    b"\\", b"nan", b"inf", "٣".encode(), "½".encode(), b"60+", b"5'10\"", b"x" * 2_000,
)  # fmt: skip
SWAPS = (
    (b",", b";"), (b",", b"\t"), (b",", b"|"), (b"\n", b"\r\n"), (b"\n", b"\r"), (b"\n", b"\n\n"),
    (b"\n", b"\r\r\n"), (b'"', b"'"), (b"'", b'"'), (b".", b","), (b'""', b'"'), (b"e", b"\xe9"),
)  # fmt: skip


def sound(pick: random.Random) -> bytes:
    """A sound file of three to eight rows."""
    age = pick.choice(("17", "17", "17", "41"))
    rows = [row.format(a=age) for row in pick.choices(ROWS, k=pick.randint(3, 8))]
    end = pick.choice(("\n", "\n", "\r\n"))
    text = end.join([NAMES, *rows]) + pick.choice((end, end, ""))
    return (b"\xef\xbb\xbf" if pick.random() < 0.1 else b"") + text.encode()


def mutated(data: bytes, pick: random.Random) -> bytes:
    """One to four mutations; the names of the columns are spared more often than not."""
    for _ in range(pick.choice((1, 1, 2, 2, 3, 4))):
        low = 0 if pick.random() < 0.15 else min(data.find(b"\n") + 1, len(data))
        place = pick.randint(low, len(data))
        end = min(place + pick.choice((1, 1, 3, 10, 40)), len(data))
        kind = pick.randrange(9)
        if kind == 0 and place < len(data):
            data = (
                data[:place] + bytes([data[place] ^ (1 << pick.randrange(8))]) + data[place + 1 :]
            )
        elif kind == 1:
            data = data[:place] + bytes([pick.randrange(256)]) + data[place:]
        elif kind == 2:
            data = data[:place] + data[end:]
        elif kind == 3:
            data = data[:end] + data[place:end] + data[end:]
        elif kind == 4:
            other = pick.randint(low, len(data))
            data = data[:other] + data[place:end] + data[other:]
        elif kind == 5:
            old, new = pick.choice(SWAPS)
            data = data[:low] + data[low:].replace(old, new, pick.choice((1, 2, -1)))
        elif kind == 6:  # all of the file, its first line too
            data = data.replace(*pick.choice(SWAPS))
        else:
            data = data[:place] + pick.choice(PASTED) + data[place:]
    return data


def records(text: str, delimiter: str) -> list[list[str]] | None:
    """Records of a text as Python reads them, None where it cannot strictly."""
    csv.field_size_limit(1 << 30)
    try:
        lines = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        return [line for line in lines if line]
    except csv.Error:
        return None


def same_line_ends(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def as_meant(cell: str) -> str:
    """A cell of bytes: UTF-8, and every byte that is not what a Windows machine of the West wrote."""
    raw, text = cell.encode("latin-1"), ""
    while raw:
        try:
            return text + raw.decode()
        except UnicodeDecodeError as error:
            text += raw[: error.start].decode()
            for byte in raw[error.start : error.end]:
                # five places of that page are empty
                text += bytes([byte]).decode(
                    "latin-1" if byte in b"\x81\x8d\x8f\x90\x9d" else "cp1252"
                )
            raw = raw[error.end :]
    return text


def swallows(cell: str, width: int, delimiter: str) -> bool:
    """Whether a cell of several lines holds a line with as many cells as the table has columns."""
    lines = re.split(r"\r\n|\n|\r", cell)[1:]
    return any(len(next(csv.reader([line], delimiter=delimiter), [])) == width for line in lines)


def goes_on_like_a_row(text: str, width: int, delimiter: str) -> bool:
    """Whether a record of several lines goes on with one that has as many cells as the table.

    The end of one cell of several lines and the beginning of the next may stand on it.
    """
    lines, start = [*io.StringIO(text, newline="")], 0
    reader = csv.reader(lines, delimiter=delimiter)
    for _ in reader:
        if any(
            len(next(csv.reader([line], delimiter=delimiter), [])) == width
            for line in lines[start + 1 : reader.line_num]
        ):
            return True
        start = reader.line_num
    return False


def bare(text: str) -> str:
    """What has to be found again wherever cells begin and end: letters and digits of ASCII."""
    return re.sub(r"[^0-9A-Za-z]", "", text)


def check_error(error: FoldspanError) -> None:
    check_problems(error, PERSONAL)
    for problem in error.problems:
        # a fault of the program would be told as a disk that cannot be written
        assert "written" not in problem.what
        assert "stopped" not in problem.what


def check_result(data: bytes, raw: bytes, rows: int) -> None:
    """Hold a result against a reading of its own."""
    text = raw.decode()
    place = text.index(FIRST_OF_OURS)
    delimiter = text[place - 1]
    assert delimiter in ",;\t|"
    found = records(text, delimiter)
    assert found is not None, "the result itself is no strict CSV"
    head, *body = found
    width = head.index(FIRST_OF_OURS)
    assert [row for row in body if len(row) != len(head)] == []
    assert len(body) == rows
    typed = data.removeprefix(b"\xef\xbb\xbf").decode("latin-1")
    given = records(typed, delimiter)
    if (
        given is None
        or any(swallows(cell, width, delimiter) for row in given for cell in row)
        or goes_on_like_a_row(typed, width, delimiter)
    ):
        return check_text(data, body, width)
    assert len(given) - 1 == rows, "a row was lost, or made of nothing"
    for cells, row in zip(given[1:], body, strict=True):
        here = [same_line_ends(as_meant(cell)) for cell in cells]
        there = [same_line_ends(cell) for cell in row[:width]]
        if len(here) == width:
            assert "E410" not in row[-1]
            assert [cells for cells in zip(here, there, strict=True) if not same(*cells)] == []
        else:
            assert "[E410]" in row[-1]
            assert not any(row[width:-1]) or row[width:-1].count("") > len(row) // 2
            assert bare("".join(here)) == bare("".join(there))


def same(given: str, written: str) -> bool:
    return written in (given, f"'{given}")


def check_text(data: bytes, body: list[list[str]], width: int) -> None:
    """Find every line that is not blank again, in order; the first is the names."""
    written = bare("".join(cell for row in body for cell in row[:width]))
    lines = [
        part for part in re.split(r"[\r\n]+", data.decode("latin-1")) if part.strip("\ufeffï»¿")
    ]
    at = 0
    for line in lines[1:]:
        # cells that are not UTF-8 come as letters of the West, so only ASCII is looked for
        wanted = bare(line)
        place = written.find(wanted, at)
        assert place >= 0, "a line is not found again"
        at = place + len(wanted)


@cache
def _of_nobody(length: int) -> Answers:
    return answer_rows(Cells(length, {}), Settings())


class Together:
    """Stands in for ``answer_rows``: rows read from a file wait, and it goes on with those of nobody."""

    def __init__(self) -> None:
        self.waiting: dict[Any, list[tuple[Cells, Case]]] = {}

    @contextmanager
    def of(self, case: Case) -> Iterator[None]:
        """Have the rows of a case wait."""

        def wait(cells: Cells, settings: Settings) -> Answers:
            units = tuple(
                (name, *(unit for _, unit in some)) for name, some in cells.columns.items()
            )
            kind = (units, cells.rules.decimal_comma)
            self.waiting.setdefault(kind, []).append((cells, case))
            answers = _of_nobody(cells.length)
            return replace(answers, problems=copy.deepcopy(answers.problems))

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(batch, "answer_rows", wait)
            yield

    def answer(self) -> Iterator[tuple[Case, Exception]]:
        """Answer all who wait, those with the same columns at once; yields whose cannot be."""
        waiting, self.waiting = self.waiting, {}
        for some in waiting.values():
            try:
                _answered(joined([cells for cells, _ in some]))
            except Exception as error:
                yield from self.blamed(some, error)

    @staticmethod
    def blamed(
        some: list[tuple[Cells, Case]], error: Exception
    ) -> Iterator[tuple[Case, Exception]]:
        """Whose rows cannot be answered alone; the first, where only all together cannot."""
        alone = []
        for cells, case in some:
            try:
                _answered(cells)
            except Exception as own:
                alone.append((case, own))
        yield from alone or [(some[0][1], error)]


def joined(some: list[Cells]) -> Cells:
    """The rows of several files with the same columns as those of one."""
    columns = {
        name: tuple(
            (pa.concat_arrays([cells.columns[name][place][0] for cells in some]), unit)
            for place, (_, unit) in enumerate(columns)
        )
        for name, columns in some[0].columns.items()
    }
    return Cells(sum(cells.length for cells in some), columns, some[0].rules)


def _answered(cells: Cells) -> int:
    """Answer rows and set the answers as every kind of result has them."""
    answers = answer_rows(cells, Settings())
    texts = text_columns(answers, Dialect(decimal_comma=cells.rules.decimal_comma))
    typed = typed_columns(answers)
    assert {len(column) for column in (*texts, problem_column(answers))} == {cells.length}
    assert len(typed) == cells.length
    assert tally_of(answers, None, unread_in(answers)).rows == cells.length
    return cells.length


_TOGETHER = Together()


def finished() -> Iterator[tuple[Case, Exception]]:
    """Answer those who still wait."""
    yield from _TOGETHER.answer()


def drawn(draw: random.Random, number: int) -> Case:
    """A broken file, one with quotation marks, or one for the pages of the browser."""
    if number % 8 == 7:
        return pages.drawn(draw)
    if number % 8 == 3:
        return Case("quotes_table.csv", quotes.drawn(draw))
    data = sound(draw)
    data = edited(data, draw) if draw.random() < 0.1 else mutated(data, draw)
    return Case("table.csv", data, is_whole=number % ALONE == 0)


def edited(data: bytes, pick: random.Random) -> bytes:
    """One to four places anywhere are pasted over, with bytes that may be anything."""
    for _ in range(pick.randint(1, 4)):
        place = pick.randint(0, len(data))
        any_bytes = pick.randbytes(pick.randrange(7))
        text = "".join(chr(pick.randrange(0xD800)) for _ in range(pick.randrange(7))).encode()
        paste = pick.choice((*PASTED, any_bytes, text, any_bytes, text))
        data = data[:place] + paste + data[place + pick.randint(0, 30) :]
    return data


def tried(case: Case, folder: Path) -> str:
    """Screen a file and check whatever comes of it; tells whether there was a result."""
    form = case.name.partition("_")[0]
    if form == "pages":
        return pages.tried(case, folder)
    if form == "quotes":
        return quotes.tried(case.data)
    table, out = folder / "table.csv", folder / "out.csv"
    table.write_bytes(case.data)
    wait = nullcontext() if case.is_whole else _TOGETHER.of(case)
    with left_as_they_were(folder, new=("out.csv",)):
        try:
            with wait:
                done = foldspan.screen_table(str(table), str(out), workers=1)
            check_result(case.data, out.read_bytes(), done.rows)
        except FoldspanError as error:
            check_error(error)
            assert not out.exists()
            return "refused"
    return "read"

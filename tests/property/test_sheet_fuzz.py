"""Mutated workbooks: an answer or a refusal, never a traceback, a lost or doubled row, or a wrong range.

By hand, two thousand: ``python tests/property/test_sheet_fuzz.py 2000``.
"""

from __future__ import annotations

import csv
import io
import random
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import foldspan
from foldspan.problems import FoldspanError

NAMES = ["code", "sex", "age_years", "weight_kg", "height_cm", "waist_iliac_cm", "pregnant", "note"]
ODD: tuple[Any, ...] = (
    "", " ", "=1+1", "#N/A", "n/a", "71,3", "71.3 kg", "157 lb", "1,234", "1e999", -5, 0, 1e12, True,
    False, "yes", "pregnant", "ﬁ", "\u202e", "x" * 300, 0.27, "5'7\"", "\n", "=SUM(A1:A9)", "2026-13-40",
)  # fmt: skip
NOT_PREGNANT = ("no", "false", "", "none", "n/a", "#n/a", "0")
ROWS = 14


def client(number: int) -> list[Any]:
    """One sound row; every row is recognised by its code and its note."""
    female = number % 2 == 0
    return [f"F-{number:02}", "female" if female else "male", 20 + number, 60.0 + number, 168.0,
            80.0 + number / 2, "no", f"note {number}"]  # fmt: skip


def build(draw: random.Random) -> tuple[bytes, dict[str, bool]]:
    """A workbook with odd cells, lines and looks; by note, whether its row may get a range."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for _ in range(draw.choice((0, 0, 1, 3))):
        sheet.append([draw.choice(("Health day", None, "7 May", 2026))])
    sheet.append(NAMES)
    top = sheet.max_row
    may = {}
    for number in range(ROWS):
        row = client(number)
        if draw.random() < 0.25:
            place = draw.randrange(1, 7)
            row[place] = draw.choice(ODD)
        if draw.random() < 0.1:
            row[6] = draw.choice(("yes", True, "x", "12 weeks", "perhaps"))
        text = str(row[6]).strip().lower()
        may[str(row[7])] = text in ("no", "false", "", "none", "n/a", "#n/a", "0") or row[6] in (
            0,
            False,
        )
        sheet.append(row)
    for _ in range(draw.randrange(3)):
        cell = sheet.cell(top + 1 + draw.randrange(ROWS), 1 + draw.randrange(6))
        cell.number_format = draw.choice(("0%", "0.00", "yyyy-mm-dd", "@", "[h]:mm", '0" kg"'))
    if draw.random() < 0.3:
        sheet.column_dimensions[draw.choice("ABCDEFGH")].hidden = True
    if draw.random() < 0.3:
        sheet.row_dimensions[top + 1 + draw.randrange(ROWS)].hidden = True
    if draw.random() < 0.2:
        book.create_sheet("Second")
    if draw.random() < 0.1:
        sheet.merge_cells(start_row=top + 2, start_column=1, end_row=top + 3, end_column=1)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue(), may


def damaged(data: bytes, draw: random.Random) -> bytes:
    """The same with bytes changed, cut off, or a part of it replaced."""
    kind = draw.randrange(4)
    if kind == 0:
        return data[: draw.randrange(len(data))]
    if kind == 1:
        place = draw.randrange(len(data))
        return data[:place] + bytes([draw.randrange(256)]) + data[place + 1 :]
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as whole,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made,
    ):
        names = whole.namelist()
        hit = draw.choice(names)
        for name in names:
            content = whole.read(name)
            if name == hit and kind == 2:
                continue
            if name == hit:
                place = draw.randrange(len(content) + 1)
                content = (
                    content[:place]
                    + draw.choice((b"<", b"&x;", b"]]>", b'"', b"\x00"))
                    + content[place:]
                )
            made.writestr(name, content)
    return out.getvalue()


def try_one(seed: int, folder: Path) -> str:
    """Screen one mutated workbook; returns what came of it."""
    draw = random.Random(seed)
    data, may = build(draw)
    is_damaged = draw.random() < 0.35
    source, result = folder / "table.xlsx", folder / "out.csv"
    source.write_bytes(damaged(data, draw) if is_damaged else data)
    try:
        foldspan.screen_table(source, result, replace=True)
        problems: tuple[Any, ...] = ()
    except FoldspanError as error:
        problems = tuple(error.problems)
    if problems:
        assert all(problem.code[0] == "E" and problem.advice() for problem in problems)
        assert is_damaged or {problem.code for problem in problems} <= {"E404", "E501"}, problems
        return "refused"
    with result.open(encoding="utf-8", newline="") as file:
        text = file.read()
        rows = list(
            csv.DictReader(io.StringIO(text), delimiter=";" if text[:6] == "code;s" else ",")
        )
    result.unlink()
    if is_damaged:
        return "read all the same"  # what was damaged may have been a cell
    notes = [row["note"] for row in rows if row["note"]]
    assert notes == [f"note {number}" for number in range(ROWS)], "every row once, in its order"
    for row in rows:
        if row["range_80_low"]:
            assert may[row["note"]], f"seed {seed}: a range for somebody who must not get one"
    return "read"


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_mutated_workbooks(first: int, tmp_path: Path) -> None:
    came = [try_one(seed, tmp_path) for seed in range(first, first + 20)]
    assert {"read", "refused"} <= set(came)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        outcomes = [try_one(seed, Path(place)) for seed in range(int(sys.argv[1]))]
    print({outcome: outcomes.count(outcome) for outcome in sorted(set(outcomes))})

"""Cells that a spreadsheet would run: made harmless wherever a CSV is written, and all other text kept.

What counts as dangerous is the list of OWASP, "CSV Injection": a cell that starts with =, +, -, @, a tab
or a carriage return, and the full-width forms of the signs. A plain number is none, whatever white space
stands around it, and neither are bare dashes, the usual mark for "not measured" (our choice, no source).
"""

from __future__ import annotations

import csv
import io
import random
import re
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import foldspan

NAMES = [
    "code",
    "sex",
    "age_years",
    "weight_kg",
    "height_cm",
    "waist_midpoint_cm",
    "symptoms",
    "note",
]
CHEST_PAIN = "chest_pain"
SIGNS = "=+-@\t\r＝＋－＠"
NUMBER = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?\s?%?|-+")
DANGEROUS = (
    "=1+1", "=HYPERLINK(\"http://x\",\"y\")", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1+1", "＝1+1",
    "＋1", "－1+1", "＠SUM(A1)", "=cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0", "+cmd", "-cmd", "@",
    "=", "=\n1", "+", "\t", "=é", "=1;2", "＝", "-a", "+49 170 x", "=\x00", "-3.5.1", "+4-4", "\t5x",
    "-+", "--1",
)  # fmt: skip
NUMBERS = ("-3.5", "+4", "-3", "-.5", "+0.25", "-1e-3", "-3,5", "-12 %", "\t5", "-", "--")
PLAIN = (
    "", "K-01", "a=1", "x+y", "a-b", "me@home", "'quoted'", '"', 'say "hi"', "a,b", "a;b", "a\tb",
    " led",
    "two\nlines", "測定", "é", "'=1", "1-2", "007", "#N/A", "—", "\u2212 5",
)  # fmt: skip


def is_dangerous(cell: str) -> bool:
    return cell.startswith(tuple(SIGNS)) and NUMBER.fullmatch(cell.strip(" \t\r\n")) is None


def read_back(path: Path, delimiter: str = ",") -> list[list[str]]:
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.reader(file, delimiter=delimiter, strict=True))


def rows_of(cells: tuple[str, ...]) -> list[list[str]]:
    """A row a cell, which stands as code and as note; everybody is to be referred."""
    return [[cell, "male", "52", "84.5", "178", "95", CHEST_PAIN, cell] for cell in cells]


def write_csv(path: Path, rows: list[list[str]], delimiter: str = ",", quoting: int = 0) -> None:
    with open(path, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=delimiter, quoting=quoting).writerows(rows)  # type: ignore[arg-type]


def screen(
    folder: Path, table: Path, delimiter: str = ","
) -> tuple[list[list[str]], list[list[str]]]:
    out, listed = folder / "out.csv", folder / "list.csv"
    foldspan.screen_table(str(table), str(out), referrals=str(listed), replace=True)
    return read_back(out, delimiter), read_back(listed)


def check_harmless(*tables: list[list[str]]) -> None:
    assert [cell for table in tables for row in table for cell in row if is_dangerous(cell)] == []


@pytest.mark.parametrize("quoting", [csv.QUOTE_MINIMAL, csv.QUOTE_ALL], ids=["minimal", "all"])
@pytest.mark.parametrize("delimiter", [",", ";"])
def test_no_cell_of_a_csv_starts_a_formula(tmp_path: Path, delimiter: str, quoting: int) -> None:
    table = tmp_path / "table.csv"
    cells = (*DANGEROUS, *NUMBERS, *PLAIN)
    write_csv(table, [NAMES, *rows_of(cells)], delimiter, quoting)
    result, listed = screen(tmp_path, table, delimiter)
    check_harmless(result, listed)
    assert len(result) == len(listed) == len(cells) + 1
    for cell, row in zip(cells, result[1:], strict=True):
        wanted = f"'{cell}" if is_dangerous(cell) else cell
        assert (row[0], row[7]) == (wanted, wanted)
        assert row[NAMES.index("symptoms")] == CHEST_PAIN
    assert [row[1] for row in listed[1:]] == [row[0] for row in result[1:]]


@pytest.mark.parametrize("cell", DANGEROUS)
def test_one_formula_alone_in_a_file_is_found(tmp_path: Path, cell: str) -> None:
    """A quick look over the bytes comes before the closer one: it must miss none of them."""
    table = tmp_path / "table.csv"
    for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_ALL):
        for place in (0, len(NAMES) - 1):
            row = rows_of(("K-01",))[0]
            row[place] = cell
            write_csv(table, [NAMES, row], quoting=quoting)
            result, listed = screen(tmp_path, table)
            check_harmless(result, listed)
            assert result[1][place] == f"'{cell}"


def test_numbers_with_a_sign_stay_numbers(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    write_csv(table, [NAMES, *rows_of(NUMBERS)])
    result, listed = screen(tmp_path, table)
    assert [row[7] for row in result[1:]] == list(NUMBERS)
    assert [row[1] for row in listed[1:]] == list(NUMBERS)


@pytest.mark.parametrize("name", ["=1+1", "@x", "+y", "-z", "＝1", "\ttab"])
def test_no_name_of_a_column_starts_a_formula(tmp_path: Path, name: str) -> None:
    table = tmp_path / "table.csv"
    write_csv(table, [[*NAMES[:-1], name], *rows_of(("K-01",))], quoting=csv.QUOTE_ALL)
    result, listed = screen(tmp_path, table)
    check_harmless(result, listed)
    assert result[0][7].strip("'\t") == name.strip()


RAGGED = (
    b"=1+1,male,52\n", b"K,male,52,84.5,178,95,,a,=1+1\n", b"K,male,52,\xc2\xa0=1+1\n", b"K,\t=1+1\n",
    b"\xe3\x80\x80=1+1,male\n", b'"=1+1"\n', b'K,"\n=1+1"\n', b"K,\x0b=1+1\n", b"K,\x1c=1+1\n",
    b"K, =1\n",
    b"K,\xe2\x80\x83@SUM(A1)\n", b"K,\xef\xbc\x9d1\n", b"K,\x85=1\n", b"K,caf\xe9,=1\n",
)  # fmt: skip


@pytest.mark.parametrize("line", RAGGED)
def test_a_row_with_other_cells_starts_no_formula(tmp_path: Path, line: bytes) -> None:
    """Its cells are taken apart another way, white space around them perhaps taken off."""
    table = tmp_path / "table.csv"
    good = b"K-01,male,52,84.5,178,95,,plain\n"
    table.write_bytes(",".join(NAMES).encode() + b"\n" + good + line + good)
    result, listed = screen(tmp_path, table)
    check_harmless(result, listed)
    assert len(result) == 4
    assert "[E410]" in result[2][-1]


def test_a_parquet_table_is_made_harmless_in_csv_and_left_alone_in_parquet(tmp_path: Path) -> None:
    cells = [text.replace("\x00", "") for text in (*DANGEROUS, *NUMBERS, *PLAIN)]
    columns = dict(zip(NAMES, map(list, zip(*rows_of(tuple(cells)), strict=True)), strict=True))
    columns["dictionary"] = pa.array(cells).dictionary_encode()
    columns["bytes"] = pa.array([cell.encode() for cell in cells])
    columns["list"] = pa.array([[-1.0, 2.0]] * len(cells))
    table = tmp_path / "table.parquet"
    pq.write_table(pa.table(columns), table)
    result, listed = screen(tmp_path, table)
    check_harmless(result, listed)
    wanted = [f"'{cell}" if is_dangerous(cell) else cell for cell in cells]
    for place in (0, 7, 8, 9):
        assert [row[place] for row in result[1:]] == wanted
    foldspan.screen_table(str(table), str(tmp_path / "out.parquet"))
    kept = pq.read_table(tmp_path / "out.parquet")
    for name in columns:
        assert kept.column(name).to_pylist() == pq.read_table(table).column(name).to_pylist()


def test_parts_list_is_made_harmless(tmp_path: Path) -> None:
    """The list of a folder names parts, whose names a stranger may have chosen."""
    folder = tmp_path / "parts"
    folder.mkdir()
    columns = dict(zip(NAMES, map(list, zip(*rows_of(DANGEROUS), strict=True)), strict=True))
    pq.write_table(pa.table(columns), folder / "=1+1.parquet")
    listed = tmp_path / "list.csv"
    foldspan.screen_table(str(folder), str(tmp_path / "done"), referrals=str(listed))
    found = read_back(listed)
    check_harmless(found)
    assert len(found) == len(DANGEROUS) + 1
    assert {row[0] for row in found[1:]} == {"'=1+1.parquet"}


def test_any_cells_come_back_as_given(tmp_path: Path) -> None:
    """Seeded cells of awkward characters, through the reader and the writer and Python's own reader."""
    pick = random.Random("cells")
    letters = [*"ab1.,;\"'\n\t =+-@＝é測\u00a0\u2028", "\r\n"]
    cells = ["".join(pick.choices(letters, k=pick.randint(0, 7))) for _ in range(3_000)]
    table, buffer = tmp_path / "table.csv", io.StringIO(newline="")
    csv.writer(buffer, quoting=csv.QUOTE_ALL).writerows([NAMES, *rows_of(tuple(cells))])
    table.write_bytes(buffer.getvalue().encode())
    result, listed = screen(tmp_path, table)
    check_harmless(result, listed)
    changed = []
    for cell, row in zip(cells, result[1:], strict=True):
        if row[7] != cell:
            changed.append(cell)
            assert row[7] == f"'{cell}"
            # white space first, then a sign: some programs trim before they look
            assert re.match(rf"\s*[{re.escape(SIGNS)}]", cell)
    assert any(is_dangerous(cell) for cell in changed)

"""Spreadsheets in and out of ``foldspan screen``, read again by another library."""

from __future__ import annotations

import csv
import datetime
import os
import re
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.screening.result_columns import NAMES
from foldspan.tables.sheets import writer
from screen_desk import Run

CLINIC = Path(__file__).parents[2] / "examples" / "clinic_day.csv"
CODE = re.compile(r"\[[EW]\d{3}\]")
SHEETS = ["Result", "Refer", "Summary", "Problems"]


def as_workbook(place: Path, rows: list[list[Any]]) -> Path:
    """Write rows as somebody would have typed them into a sheet."""
    made = openpyxl.Workbook()
    sheet = made.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    made.save(place)
    return place


def clinic() -> list[list[str]]:
    with CLINIC.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.reader(file) if len(row) == 26]


def typed(rows: list[list[str]]) -> list[list[Any]]:
    """Texts of a file as cells of a sheet: numbers where they are numbers."""

    def cell(text: str) -> Any:
        try:
            return float(text)
        except ValueError:
            return text or None

    return [rows[0], *([row[0], *map(cell, row[1:])] for row in rows[1:])]


def read_again(place: Path) -> dict[str, list[list[Any]]]:
    book = openpyxl.load_workbook(place)
    return {sheet.title: [[c.value for c in row] for row in sheet.iter_rows()] for sheet in book}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, dict[str, Any]]:
    """The clinic's day as a sheet, screened to a workbook and, from its CSV, to a CSV."""
    folder = tmp_path_factory.mktemp("day")
    rows = [row for row in clinic() if not any(cell.startswith("=") for cell in row)]
    with (folder / "day.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    source = as_workbook(folder / "day.xlsx", typed(rows))
    book = foldspan.screen_table(source, folder / "out.xlsx")
    plain = foldspan.screen_table(
        folder / "day.csv", folder / "out.csv", referrals=str(folder / "refer.csv")
    )
    assert book.to_dict()["flags"] == plain.to_dict()["flags"]
    return folder / "out.xlsx", folder / "out.csv", read_again(folder / "out.xlsx")


def test_a_sheet_says_what_the_same_rows_say_as_csv(made: Any) -> None:
    _, plain, sheets = made
    with plain.open(encoding="utf-8", newline="") as file:
        names, *rows = csv.reader(file)
    assert list(sheets) == SHEETS
    head, *found = sheets["Result"]
    assert head == names
    assert len(found) == len(rows)
    for ours, theirs in zip(found, rows, strict=True):
        for name, cell, text in zip(names, ours, theirs, strict=True):
            if isinstance(cell, int | float):
                assert float(cell) == float(text), name
            elif isinstance(cell, datetime.datetime):
                assert cell.date().isoformat() == text, name
            else:
                assert (cell or "") == text, name


def test_numbers_are_numbers_and_days_are_days(made: Any) -> None:
    _, _, sheets = made
    head, *rows = sheets["Result"]
    for name in ("weight_kg", "fat_percent", "age_years", "triceps_mm_1"):
        values = [row[head.index(name)] for row in rows]
        numbers = [value for value in values if isinstance(value, int | float)]
        assert len(numbers) > 0.9 * len([value for value in values if value is not None]), name
    days = [row[head.index("date")] for row in rows]
    assert all(isinstance(day, datetime.datetime) for day in days if day is not None)


def test_the_list_of_those_to_refer_is_that_of_the_csv(made: Any) -> None:
    _, plain, sheets = made
    with (plain.parent / "refer.csv").open(encoding="utf-8", newline="") as file:
        names, *rows = csv.reader(file)
    head, *found = sheets["Refer"]
    assert head == names
    place = names.index("reasons")
    assert [(str(row[0]), row[place]) for row in found] == [(row[0], row[place]) for row in rows]


def test_the_problems_are_listed_by_row_each_with_its_code(made: Any) -> None:
    _, _, sheets = made
    head, *rows = sheets["Result"]
    _, *problems = sheets["Problems"]
    with_problem = [(number, row[head.index("problems")]) for number, row in enumerate(rows, 1)]
    assert sum(len(CODE.findall(text)) for _, text in with_problem if text) == len(problems)
    assert all(text.endswith("]") for *_, text in problems)
    assert {row for row, *_ in problems} == {number for number, text in with_problem if text}


def test_the_look_of_the_sheets(made: Any) -> None:
    place, _, _ = made
    book = openpyxl.load_workbook(place)
    for sheet in book:
        assert sheet.freeze_panes == "A2"
        assert all(
            sheet.column_dimensions[letter].width >= writer.NARROWEST for letter in ("A", "B", "C")
        )
    assert place.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("text", ["=1+1", "@SUM(A1)", "+1+1", "-2+3", '=HYPERLINK("http://x")'])
def test_nothing_that_was_typed_becomes_a_formula(tmp_path: Path, text: str) -> None:
    head = ["code", "sex", "age_years", "weight_kg", "height_cm", "symptoms", "note"]
    (tmp_path / "day.csv").write_text("", encoding="utf-8")
    with (tmp_path / "day.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, [text, "female", "41", "71.3", "168", "fainting", text]])
    foldspan.screen_table(tmp_path / "day.csv", tmp_path / "out.xlsx")
    with zipfile.ZipFile(tmp_path / "out.xlsx") as archive:
        assert not any(
            b"<f" in archive.read(name) for name in archive.namelist() if "sheet" in name
        )
    sheets = read_again(tmp_path / "out.xlsx")
    assert [sheets["Result"][1][0], sheets["Result"][1][6]] == [text, text]
    assert sheets["Refer"][1][1] == text


def test_a_text_too_long_for_a_cell_is_cut_and_told(run: Run, tmp_path: Path) -> None:
    head = "code,sex,age_years,weight_kg,height_cm,note\n"
    (tmp_path / "day.csv").write_text(f"{head}A,female,41,71.3,168,{'x' * 40_000}\n", "utf-8")
    code, _, err = run("screen", str(tmp_path / "day.csv"), "-o", str(tmp_path / "out.xlsx"))
    assert code == 0, err
    cut_note = "1 row: text too long for a spreadsheet cell was cut short."
    assert cut_note in " ".join(err.split())
    note = read_again(tmp_path / "out.xlsx")["Result"][1][5]
    assert len(note) == writer.LONGEST_TEXT
    assert note.endswith(writer.CUT)


def test_more_rows_than_a_sheet_holds_leave_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer, "MOST_ROWS", 3)
    rows = ["sex,age_years,weight_kg,height_cm", *3 * ["female,41,71.3,168"]]
    (tmp_path / "day.csv").write_text("\n".join(rows), encoding="utf-8")
    with pytest.raises(FoldspanError, match=r"\.csv or \.parquet"):
        foldspan.screen_table(tmp_path / "day.csv", tmp_path / "out.xlsx")
    assert [place.name for place in tmp_path.iterdir()] == ["day.csv"]


def test_rows_that_wait_lie_in_a_folder_of_the_owner_and_go_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    waiting = tmp_path / "waiting"
    waiting.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(waiting))
    ended = subprocess.run(
        [sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True
    )
    left = waiting / f"foldspan-{int(ended.stdout)}-abc"
    left.mkdir()
    (left / "rows").write_text("of a process that was ended")
    with (tmp_path / "out.xlsx").open("wb") as out, writer.Workbook(out) as book:
        assert not left.exists()
        (folder,) = waiting.iterdir()
        assert folder.stat().st_mode & 0o777 == 0o700
        assert folder.name.startswith(f"foldspan-{os.getpid()}-")
        book.sheet("One", ("a",)).close()
    assert list(waiting.iterdir()) == []


@pytest.mark.parametrize("command", ["calibrate", "precision"])
def test_calibrate_and_precision_read_sheets_too(run: Run, tmp_path: Path, command: str) -> None:
    if command == "calibrate":
        head = [
            "sex",
            "age_years",
            "weight_kg",
            "height_cm",
            "reference_fat_percent",
            "reference_method",
        ]
        body = [["female", 30 + n % 9, 60.0 + n, 165.0, 27.0 + n / 4, "dxa"] for n in range(40)]
    else:
        head = ["code", "tester", "triceps_mm_1", "triceps_mm_2"]
        body = [[f"K-{n}", "T-1", 10.0 + n, 10.5 + n] for n in range(12)]
    as_workbook(tmp_path / "a.xlsx", [["A title"], head, *body])
    with (tmp_path / "a.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *body])
    code, sheet, err = run(command, str(tmp_path / "a.xlsx"), "--json")
    assert code == 0, err
    assert "Column names read from row 2" in err
    assert sheet == run(command, str(tmp_path / "a.csv"), "--json")[1]
    code, _, err = run(command, str(tmp_path / "a.csv"), "--sheet", "A")
    assert (code, "E501" in err) == (2, True)


def test_every_result_name_has_a_column(made: Any) -> None:
    assert made[2]["Result"][0][-len(NAMES) :] == list(NAMES)

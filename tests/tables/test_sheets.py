"""Sheets of workbooks as tables: what is read, what is told, and what is asked back."""

from __future__ import annotations

import datetime
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from odf import style, table, text
from odf.opendocument import OpenDocumentSpreadsheet

from foldspan.problems import FoldspanError
from foldspan.tables.sheets.source import SheetSource
from foldspan.text.tables.sheets import sheet_sentence

NAMES = ["code", "sex", "age_years", "weight_kg", "height_cm"]
ROWS = [["007", "female", 41, 71.3, 168.2], ["K-2", "male", 35.5, 80.0, 178]]
Build = Callable[[openpyxl.Workbook, Any], None]


@pytest.fixture
def book(tmp_path: Path) -> Callable[..., str]:
    """A workbook of these rows, changed by a function before it is saved."""

    def build(rows: Sequence[Sequence[Any]], change: Build | None = None) -> str:
        made = openpyxl.Workbook()
        sheet = made.active
        assert sheet is not None
        for row in rows:
            sheet.append(list(row))
        if change is not None:
            change(made, sheet)
        place = tmp_path / "day.xlsx"
        made.save(place)
        return str(place)

    return build


def read(path: str, sheet: str = "") -> tuple[list[dict[str, Any]], list[str]]:
    source = SheetSource(path, sheet)
    rows = [row for batch in source.batches() for row in batch.to_pylist()]
    assert len(rows) == source.rows
    return rows, list(map(sheet_sentence, source.notes))


def refusal(path: str, sheet: str = "") -> tuple[str, str]:
    with pytest.raises(FoldspanError) as caught:
        SheetSource(path, sheet)
    (problem,) = caught.value.problems
    return problem.code, problem.sentence()


def test_numbers_texts_days_and_answers_come_as_they_are(book: Callable[..., str]) -> None:
    moment = datetime.datetime(2026, 3, 4, 10, 30)
    rows = [
        [*NAMES, "date", "pregnant", "note"],
        [*ROWS[0], moment, False, "="],
        [*ROWS[1], datetime.date(2026, 3, 5), None, 12],
    ]
    found, notes = read(book(rows))
    assert notes == []
    assert found == [
        {"code": "007", "sex": "female", "age_years": 41.0, "weight_kg": 71.3, "height_cm": 168.2,
         "date": "2026-03-04", "pregnant": "false", "note": "="},
        {"code": "K-2", "sex": "male", "age_years": 35.5, "weight_kg": 80.0, "height_cm": 178.0,
         "date": "2026-03-05", "pregnant": None, "note": "12"},
    ]  # fmt: skip


def test_lines_above_the_names_are_told_and_left_out(book: Callable[..., str]) -> None:
    title: list[list[Any]] = [["Health day, hall 2"], [], ["printed", datetime.date(2026, 3, 4)]]

    def merged(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet.merge_cells("A1:E1")

    found, notes = read(book([*title, NAMES, *ROWS], merged))
    assert [row["code"] for row in found] == ["007", "K-2"]
    assert notes == ["Column names read from row 4; nothing above that row was used."]


def test_names_of_a_form_are_found_below_a_title(book: Callable[..., str]) -> None:
    names = ["Mitarbeiter", "Geschlecht", "Alter", "Gewicht (kg)", "Größe (cm)"]
    found, _ = read(book([["Gesundheitstag"], names, *ROWS]))
    assert list(found[0]) == names


def test_names_in_merged_cells_are_asked_back(book: Callable[..., str]) -> None:
    groups = ["code", "sex", "age_years", "Skinfolds (mm)", None]
    names = [None, None, None, "triceps", "biceps"]

    def merged(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet.merge_cells("D1:E1")

    code, said = refusal(book([groups, names, *ROWS], merged))
    assert code == "E404"
    assert "D1:E1" in said
    assert "one name above each column" in said


def test_a_row_of_units_is_asked_back(book: Callable[..., str]) -> None:
    code, said = refusal(
        book([["code", "sex", "age", "weight", "height"], ["", "", "years", "kg", "cm"]])
    )
    assert code == "E404"
    assert "row 2" in said


def test_one_of_several_sheets_is_asked_for_by_name(book: Callable[..., str]) -> None:
    def second(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet.title = "Spring"
        made.create_sheet("Autumn 2025").append(NAMES)
        made.create_sheet("Empty")

    path = book([NAMES, *ROWS], second)
    code, said = refusal(path)
    assert code == "E501"
    assert "Spring, Autumn 2025" in said
    assert '--sheet "Spring"' in said
    found, notes = read(path, "spring")
    assert len(found) == 2
    assert notes == ["Sheet read: Spring."]
    code, said = refusal(path, "Winter")
    assert code == "E501"
    assert "Spring, Autumn 2025, Empty" in said


def test_a_hidden_sheet_is_no_other_choice(book: Callable[..., str]) -> None:
    def hidden(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet.title = "Day"
        lists = made.create_sheet("Lists")
        lists.append(["yes", "no"])
        lists.sheet_state = "hidden"

    assert read(book([NAMES, *ROWS], hidden))[1] == ["Sheet read: Day."]


def test_what_is_hidden_is_read_and_named(book: Callable[..., str]) -> None:
    def hidden(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet.column_dimensions["D"].hidden = True
        sheet.row_dimensions[3].hidden = True

    found, notes = read(book([NAMES, *ROWS], hidden))
    assert [row["weight_kg"] for row in found] == [71.3, 80.0]
    assert notes == [
        "Hidden in the sheet, but read: weight_kg.",
        "Hidden in the sheet, by hand or by a filter, but read: 1 row.",
    ]


@pytest.mark.parametrize("form", ["0%", "0.0 %", '0.0"of fat"%'])
def test_percent_cells_are_read_as_percent(book: Callable[..., str], form: str) -> None:
    def percent(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet["F2"], sheet["F3"], sheet["F4"] = 0.273, 31.2, "29,1 %"
        sheet["F2"].number_format = form
        sheet["F3"].number_format = '0.0"%"'  # shows the sign, and holds the percent itself

    found, notes = read(book([[*NAMES, "reference_fat_percent"], *ROWS, ROWS[1]], percent))
    assert [row["reference_fat_percent"] for row in found] == ["27.3", "31.2", "29,1 %"]
    assert "Percentages, read as percent (27% as 27): reference_fat_percent." in notes


def test_errors_and_formulas_without_a_result_are_told(book: Callable[..., str]) -> None:
    def formulas(made: openpyxl.Workbook, sheet: Any) -> None:
        sheet["D2"], sheet["E3"] = "=70+1", "#DIV/0!"

    found, notes = read(book([NAMES, *ROWS], formulas))
    assert found[0]["weight_kg"] == "=?"
    assert found[1]["height_cm"] == "#DIV/0!"
    assert notes == [
        "Formulas that show an error or have no saved result: 2 rows. These cells were not used;"
        " open the workbook, correct them and save it."
    ]


def test_numbers_as_text_with_a_decimal_comma(book: Callable[..., str]) -> None:
    rows = [NAMES, ["A", "female", "41", "71,3", "168,2"], ["B", "male", 35, 80.5, "178"]]
    source = SheetSource(book(rows))
    assert source.dialect.decimal_comma
    assert read(source.where)[1] == ["Numbers typed as text were read with a decimal comma."]
    mixed = [NAMES, ["A", "female", "41", "71,3", "168.2"]]
    assert not SheetSource(book(mixed)).dialect.decimal_comma


def test_columns_without_a_name_are_named_by_their_letters(book: Callable[..., str]) -> None:
    rows = [[*NAMES, None, None], [*ROWS[0], "x", None], [*ROWS[1], None, None], [None] * 7]
    found, notes = read(book(rows))
    assert len(found) == 2
    assert list(found[0]) == [*NAMES, "column F"]
    assert notes == ["Not used, because the column has values but no name: F."]


def test_an_empty_row_between_clients_keeps_its_number(book: Callable[..., str]) -> None:
    found, _ = read(book([NAMES, ROWS[0], [None] * 5, ROWS[1]]))
    assert [row["code"] for row in found] == ["007", None, "K-2"]


def test_an_open_document_sheet_says_the_same(tmp_path: Path) -> None:
    made = OpenDocumentSpreadsheet()
    sheet = table.Table(name="Day")
    sheet.addElement(table.TableColumn(numbercolumnsrepeated=3))
    sheet.addElement(table.TableColumn(visibility="collapse"))
    sheet.addElement(table.TableColumn(numbercolumnsrepeated=2))
    cells: list[list[tuple[str, Any]]] = [
        [("string", name) for name in (*NAMES, "reference_fat_percent")],
        [("string", "007"), ("string", "female"), ("float", 41), ("float", 71.3), ("float", 168.2),
         ("percentage", 0.273)],
        [("string", "K-2"), ("string", "male"), ("date", "1990-05-01"), ("float", 80), ("float", 178),
         ("formula", "of:=1+1")],
    ]  # fmt: skip
    for row in cells:
        line = table.TableRow()
        for kind, value in row:
            if kind == "string":
                cell = table.TableCell(valuetype=kind)
                cell.addElement(text.P(text=value))
            elif kind == "date":
                cell = table.TableCell(valuetype=kind, datevalue=value)
            elif kind == "formula":
                cell = table.TableCell(formula=value)
            else:
                cell = table.TableCell(valuetype=kind, value=value)
            line.addElement(cell)
        sheet.addElement(line)
    made.spreadsheet.addElement(sheet)
    made.styles.addElement(style.Style(name="plain", family="table-cell"))
    path = str(tmp_path / "day.ods")
    made.save(path)
    found, notes = read(path)
    assert found[0] == {
        "code": "007", "sex": "female", "age_years": "41", "weight_kg": 71.3, "height_cm": 168.2,
        "reference_fat_percent": "27.3",
    }  # fmt: skip
    assert (found[1]["age_years"], found[1]["reference_fat_percent"]) == ("1990-05-01", "=?")
    assert notes == [
        "Hidden in the sheet, but read: weight_kg.",
        "Percentages, read as percent (27% as 27): reference_fat_percent.",
        "Formulas that show an error or have no saved result: 1 row. These cells were not used;"
        " open the workbook, correct them and save it.",
    ]


@pytest.mark.parametrize(
    ("content", "code", "words"),
    [
        (b"", "E306", "empty"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "E304", "password"),
        (b"code,sex\n1,f\n", "E304", "not a workbook"),
        (b"PK\x03\x04 and then nothing of the kind", "E303", "damaged"),
    ],
)
def test_what_is_no_workbook_is_told(tmp_path: Path, content: bytes, code: str, words: str) -> None:
    place = tmp_path / "day.xlsx"
    place.write_bytes(content)
    found, said = refusal(str(place))
    assert (found, words in said) == (code, True)


def test_what_would_unpack_to_more_than_it_may_is_not_unpacked(
    tmp_path: Path, book: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("foldspan.tables.sheets.container.LARGEST_UNPACKED", 100_000)
    path = book([NAMES, *ROWS])
    assert len(read(path)[0]) == 2
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet9.xml", b"0" * 200_000)
    code, said = refusal(path)
    assert code == "E304"
    assert "unpacks" in said


def test_a_part_that_is_missing_is_damage(book: Callable[..., str], tmp_path: Path) -> None:
    path = book([NAMES, *ROWS])
    for lost in ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml"):
        other = tmp_path / "other.xlsx"
        with zipfile.ZipFile(path) as whole, zipfile.ZipFile(other, "w") as cut:
            for member in whole.infolist():
                if member.filename != lost:
                    cut.writestr(member, whole.read(member))
        if lost == "xl/styles.xml":  # nothing is lost with it but the look
            assert len(read(str(other))[0]) == 2
        else:
            assert refusal(str(other))[0] == "E303"

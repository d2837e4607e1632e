"""Mutated workbooks: an answer or a refusal, never a lost or doubled row, or a wrong range."""

from __future__ import annotations

import csv
import io
import random
import re
import zipfile
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import openpyxl

import foldspan
from foldspan.problems import FoldspanError
from fuzz.cases import Case, check_problems, left_as_they_were
from fuzz.odd import mutated_text

NAMES = ["code", "sex", "age_years", "weight_kg", "height_cm", "waist_iliac_cm", "pregnant", "note"]
ODD: tuple[Any, ...] = (
    "", " ", "=1+1", "#N/A", "n/a", "71,3", "71.3 kg", "157 lb", "1,234", "1e999", -5, 0, 1e12, True,
    False, "yes", "pregnant", "ﬁ", "\u202e", "x" * 300, 0.27, "5'7\"", "\n", "=SUM(A1:A9)", "2026-13-40",
)  # fmt: skip
NOT_PREGNANT = ("no", "false", "", "none", "n/a", "#n/a", "0")
ROWS = 14
TIMED = (
    ("date", "2026-03-04"), ("date", "2026-13-40"), ("date", "99999-01-01"), ("date", "x"),
    ("time", "PT12H30M00S"), ("time", "PT9999999999999H"), ("time", "-PT1H"), ("time", "x"),
)  # fmt: skip
MADE = b"2026-03-04T10:15:30Z"
OPENDOCUMENT = "application/vnd.oasis.opendocument.spreadsheet"
SPACES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for name in ("office", "table", "text")
)


def client(number: int) -> list[Any]:
    """One sound row; every row is recognised by its code and its note."""
    female = number % 2 == 0
    return [f"F-{number:02}", "female" if female else "male", 20 + number, 60.0 + number, 168.0,
            80.0 + number / 2, "no", f"note {number}"]  # fmt: skip


def people(draw: random.Random) -> tuple[list[list[Any]], dict[str, bool]]:
    """Lines of a sheet, some cells odd; by note, whether its row may get a range."""
    title = [
        [draw.choice(("Health day", None, "7 May", 2026))] for _ in range(draw.choice((0, 0, 1, 3)))
    ]
    rows, may = [], {}
    for number in range(ROWS):
        row = client(number)
        if draw.random() < 0.25:
            place = draw.randrange(1, 7)
            row[place] = draw.choice(ODD)
        if draw.random() < 0.1:
            row[6] = draw.choice(("yes", True, "x", "12 weeks", "perhaps"))
        said = str(row[6]).strip().lower()
        may[str(row[7])] = said in NOT_PREGNANT or row[6] in (0, False)
        rows.append(row)
    return [*title, [*NAMES], *rows], may


def as_workbook(draw: random.Random, rows: list[list[Any]]) -> bytes:
    """An .xlsx file with odd looks: formats, hidden rows and columns, merged cells, a second sheet."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    top = len(rows) - ROWS
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
    with zipfile.ZipFile(out) as whole:
        parts = {name: whole.read(name) for name in whole.namelist()}
    # the day of today is written into it: the same case would be other bytes tomorrow
    parts["docProps/core.xml"] = re.sub(
        rb">[0-9TZ:-]{20}<", b">" + MADE + b"<", parts["docProps/core.xml"]
    )
    return zipped(parts)


def as_opendocument(draw: random.Random, rows: list[list[Any]]) -> bytes:
    """An .ods file: cells typed as such a program types them, runs of the same row or cell counted."""
    lines = []
    for row in rows:
        cells = "".join(_cell(draw, value) for value in row)
        hidden = ' table:visibility="collapse"' if draw.random() < 0.02 else ""
        lines.append(f"<table:table-row{hidden}>{cells}</table:table-row>")
    if draw.random() < 0.3:
        lines.append(
            '<table:table-row table:number-rows-repeated="1048000"><table:table-cell/></table:table-row>'
        )
    tables = f'<table:table table:name="Day">{"".join(lines)}</table:table>'
    if draw.random() < 0.2:
        row = "<table:table-row><table:table-cell/></table:table-row>"
        tables += f'<table:table table:name="Second">{row}</table:table>'
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {SPACES} office:version="1.2">'
        f"<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    manifest = (
        '<?xml version="1.0"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:'
        'manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="'
        f'{OPENDOCUMENT}"/></manifest:manifest>'
    )
    parts = {"mimetype": OPENDOCUMENT, "content.xml": content, "META-INF/manifest.xml": manifest}
    return zipped({name: text.encode() for name, text in parts.items()})


def _cell(draw: random.Random, value: Any) -> str:
    """A cell of an .ods file; a number is a day or a time now and then, of no calendar too."""
    if value is None:
        return "<table:table-cell/>"
    if isinstance(value, bool):
        kind = f'office:value-type="boolean" office:boolean-value="{str(value).lower()}"'
        shown = str(value).upper()
    elif isinstance(value, int | float) and draw.random() < 0.01:
        name, odd = draw.choice(TIMED)
        kind, shown = f'office:value-type="{name}" office:{name}-value="{odd}"', "5"
    elif isinstance(value, int | float):
        as_percent = draw.random() < 0.03
        kind = (
            f'office:value-type="{"percentage" if as_percent else "float"}" office:value="{value}"'
        )
        shown = f"{value:g}"
    else:
        kind, shown = 'office:value-type="string"', escape(value)
    inner = f"<text:p>{shown}</text:p>"
    if draw.random() < 0.02:
        note = f"<text:p>{draw.choice(('see phone', '71.37'))}</text:p>"
        inner += f"<office:annotation>{note}</office:annotation>"
    return f"<table:table-cell {kind}>{inner}</table:table-cell>"


def zipped(parts: dict[str, bytes]) -> bytes:
    """The parts of a workbook as its file, the same bytes each time."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in parts.items():
            made.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def damaged(data: bytes, draw: random.Random) -> bytes:
    """The same with bytes changed, cut off, or a part of it replaced."""
    kind = draw.randrange(6)
    if kind == 0:
        return data[: draw.randrange(len(data))]
    if kind == 1:
        place = draw.randrange(len(data))
        return data[:place] + bytes([draw.randrange(256)]) + data[place + 1 :]
    with zipfile.ZipFile(io.BytesIO(data)) as whole:
        parts = {name: whole.read(name) for name in whole.namelist()}
    hit = draw.choice([*parts])
    content = parts.pop(hit) if kind == 2 else parts[hit]
    if kind == 3:
        place = draw.randrange(len(content) + 1)
        pasted = draw.choice((b"<", b"&x;", b"]]>", b'"', b"\x00"))
        parts[hit] = content[:place] + pasted + content[place:]
    elif kind == 4:  # a number in it becomes another: a place, a count, a style, a value
        found = [*re.finditer(rb"\d+", content)]
        hit_at = draw.choice(found) if found else None
        if hit_at is not None:
            number = draw.choice(
                (b"0", b"-1", b"7", b"1048577", b"99999999", b"1e9", b"9" * 25, b"")
            )
            parts[hit] = content[: hit_at.start()] + number + content[hit_at.end() :]
    elif kind == 5:
        parts[hit] = mutated_text(draw, content)
    return zipped(parts)


def drawn(draw: random.Random, number: int) -> Case:
    """A workbook, every third an .ods one, damaged now and then; and who may get a range in it."""
    rows, may = people(draw)
    as_ods = number % 3 == 2
    data = as_opendocument(draw, rows) if as_ods else as_workbook(draw, rows)
    is_damaged = draw.random() < 0.35
    data = damaged(data, draw) if is_damaged else data
    known = {"is_damaged": is_damaged, "may": may}
    return Case("table.ods" if as_ods else "table.xlsx", data, known)


def tried(case: Case, folder: Path) -> str:
    """Screen one workbook; returns what came of it."""
    source, result = folder / case.name, folder / "out.csv"
    source.write_bytes(case.data)
    is_damaged = case.known.get("is_damaged", True)
    with left_as_they_were(folder, new=("out.csv",)):
        try:
            foldspan.screen_table(source, result)
        except FoldspanError as error:
            assert not result.exists()
            check_problems(error)
            codes = {problem.code for problem in error.problems}
            assert is_damaged or codes <= {"E404", "E501"}, codes
            return "refused"
    with result.open(encoding="utf-8", newline="") as file:
        text = file.read()
        rows = list(
            csv.DictReader(io.StringIO(text), delimiter=";" if text[:6] == "code;s" else ",")
        )
    if is_damaged:
        return "read"  # what was damaged may have been a cell
    notes = [row["note"] for row in rows if row["note"]]
    assert notes == [f"note {number}" for number in range(ROWS)], "every row once, in its order"
    for row in rows:
        if row["range_80_low"]:
            assert case.known["may"][row["note"]], "a range for somebody who must not get one"
    return "read"

"""Cells of a screened table: read as they were meant, given back as they were written.

What is asserted is what docs/screening.md says of the table that goes in and of the columns that come
out; limits without a source beside them are ours.
"""

from __future__ import annotations

import codecs
import csv
import gzip
import io
import json
import os
import stat
from pathlib import Path

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.files.output import private_file
from foldspan.tables.cells import MISSING_WORDS, TextRules, numbers_of
from foldspan.tables.csv import blocks
from foldspan.tables.csv.writer import all_hundredths, hundredths
from screen_desk import ANNA, BERT, HEAD, Desk, Run, check_good, read_back
from screen_people import TABLE, write

# --- blocks --------------------------------------------------------------------------------------

NOTES = [
    "plain",
    "two\nlines",
    'a "word",\n\nand more',
    "three\n\nlong\nlines, each with words",
    "",
]


def quoted_table(rows: int) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    for number in range(rows):
        writer.writerow([f"Q{number}", "female", 41, 60 + number, 168, NOTES[number % len(NOTES)]])
    return HEAD + text.getvalue().encode()


@pytest.mark.parametrize("block", [97, 128, 150, 211, 256])
def test_a_cell_with_line_breaks_is_never_cut(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, block: int
) -> None:
    """Read in pieces, whose ends fall into quoted cells: the rows are those of one go."""
    data = quoted_table(20)
    _, whole = desk.screen(data)
    assert [row["note"] for row in whole] == NOTES * 4
    desk.out.unlink()
    # both, for what is looked at first is a piece as well
    monkeypatch.setattr(blocks, "SAMPLE", block)
    monkeypatch.setattr(blocks, "BLOCK", block)
    _, rows = desk.screen(data)
    assert rows == whole


def test_pieces_end_with_a_row(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every piece can be read by itself: it holds whole rows, and together they are the table."""
    data = quoted_table(20)
    for size in range(80, 260, 9):
        monkeypatch.setattr(blocks, "SAMPLE", size)
        monkeypatch.setattr(blocks, "BLOCK", size)
        source = blocks.CsvSource(io.BytesIO(data), "table")
        pieces = [piece.data for piece in source.blocks()]
        assert len(pieces) > 1
        assert HEAD + b"".join(pieces) == data
        for piece in pieces:
            rows = list(csv.reader(io.StringIO(piece.decode(), newline=""), strict=True))
            assert {len(row) for row in rows} == {6}


@pytest.mark.parametrize("open_quote", [b"", b'K-05,female,41,60.5,170,"open\n'])
def test_a_row_of_too_many_cells_keeps_its_text(
    desk: Desk, alone: dict[str, list[str]], open_quote: bytes
) -> None:
    """Nothing of it is used [E410], and nothing of it is lost."""
    long = b"K-03,female,41,60.5,170,first,second,third\n"
    code, rows = desk.screen(HEAD + ANNA + long + BERT + open_quote)
    assert code in (0, 3)
    check_good(rows, alone)
    assert rows[1]["note"] == "first,second,third"
    assert "[E410]" in rows[1]["problems"]
    assert rows[1]["fat_percent"] == ""


@pytest.mark.parametrize("ragged", [[], [0], [1, 4]])
def test_other_bytes_are_told_of_the_rows_that_have_them(desk: Desk, ragged: list[int]) -> None:
    """W304 stands with its rows, not with those beside them, also where rows lost some cells."""
    lines = [b"R%d,female,41,60.5,170,plain\n" % number for number in range(7)]
    for number in (2, 3, 5):
        lines[number] = b"R%d,female,41,60.5,170,caf\xe9\n" % number
    for number in ragged:
        lines[number] = b"R%d,female\n" % number
    _, rows = desk.screen(HEAD + b"".join(lines))
    assert [row["code"] for row in rows] == [f"R{number}" for number in range(7)]
    marked = [number for number, row in enumerate(rows) if "[W304]" in row["problems"]]
    assert marked == [2, 3, 5]
    assert [rows[number]["note"] for number in marked] == ["café"] * 3
    assert [number for number, row in enumerate(rows) if "[E410]" in row["problems"]] == ragged


@pytest.mark.parametrize("page", ["utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("delimiter", [",", "\t"])
def test_utf_16_is_read_and_said(desk: Desk, page: str, delimiter: str) -> None:
    """A spreadsheet's Unicode text is read as it is; the result is in UTF-8."""
    mark = codecs.BOM_UTF16_LE if page.endswith("le") else codecs.BOM_UTF16_BE
    text = (HEAD + ANNA.replace(b"fine", "fée 😀".encode())).decode().replace(",", delimiter)
    code, rows = desk.screen(mark + text.encode(page), delimiter=delimiter)
    assert (code, rows[0]["note"]) == (0, "fée 😀")
    assert rows[0]["fat_percent"]
    assert "UTF-16" in desk.shown
    assert desk.out.read_bytes().startswith(codecs.BOM_UTF8)


def test_utf_16_cut_short_or_without_its_mark_writes_nothing(desk: Desk) -> None:
    text = (HEAD + ANNA).decode()
    desk.refused(text.encode("utf-16")[:-1], "E303")
    assert "UTF-32" in desk.refused(text.encode("utf-32"), "E304")
    said = desk.refused(text.encode("utf-16-le"), "E304")
    assert "CSV UTF-8" in said


# --- lines ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "note, cell",
    [("＝1+1", "＝1+1"), ("＋1+A1", "＋1+A1"), ("－A1", "－A1"), ("＠SUM(A1)", "＠SUM(A1)"),
     ("=A1", '"=A1"'), ("=A1,2", '"=A1,2"'), (" =A1", " =A1"), ("  =A1", "  =A1"), ("\t=A1", "\t=A1"),
     ("@x", "@x")],
)  # fmt: skip
def test_a_formula_is_made_harmless_however_it_starts(desk: Desk, note: str, cell: str) -> None:
    """OWASP, CSV injection: full-width signs, quotes and blanks hide a formula from a plain look.

    Nothing else in the table could be one: the quick look has to see this cell.
    """
    code, rows = desk.screen(HEAD + ANNA.replace(b"fine", cell.encode()))
    assert code == 0
    assert rows[0]["note"] == f"'{note}"


@pytest.mark.parametrize("note", ["-5", "+3.5", "-", "1-2", "a=b", "5 %", "x ＝ y"])
def test_what_is_no_formula_stays_as_it_is(desk: Desk, note: str) -> None:
    _, rows = desk.screen(HEAD + ANNA.replace(b"fine", note.encode()))
    assert rows[0]["note"] == note


def test_every_number_has_two_decimals() -> None:
    """Also where one leaves the usual percentages, and beside such a one."""
    values = np.array([0.0, 12.3, 99.994, np.nan, 99.996, 123.456, 100.0, -0.5])
    wanted = ["0.00", "12.30", "99.99", "", "100.00", "123.46", "100.00", "-0.50"]
    assert hundredths(values).to_pylist() == wanted
    assert hundredths(values[:4]).to_pylist() == wanted[:4]
    assert [column.to_pylist() for column in all_hundredths([values, values[::-1]])] == [
        wanted, wanted[::-1],
    ]  # fmt: skip


# --- names and cells -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, fact",
    [("atlete", "athlete"), ("athletes", "athlete"), ("Athletic", "athlete"), ("sexe", "sex"),
     ("ancestrry", "ancestry"), ("familly_backgrnd", "family_background"),
     ("is_pregnant?", "pregnant"), ("ages", "age_years")],
)  # fmt: skip
def test_a_name_close_to_a_fact_is_refused(desk: Desk, name: str, fact: str) -> None:
    """Passed over it could hurt: the fact is named, and how to say it."""
    said = desk.refused(HEAD.replace(b"note", name.encode()) + ANNA, "E402")
    assert f"--map {name}={fact}" in said


@pytest.mark.parametrize("name", ["atelier", "ancient", "text", "family_doctor"])
def test_a_name_far_from_every_fact_passes(desk: Desk, name: str) -> None:
    code, rows = desk.screen(HEAD.replace(b"note", name.encode()) + ANNA)
    assert (code, rows[0][name]) == (0, "fine")


def test_only_a_fold_may_end_beyond_the_scale(desk: Desk) -> None:
    """``40+`` is a calliper at its end; a scale or a tape has none, so the cell cannot be read."""
    head = b"code,sex,age_years,weight_kg,height_cm,waist_midpoint_cm,triceps_mm\n"
    lines = (
        b"P1,female,41,71.3,168,82,40+\nP2,female,41,80+,168,82,21\nP3,female,41,71.3,168,82+,21\n"
    )
    _, (fold, weight, waist) = desk.screen(head + lines)
    assert "[E101]" not in fold["problems"]
    assert fold["skinfold_percent"]
    assert weight["problems"].startswith("weight_kg: not a number")
    assert weight["mass_height_percent"] == ""
    assert waist["problems"].startswith("waist_midpoint_cm: not a number")
    assert waist["waist_height_percent"] == ""


def test_a_number_with_its_unit_is_no_longer_than_a_line() -> None:
    """What is longer is left out unread: nobody types it, and it could cost hours."""
    rules = TextRules(MISSING_WORDS)
    texts = ["71." + "0" * 61, "71." + "0" * 62, "5 ft" + " " * 300 + "6 in"]
    read = numbers_of(pa.array(texts), "cm", "cm", rules)
    assert read.values[0] == 71.0
    assert np.isnan(read.values[1:]).all()
    assert {code: rows.tolist() for code, rows in read.faults.items()} == {
        "E101": [False, True, True]
    }


@pytest.mark.parametrize("as_texts", [False, True])
@pytest.mark.parametrize(
    "given, unit, to",
    [([1.1, 1.682, 0.57, 1.383], "m", "cm"), ([2.3, 0.7], "cm", "mm"), ([33.3, 0.1], "in", "cm"),
     ([157.19, 0.3], "lb", "kg")],
)  # fmt: skip
def test_a_column_in_another_unit_holds_the_numbers_typed_in_ours(
    given: list[float], unit: str, to: str, as_texts: bool
) -> None:
    """1.1 m is 110 cm and no 110.00000000000001: the same row gets the same numbers."""
    per = {"m": 100, "cm": 10, "in": 2.54, "lb": 0.45359237}[unit]
    column = pa.array([str(number) for number in given]) if as_texts else pa.array(given)
    read = numbers_of(column, unit, to, TextRules()).values.tolist()
    assert read == [float(f"{number * per:.9f}") for number in given]


# --- Parquet -------------------------------------------------------------------------------------


@pytest.mark.parametrize("source", ["in.csv", "in.parquet"])
def test_numbers_in_parquet_have_two_decimals_at_most(tmp_path: Path, source: str) -> None:
    foldspan.screen_table(str(write(tmp_path / source)), str(tmp_path / "out.parquet"))
    said = pq.read_table(tmp_path / "out.parquet")
    names = [field.name for field in said.schema if field.name not in TABLE.column_names]
    numbers = [name for name in names if pa.types.is_floating(said.schema.field(name).type)]
    assert {"fat_percent", "range_95_high", "bmi_band_chance", "girth_percent"} <= set(numbers)
    for name in numbers:
        known = said[name].drop_null().to_pylist()
        assert known, name
        assert known == [float(f"{number:.2f}") for number in known], name


def test_what_a_parquet_file_tells_of_itself_is_kept(tmp_path: Path) -> None:
    """An index of pandas comes back as one, and notes on fields and file stay with their columns."""
    frame = TABLE.to_pandas().set_index("code")
    given = pa.Table.from_pandas(frame)
    place = given.schema.get_field_index("weight_kg")
    field = given.schema.field(place).with_metadata({b"reference_method": b"S-7"})
    schema = given.schema.set(place, field)
    given = given.cast(schema.with_metadata({**given.schema.metadata, b"study": b"A"}))
    parts = tmp_path / "parts"
    parts.mkdir()
    pq.write_table(given, parts / "one.parquet")
    foldspan.screen_table(str(parts / "one.parquet"), str(tmp_path / "out.parquet"))
    foldspan.screen_table(str(parts), str(tmp_path / "out"))
    for out in (tmp_path / "out.parquet", tmp_path / "out" / "one.parquet"):
        kept = pq.read_schema(out)
        assert kept.metadata[b"study"] == b"A"
        assert json.loads(kept.metadata[b"pandas"])["index_columns"] == ["code"]
        assert kept.field("weight_kg").metadata[b"reference_method"] == b"S-7"
        assert list(pd.read_parquet(out).index) == list(frame.index)


# --- files ---------------------------------------------------------------------------------------


def test_a_packed_result_has_no_name_and_no_time_inside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 1952: four bytes of time after the flags; a flag of 0 says that there is no name."""
    table = write(tmp_path / "in.csv", TABLE.slice(0, 5))
    clock = iter(range(1_000_000_000, 2_000_000_000, 86_400))
    monkeypatch.setattr("gzip.time.time", lambda: float(next(clock)))
    found = []
    for name in ("one.csv.gz", "other.csv.gz"):
        foldspan.screen_table(str(table), str(tmp_path / name))
        found.append((tmp_path / name).read_bytes())
    assert found[0] == found[1]
    assert found[0][3:8] == bytes(5)
    assert len(read_back(gzip.decompress(found[0]))) == 5


@pytest.fixture
def _no_nameless_files(monkeypatch: pytest.MonkeyPatch) -> None:
    """A system that knows no files without a name; Python's own knows it as well."""
    monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    monkeypatch.setattr("tempfile._O_TMPFILE_WORKS", False, raising=False)


@pytest.mark.usefixtures("_no_nameless_files")
def test_a_file_with_a_name_meanwhile_is_private_as_well(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        with private_file(str(tmp_path / "out.csv")) as out:
            (beside,) = tmp_path.iterdir()
            assert beside.name != "out.csv"
            assert stat.S_IMODE(beside.stat().st_mode) == 0o600
            out.write(b"whole")
    finally:
        os.umask(before)
    assert [path.name for path in tmp_path.iterdir()] == ["out.csv"]
    assert (tmp_path / "out.csv").read_bytes() == b"whole"
    assert stat.S_IMODE((tmp_path / "out.csv").stat().st_mode) == 0o600


@pytest.mark.usefixtures("_no_nameless_files")
def test_a_file_with_a_name_meanwhile_leaves_nothing_behind(tmp_path: Path, run: Run) -> None:
    def break_off() -> None:
        with private_file(str(tmp_path / "out.csv")) as out:
            out.write(b"half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        break_off()
    assert list(tmp_path.iterdir()) == []
    desk = Desk(tmp_path, run)
    assert desk.screen(HEAD + ANNA + BERT)[0] == 0
    desk.out.unlink()
    # the damage comes to light once the result was begun
    cut = gzip.compress(HEAD + ANNA + BERT * 9_000)[:-20]
    desk.refused(cut, "E303", name="cut.csv")

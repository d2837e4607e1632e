"""Bad rows and names of a table: a coded problem, or a result where only the bad rows have no range."""

from __future__ import annotations

import csv
import io
import time

import pytest

import foldspan
from foldspan.quantities import BY_NAME
from foldspan.tables.columns import KNOWN, REFERENCE
from screen_desk import ANNA, BERT, HEAD, Desk, check_good

pytestmark = pytest.mark.usefixtures("nothing_left_open")


@pytest.mark.parametrize(
    "data, code",
    [
        (b"", "E306"), (b" \r\n\n", "E306"), (b"\xef\xbb\xbf", "E306"), (HEAD, "E306"),
        (HEAD[:-1], "E306"),        (HEAD + b"\r\n\n\r\n", "E306"), (b"\xef\xbb\xbf" + HEAD, "E306"),
        ((HEAD + ANNA).decode().encode("utf-16-le"), "E304"), (b"\x00" * 500, "E304"),
        (HEAD.replace(b"note", b"sex") + ANNA, "E403"),
        (HEAD.replace(b"note", b"weight_lb") + ANNA, "E403"),
        (HEAD.replace(b"note", b"Weight (kg)") + ANNA, "E403"),
        (HEAD.replace(b"sex", b"x") + ANNA, "E401"),
        (HEAD.replace(b"age_years", b"x") + ANNA, "E401"),
        (HEAD.replace(b"weight_kg", b"w").replace(b"height_cm", b"h") + ANNA, "E120"),
        (HEAD.replace(b"note", b"pregnancy") + ANNA, "E402"),
        (HEAD.replace(b"weight_kg", b"weight") + ANNA, "E409"),
        (HEAD.replace(b"note", b"suprailiac_mm") + ANNA, "E114"),
        (HEAD.replace(b"note", b"fat_percent") + ANNA, "E403"),
        (HEAD.replace(b"note", b"problems") + ANNA, "E403"),
        (HEAD.replace(b"note", b"flags") + ANNA, "E403"),
        (ANNA + BERT, "E404"),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_meant_is_refused(desk: Desk, data: bytes, code: str) -> None:
    desk.refused(data, code)


def test_a_table_without_names_shows_no_value(desk: Desk) -> None:
    """Its first client stands where the names should: a cell of theirs is no name to be repeated."""
    desk.refused(b"K-01,female,41,71.37,168.43,71.37\n" + ANNA, "E404")


# (bad row, code in its problems, or "" for a row that only must not be lost)
BAD_ROWS = {
    "too few cells": (b"K-03,female,41\n", "E410"),
    "too many cells": (b"K-03,female,41,60.5,170,a,b,c\n", "E410"),
    "one cell": (b"K-03\n", "E410"),
    "white space only": (b"   \n", "E410"),
    "text for a number": (b"K-03,female,41,heavy,170,x\n", "E101"),
    "nothing usable": (b"K-03,female,41,n/a,-,x\n", "E203"),
    "nothing at all": (b",,,,,\n", "E111"),
    "mixed types": (b"K-03,1,yes,true,2026-03-04,x\n", "E113"),
    "NUL": (b"K-03,female,41,7\x001,170,x\x00\n", "E101"),
    "NUL in a fact": (b"K-03,fem\x00ale,41,71,170,x\n", "E113"),
    "unit of another kind": (b"K-03,female,41,60 cm,170,x\n", "E105"),
    "unit not known": (b"K-03,female,41,60 stones and more,170,x\n", ""),
    "beyond all measure": (b"K-03,female,41,1e308,1e-308,x\n", "E102"),
    "infinite": (b"K-03,female,41,1e999,170,x\n", "E106"),
    "zero": (b"K-03,female,41,0,170,x\n", "E107"),
    "impossible": (b"K-03,female,41,60.5,17,x\n", "E102"),
    "sex missing": (b"K-03,,41,60.5,170,x\n", "E111"),
    "age missing": (b"K-03,female,,60.5,170,x\n", "E112"),
    "Latin-1 in a fact": (b"K-03,f\xe9male,41,60.5,170,x\n", "E113"),
    "Latin-1 and too few cells": (b"K-03,f\xe9male,41\n", "E410"),
    "a million characters in a number": (b"K-03,female,41," + b"9" * 10**6 + b",170,x\n", "E101"),
    "a million characters and too few": (b"K-03,female," + b"x" * 10**6 + b"\n", "E410"),
    "a million commas": (b"K-03," + b"," * 10**6 + b"\n", "E410"),
}


@pytest.mark.parametrize("name", BAD_ROWS)
def test_only_the_bad_row_is_without_a_range(
    desk: Desk, alone: dict[str, list[str]], name: str
) -> None:
    bad, problem = BAD_ROWS[name]
    code, rows = desk.screen(HEAD + ANNA + bad + BERT)
    assert code == 3
    assert [row["code"] for row in rows][::2] == ["K-01", "K-02"]
    check_good(rows, alone)
    assert rows[1]["fat_percent"] == ""
    assert rows[1]["problems"].endswith("]")
    assert problem in rows[1]["problems"]


def test_all_bad_rows_in_one_file(desk: Desk, alone: dict[str, list[str]]) -> None:
    """Ragged rows, blank lines and cells with line breaks before them: each keeps its place."""
    broken = b'K-04,female,41,60.5,170,"two\nlines"\n'
    bad = [bad.replace(b"K-03", f"B{n}".encode()) for n, (bad, _) in enumerate(BAD_ROWS.values())]
    code, rows = desk.screen(HEAD + ANNA + broken + b"\n\n".join(bad) + BERT)
    assert code == 3
    assert len(rows) == len(bad) + 3
    check_good(rows, alone)
    for place, line in enumerate(bad):
        assert rows[place + 2]["code"].encode().strip() == line.split(b",")[0].strip()


def test_no_row_with_a_range_is_exit_code_1(desk: Desk) -> None:
    code, rows = desk.screen(HEAD + b"K-03,female,41\nK-04\n")
    assert code == 1
    assert [row["code"] for row in rows] == ["K-03", "K-04"]


def test_a_latin_1_cell_is_read_and_said(desk: Desk, alone: dict[str, list[str]]) -> None:
    code, rows = desk.screen(HEAD + ANNA + b"K-03,female,41,60.5,170,caf\xe9\n" + BERT)
    assert code == 0
    check_good(rows, alone)
    assert rows[1]["note"] == "café"
    assert "[W304]" in rows[1]["problems"]
    assert rows[1]["fat_percent"]


def test_latin_1_and_ragged_rows_together_keep_every_letter(
    desk: Desk, alone: dict[str, list[str]]
) -> None:
    """A row of other bytes and too few cells changes nothing about the rows around it."""
    around = b'K-04,female,41,60.5,170,"ol\xe9\nl\xe0"\n'
    code, rows = desk.screen(HEAD + ANNA + around + b"K-03,f\xe9e\n" + BERT)
    assert code == 3
    assert [row["code"] for row in rows] == ["K-01", "K-04", "K-03", "K-02"]
    check_good(rows, alone)
    assert rows[1]["note"] == "olé\nlà"
    assert rows[2]["sex"] == "fée"
    assert "[W304]" in rows[1]["problems"]


def test_a_million_characters_in_a_note_come_back(desk: Desk, alone: dict[str, list[str]]) -> None:
    long, quoted = b"x" * 10**6, b"y," * 500_000
    lines = b"K-03,female,41,60.5,170," + long + b'\nK-04,male,41,60.5,170,"' + quoted + b'"\n'
    code, rows = desk.screen(HEAD + ANNA + lines + BERT)
    assert code == 0
    check_good(rows, alone)
    assert (rows[1]["note"], rows[2]["note"]) == (long.decode(), quoted.decode())


@pytest.mark.parametrize(
    "bad",
    [b'K-03,female,41,60.5,170,"open\n', b'K-03,female,41,"60.5,170,open\n', b'"K-03,female,41\n'],
)
@pytest.mark.parametrize("before", [b"", b'K-04,female,41,60.5,170,"two\nlines"\n'])
def test_a_quote_that_is_never_closed_costs_no_other_row(
    desk: Desk, alone: dict[str, list[str]], bad: bytes, before: bytes
) -> None:
    """One typing slip must not swallow the clients below it, and never in silence."""
    code, rows = desk.screen(HEAD + ANNA + before + bad + BERT)
    assert code in (0, 3)
    check_good(rows, alone)
    assert any("K-03" in row["code"] for row in rows)
    if before:
        assert rows[1]["note"] == "two\nlines"


@pytest.mark.parametrize("name", [b'note "', b'5"', b'arm"'])
def test_a_quote_in_a_name_costs_no_row(
    desk: Desk, alone: dict[str, list[str]], name: bytes
) -> None:
    """Inches are written with that sign. Python's csv reads it as part of the name."""
    for last in (ANNA, ANNA.replace(b"fine", b'5"')):
        desk.out.unlink(missing_ok=True)
        code, rows = desk.screen(HEAD.replace(b"note", name) + BERT + last)
        assert code == 0
        check_good(rows, alone)


def test_a_quote_in_a_name_costs_no_time(desk: Desk) -> None:
    many = b"".join(b"K%06d,female,41,71.37,168.43,fine\n" % n for n in range(40_000))
    start = time.process_time()
    desk.screen(HEAD.replace(b"note", b'5"') + many)
    assert time.process_time() - start < 5.0


ENDS = {"CR": b"\r", "CRLF": b"\r\n", "CR CR LF": b"\r\r\n", "blank lines": b"\n\n"}


@pytest.mark.parametrize("end", ENDS.values(), ids=list(ENDS))
def test_any_end_of_line_is_read(desk: Desk, alone: dict[str, list[str]], end: bytes) -> None:
    code, rows = desk.screen((HEAD + ANNA + BERT).replace(b"\n", end))
    assert code == 0
    assert len(rows) == 2
    check_good(rows, alone)


def test_ends_of_line_mixed_lose_no_row(desk: Desk, alone: dict[str, list[str]]) -> None:
    for data in (
        HEAD.replace(b"\n", b"\r") + ANNA + BERT,
        HEAD + ANNA.replace(b"\n", b"\r") + BERT,
        HEAD.replace(b"\n", b"\r") + ANNA.replace(b"\n", b"\r\n") + BERT,
    ):
        desk.out.unlink(missing_ok=True)
        code, rows = desk.screen(data)
        assert code == 0
        check_good(rows, alone)


def test_a_mark_at_the_start_and_semicolons_are_read_and_said(desk: Desk) -> None:
    table = (HEAD + ANNA + BERT).replace(b",", b";").replace(b".", b",")
    code, (first, _) = desk.screen(b"\xef\xbb\xbf" + table, delimiter=";")
    assert code == 0
    assert "semicolons" in desk.shown
    assert "decimal comma" in desk.shown
    assert (first["code"], first["weight_kg"]) == ("K-01", "71,37")
    # the result is written as the table is
    assert "," in first["fat_percent"]
    assert "." not in first["fat_percent"]


def test_mixed_units_in_a_column_are_told(desk: Desk, alone: dict[str, list[str]]) -> None:
    metres = b"".join(b"M%d,female,41,71,1.68,x\n" % n for n in range(6))
    code, rows = desk.screen(HEAD + ANNA + metres + BERT)
    assert code == 3
    check_good(rows, alone)
    assert all("metres" in row["problems"] for row in rows[1:7])
    (desk.folder / "again.csv").write_bytes(HEAD + ANNA + metres + BERT)
    done = foldspan.screen_table(str(desk.folder / "again.csv"), str(desk.folder / "o.csv"))
    assert any("height_cm" in words and "metres" in words for words in done.quality)


# --- every column, whatever is typed in it ----------------------------------------------------------

ODD = (
    "6 m", "6 months", "6 mo", "6 weeks", "6 kg", "6 st 3 lb", "6 ft 2 in", "6'2\"", "142 mmHg",
    "41 years", "6 mm", "1e308", "-1e308", "1e308 m", "1e308 st", "5e-324", "-0", "inf", "nan", "½",
    "6 6", "6 / 2", "yes", "=1+1", "12 3/4 in", "12 3/0 in", "1,5", "0x1F", "1_000", "\u0663",
    "6\u00a0kg",
)  # fmt: skip


def test_no_column_loses_a_row_to_an_odd_cell(desk: Desk) -> None:
    """Each known column gets each odd text once; a number that is left out is told."""
    names = [name for name in dict.fromkeys(KNOWN) if name not in REFERENCE]
    usual = {"sex": "female", "age_years": "41", "weight_kg": "70.7", "height_cm": "168.3"}
    text = io.StringIO()
    lines = csv.writer(text, lineterminator="\n")
    lines.writerow(names)
    for name in names:
        for odd in ODD:
            lines.writerow([odd if column == name else usual.get(column, "") for column in names])
    code, rows = desk.screen(text.getvalue().encode())
    assert code == 3
    assert len(rows) == len(names) * len(ODD)
    for place, row in enumerate(rows):
        name, odd = names[place // len(ODD)], ODD[place % len(ODD)]
        assert row[name].lstrip("'") == odd
        is_number = name in BY_NAME or name.endswith(("_kg", "_ago", "_mmhg"))
        is_time = name == "age_years" or name.endswith("_ago")
        if is_number and odd in (
            "6 / 2",
            "yes",
            "=1+1",
            "0x1F",
            "inf",
            *["6 weeks"] * (not is_time),
        ):
            assert f"{name}: " in row["problems"], (name, odd)


@pytest.mark.parametrize(
    "name, typed, plain",
    [
        ("earlier_weight_months_ago", "6 months", "6"), ("surgery_months_ago", "2 mo", "2"),
        ("birth_months_ago", "1 month", "1"), ("blood_pressure_upper_mmhg", "185 mmHg", "185"),
        ("grip_kg", "33 lb", "14.968548105"), ("age_years", "41 yrs", "41"),
    ],
)  # fmt: skip
def test_a_number_may_carry_its_unit(desk: Desk, name: str, typed: str, plain: str) -> None:
    usual = {"sex": "female", "age_years": "41", "weight_kg": "70.7", "height_cm": "168.3"}
    usual |= {"earlier_weight_kg": "82", "loss_wanted": "no"} if "weight" in name else {}
    names = list(dict.fromkeys((*usual, name)))
    lines = [",".join({**usual, name: cell}[column] for column in names) for cell in (typed, plain)]
    _, (with_unit, plain_row) = desk.screen("\n".join([",".join(names), *lines, ""]).encode())
    assert {**with_unit, name: ""} == {**plain_row, name: ""}
    assert "[E1" not in with_unit["problems"]


def test_numbers_beyond_all_measure_in_another_unit_are_told(desk: Desk) -> None:
    """Turned into kilograms and centimetres they have no number at all; no library says so besides."""
    head = b"code,sex,age_years,weight_st,height_ft,waist_midpoint_in\n"
    usual, beyond = b"K-01,female,41,11.2,5.5,31\n", b"K-02,male,41,1e308,1e308,1e308\n"
    code, (first_row, second_row) = desk.screen(head + usual + beyond)
    assert code == 3
    assert first_row["fat_percent"]
    assert not second_row["fat_percent"]
    assert all(f"{name}: " in second_row["problems"] for name in ("weight_kg", "height_cm"))

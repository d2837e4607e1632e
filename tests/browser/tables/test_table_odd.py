"""Odd tables and odd moments on the pages: what is said is true, and says what to do there."""

from __future__ import annotations

import errno
import io
import re
import sqlite3
import zipfile

import pyarrow as pa
import pyarrow.parquet as pq
import pypdf
import pytest
import xlsxwriter

from browser_hand import TableHand, words_of
from foldspan.browser.jobs import held
from foldspan.browser.jobs.child import problems_of
from foldspan.browser.jobs.held import _file_name
from foldspan.problems import Problem
from foldspan.text.tables.tapped import tapped_problem

NAMES = "code,sex,age_years,weight_kg,height_cm\n"
NOW = NAMES + "".join(f"A{n},female,{40 + n},{70 + n},165\n" for n in range(6))
FOUR = (
    "sex,age_years," + ",".join(f"Triceps {n} (mm)" for n in range(1, 5)) + "\nfemale,40,1,2,3,4\n"
)
# the first has lost 15 kg since
THEN = NOW.replace(",70,", ",85,")


def _said(hand: TableHand, name: str, table: str | bytes) -> str:
    """Send a table and confirm its columns; return the problems that the page shows then."""
    hand.send(name, table.encode() if isinstance(table, str) else table)
    if "/columns" in hand.hand.address:
        hand.confirm()
    return " ".join(re.findall(r'<p class="problem">(.*?)</p>', hand.hand.page))


def _compared(hand: TableHand, then: str, name: str = "old.csv", now: str = NOW) -> None:
    """Screen this year's table with an earlier one."""
    hand.send("day.csv", now.encode())
    reply = hand.hand.client.post(
        f"/tables/{hand.key}/before", files={"table": (name, then.encode())}
    )
    hand.hand._take(reply)
    hand.wait()
    hand.hand.send(f"/tables/{hand.key}/columns", **hand.chosen())
    hand.confirm()


def _text_of(letter: bytes) -> str:
    return " ".join(
        "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(letter)).pages).split()
    )


@pytest.mark.parametrize(
    "name",
    ["made", "before", "in-use", "MADE", pytest.param("\U00020000" * 90 + ".csv", id="long")],
)
def test_no_name_of_a_file_is_taken_for_a_full_disk(hand: TableHand, name: str) -> None:
    said = _said(hand, name, NOW)
    assert ("unknown file extension" in said) == ("." not in name)
    assert "no space" not in hand.said


def test_a_name_is_cut_in_bytes() -> None:
    assert len(_file_name("\U00020000" * 300 + "." + "\U00020000" * 90).encode()) < 200
    assert _file_name("é" * 300 + ".csv").endswith("é.csv")


@pytest.mark.parametrize(
    ("name", "table", "said"),
    [
        ("day.txt", NOW, "day.txt: unknown file extension. Save it as .xlsx, .ods, .csv or .parquet"),
        ("day.csv", NAMES, "day.csv: no rows below the column names"),
        ("day.csv", NOW.replace("code", "sex", 1), "Rename one of them in the table, or delete it"),
        ("day.csv", NOW.replace("code", "flags", 1), "rename yours in the table, or delete it there"),
        (
            "day.csv",
            FOUR,
            "Choose “Not used” for one of them.",
        ),
        ("day.csv", "apple,pear\n1,2\n", "Choose what the columns with measurements hold"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_to_do_on_the_page(
    hand: TableHand, name: str, table: str, said: str
) -> None:
    problems = _said(hand, name, table)
    assert said in problems
    assert not re.search(r"--\w|standard stream|or number them|Keep one", problems)


def test_a_table_without_columns_is_refused(hand: TableHand) -> None:
    """Its page and that of its columns led to each other without an end."""
    file = io.BytesIO()
    pq.write_table(pa.table({}), file)
    assert "has no columns" in _said(hand, "day.parquet", file.getvalue())


def test_an_earlier_table_keeps_its_name(hand: TableHand) -> None:
    _compared(hand, THEN)
    assert "Compared with old.csv (6 rows)" in hand.said
    assert "before/" not in hand.hand.page + hand.file("summary.json").decode()
    _compared(hand, THEN, "day.csv")
    assert "Compared with earlier day.csv (6 rows)" in hand.said
    assert b"A0,female,40,70,165" in hand.file("screened.csv")


def test_a_loss_since_last_year_is_said_of_its_row(hand: TableHand) -> None:
    """The list refers for it; page and letter of the row were made as if there were no such loss."""
    _compared(hand, THEN)
    assert "To refer to a clinician: 1 client" in hand.said
    key = hand.key
    hand.hand.go(f"/tables/{key}/rows/1")
    assert "To refer soon: weight loss of 10% or more" in hand.said
    letter = hand.hand.client.get(f"/tables/{key}/rows/1/page?for=clinician")
    text = _text_of(letter.content)
    assert "No finding calls for a referral" not in text
    assert "Weight loss" in text
    hand.hand.go(f"/tables/{key}/rows/2")
    assert "To refer" not in hand.said
    hand.hand.go(f"/tables/{key}")
    hand.press("letters")
    hand.wait()
    with zipfile.ZipFile(io.BytesIO(hand.file("letters.zip"))) as archive:
        [name] = archive.namelist()
        assert _text_of(archive.read(name)) == text


def test_a_loss_between_two_days_shows_on_every_page_of_its_row(hand: TableHand) -> None:
    now, then = (
        re.sub(r"\n(A\d),", rf"\n\1,{day},", table.replace("code,", "code,date,"))
        for table, day in ((NOW, "2026-05-01"), (THEN, "2026-03-01"))
    )
    _compared(hand, then, now=now)
    for reader in ("trainer", "client"):
        reply = hand.hand.client.get(f"/tables/{hand.key}/rows/1/page?for={reader}&as=html")
        assert "doctor" in words_of(reply.text), reader


def test_the_letter_of_a_row_waits_for_its_unit(hand: TableHand) -> None:
    hand.send("day.csv", (NAMES + "A1,male,45,160,178\nA2,male,40,80,180\n").encode())
    hand.confirm()
    assert "Confirm the unit first in 1 row" in hand.said
    hand.hand.go(f"/tables/{hand.key}/rows/1/page?for=clinician")
    assert hand.hand.status == 409
    assert "its letter waits, because its weight may be in another unit" in hand.said


def test_a_table_that_is_worked_on_does_not_make_room(
    hand: TableHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held, "MOST", 2)
    large = NAMES + "".join(f"A{n},female,40,71.5,165\n" for n in range(60_000))
    hand.send("large.csv", large.encode())
    key, chosen = hand.key, hand.chosen()
    hand.send("idle.csv", NOW.encode())
    hand.hand.send(f"/tables/{key}/columns", **chosen)
    hand.hand.go(f"/tables/{key}/referrals")
    assert "still being worked on" in hand.said
    hand.hand.client.post("/tables", files={"table": ("new.csv", NOW.encode())})
    hand.hand.go("/tables")
    assert ("large.csv" in hand.said, "idle.csv" in hand.said) == (True, False)
    hand.hand.send(f"/tables/{key}/delete")


def test_a_full_disk_is_told_as_that_wherever_it_is_met() -> None:
    of_sqlite = sqlite3.OperationalError("database or disk is full")
    of_sqlite.sqlite_errorcode = sqlite3.SQLITE_FULL
    for error in (OSError(errno.ENOSPC, "no space"), OSError(errno.EDQUOT, "quota"), of_sqlite):
        [problem] = problems_of(error, "day.csv")
        assert (problem.where, problem.what) == (
            "Temporary folder",
            "no space left for temporary files",
        )
    assert problems_of(OSError(errno.EIO, "a fault"), "day.csv") == ()
    written = Problem(
        "E303",
        "made/screened.csv",
        "the disk is full",
        "Check the folder, its permissions and free disk space.",
    )
    shown = tapped_problem(written)
    assert shown.where == "Temporary folder"
    assert "permissions" not in shown.remedy


def test_the_same_table_twice_is_refused(hand: TableHand) -> None:
    _compared(hand, NOW, "old.csv")
    assert "Earlier table: is the same table. Send the earlier table, or leave it out." in hand.said
    hand.hand.go("/tables")
    assert "columns to confirm" in hand.said


def test_what_is_hidden_in_a_sheet_is_said_before_it_is_used(hand: TableHand) -> None:
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        sheet = book.add_worksheet()
        for line, row in enumerate(NOW.split()):
            sheet.write_row(line, 0, row.split(","))
        sheet.set_column(3, 3, None, None, {"hidden": True})
    hand.send("day.xlsx", file.getvalue())
    assert "Are these columns right?" in hand.said
    assert "Hidden in the sheet, but read: weight_kg." in hand.said


def test_pages_of_rows_name_what_is_wrong_in_words(hand: TableHand) -> None:
    rows = "M1,female,15,50,160\nA2,male,40,x,180\nA3,male,45,160,178\n"
    hand.send("day.csv", (NAMES + rows).encode())
    hand.confirm()
    assert "Weight and height: rarely occur together" in hand.said
    hand.hand.go(f"/tables/{hand.key}/problems")
    assert "Weight: not a number" in hand.said
    assert "weight_kg" not in hand.said
    hand.hand.go(f"/tables/{hand.key}/rows/1")
    assert "Age: no adult range under 18" in hand.said
    assert "[client]" not in hand.said


def test_a_row_that_makes_no_page_is_referred_all_the_same(hand: TableHand) -> None:
    table = NAMES.replace("\n", ",symptoms\n") + "A1,female,,70,165,fainting\n"
    hand.send("day.csv", table.encode())
    hand.confirm()
    address = f"/tables/{hand.key}/rows/1"
    hand.hand.go(address)
    assert "There is no page for this row" in hand.said
    assert "To refer urgently: fainting" in hand.said
    letter = hand.hand.client.get(f"{address}/page?for=clinician")
    assert "aint" in _text_of(letter.content)
    hand.hand.go(f"{address}/page?for=client")
    assert hand.hand.status == 409

"""A table on the pages: confirmed, screened to the same bytes as by the command, and read."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from pathlib import Path

import pytest

import foldspan
from browser_hand import EXAMPLES, TableHand
from foldspan.visit.model import Visit

CLINIC_DAY = EXAMPLES / "clinic_day.csv"
SMALL = "id,Gender,Age,Weight (lb),Height,Waist\n" + "\n".join(
    f"P-{n},{'F' if n % 2 else 'M'},{30 + n},{150 + 3 * n},1.{62 + n},{80 + n}" for n in range(12)
)
# the second weighs 160 pounds, as it seems; the third has fainted
DOUBTFUL = """sex,age_years,weight_kg,height_cm,symptoms
female,40,70,165,none
male,45,160,178,none
female,50,66,162,fainting
"""


@pytest.fixture(scope="module")
def by_command(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("command")
    foldspan.screen_table(
        CLINIC_DAY, folder / "screened.csv", referrals=str(folder / "referrals.csv")
    )
    return folder


def test_the_files_are_those_of_the_command(day: TableHand, by_command: Path) -> None:
    for name in ("screened.csv", "referrals.csv"):
        assert day.file(name) == (by_command / name).read_bytes(), name


def test_the_summary_says_who_to_refer_and_what_was_not_asked(day: TableHand) -> None:
    day.wait()
    assert "300 rows screened" in day.said
    assert "To refer to a clinician: 22 clients" in day.said
    assert "6 to refer urgently" in day.said
    assert "Not asked, so nobody could be referred for it: symptoms (292 rows)" in day.said
    assert "Confirm the unit first in 6 rows" in day.said


def test_no_page_tells_anybody_to_type_a_command(day: TableHand) -> None:
    for place in ("", "/columns", "/referrals", "/problems", "/rows/17"):
        day.hand.go(f"/tables/{day.key}{place}")
        assert day.hand.status == 200
        assert not re.search(r" --\w|foldspan (screen|precision|reconcile)|\[client\]", day.said)
    day.wait()


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _rows(page: str) -> list[int]:
    return [int(row) for row in re.findall(r'/rows/(\d+)">\d+</a>', page)]


def test_the_list_is_filtered_and_sorted(day: TableHand, by_command: Path) -> None:
    listed = _read(by_command / "referrals.csv")
    address = f"/tables/{day.key}/referrals"
    day.hand.go(address)
    assert _rows(day.hand.page) == [int(row["row"]) for row in listed]
    day.hand.go(f"{address}?level=refer_urgently&order=row")
    urgent = [int(row["row"]) for row in listed if row["level"] == "refer_urgently"]
    assert _rows(day.hand.page) == sorted(urgent)
    day.hand.go(f"{address}?flag=eating_distress&order=code")
    flag = listed[0]["flags"].split("; ")[0]
    day.hand.go(f"{address}?flag={flag}")
    assert _rows(day.hand.page) == [
        int(row["row"]) for row in listed if flag in row["flags"].split("; ")
    ]
    code = listed[3]["code"]
    day.hand.send(address, code=code.lower())
    assert _rows(day.hand.page) == [int(listed[3]["row"])]
    day.hand.send(address, code="%")
    assert "No client in the list matches." in day.said
    day.wait()


@pytest.mark.usefixtures("from_nothing")
def test_one_person_is_opened_as_a_page(day: TableHand, by_command: Path) -> None:
    """The range of the page is the one of the table."""
    result = _read(by_command / "screened.csv")[16]
    day.hand.go(f"/tables/{day.key}/rows/17")
    low, high = float(result["range_80_low"]), float(result["range_80_high"])
    assert f"Body fat: {low:.0f}% to {high:.0f}% (80% range)" in day.said
    assert result["code"] in day.said
    reply = day.hand.client.get(f"/tables/{day.key}/rows/17/page?for=clinician")
    assert reply.content.startswith(b"%PDF")
    assert result["code"] not in reply.headers["content-disposition"]
    day.wait()


def test_a_row_of_which_no_page_can_be_made_says_why(day: TableHand) -> None:
    day.hand.go(f"/tables/{day.key}/rows/126")  # more cells than columns
    assert "There is no page for this row" in day.said
    day.hand.go(f"/tables/{day.key}/rows/301")
    assert (day.hand.status, "not in the table" in day.said) == (404, True)
    day.hand.go(f"/tables/{day.key}/rows/0")
    assert day.hand.status == 404
    day.wait()


def test_what_is_wrong_is_said_row_by_row(day: TableHand, by_command: Path) -> None:
    result = _read(by_command / "screened.csv")
    wrong = [number for number, row in enumerate(result, start=1) if row["problems"]]
    day.hand.go(f"/tables/{day.key}/problems")
    assert _rows(day.hand.page) == wrong
    assert "Under 18: no adult range; use a growth chart" in day.said
    day.wait()


def test_letters_wait_for_a_doubtful_unit_until_somebody_says_it_is_right(hand: TableHand) -> None:
    hand.send("day.csv", DOUBTFUL.encode())
    hand.confirm()
    hand.press("letters")
    hand.wait()
    with zipfile.ZipFile(io.BytesIO(hand.file("letters.zip"))) as archive:
        few = archive.namelist()
        assert all(archive.read(name).startswith(b"%PDF") for name in few)
    assert "Letters for 1 row were held back" in hand.said
    hand.press("letters", accept_unusual="yes")
    hand.wait()
    with zipfile.ZipFile(io.BytesIO(hand.file("letters.zip"))) as archive:
        assert len(archive.namelist()) == len(few) + 1 == 2


def test_the_summary_for_an_employer_has_no_person_in_it(day: TableHand) -> None:
    reply = day.hand.client.get(f"/tables/{day.key}/group?as=html")
    assert (reply.status_code, "W-0" in reply.text) == (200, False)
    reply = day.hand.client.get(f"/tables/{day.key}/group?as=exe")
    assert reply.status_code == 409


def test_columns_are_proposed_and_used_as_they_were_confirmed(
    hand: TableHand, tmp_path: Path
) -> None:
    hand.send("staff.csv", SMALL.encode())
    chosen = hand.chosen()
    assert [chosen[f"is_{place}"] for place in range(4)] == ["code", "sex", "age_years", ""]
    assert (chosen["unit_3"], chosen["is_4"], chosen["unit_4"]) == ("lb", "height_cm", "m")
    hand.confirm()  # a waist at no level is not passed over
    assert (hand.hand.status, "Waist: " in hand.said) == (422, True)
    assert "Are these columns right?" in hand.said
    hand.confirm(is_5="waist_midpoint_cm")
    assert "Waist: a measurement without its unit. Choose its unit." in hand.said
    hand.confirm(is_5="waist_midpoint_cm", unit_5="cm")
    assert "12 rows screened" in hand.said
    (tmp_path / "staff.csv").write_text(SMALL, encoding="utf-8")
    foldspan.screen_table(
        tmp_path / "staff.csv", tmp_path / "out.csv",
        names={"id": "code", "Gender": "sex", "Age": "age_years", "Weight (lb)": "weight_kg",
               "Height": "height_cm", "Waist": "waist_midpoint_cm"},
        units={"Weight (lb)": "lb", "Height": "m"},
    )  # fmt: skip
    assert hand.file("screened.csv") == (tmp_path / "out.csv").read_bytes()
    # the choices are still there when they are to be changed
    hand.hand.go(f"/tables/{hand.key}/columns")
    assert hand.chosen()["is_5"] == "waist_midpoint_cm"
    hand.confirm(is_4="not_used")
    assert "no height_cm" in hand.said.lower()


def test_words_for_the_sex_can_be_explained(hand: TableHand) -> None:
    table = "sex,age_years,weight_kg,height_cm\n" + "dona,40,70,165\nhome,40,80,175\n" * 3
    hand.send("day.csv", table.encode())
    assert {name: word for name, word in hand.chosen().items() if name.startswith("sex_")} == {
        "sex_0_0": "", "sex_0_1": "",
    }  # fmt: skip
    hand.confirm(sex_0_0="female", sex_0_1="male")
    rows = list(csv.DictReader(io.StringIO(hand.file("screened.csv").decode())))
    assert all(row["fat_percent"] for row in rows)
    women = {row["fat_percent"] for row in rows if row["sex"] == "dona"}
    by_hand = foldspan.reconcile(
        Visit.from_dict(
            {"client": {"sex": "female", "age_years": 40},
             "mass_height": {"weight_kg": [70.0], "height_cm": [165.0]}}
        )
    )  # fmt: skip
    assert women == {f"{by_hand.fat_percent.estimate:.2f}"}


def test_several_sheets_are_asked_about(hand: TableHand) -> None:
    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        for name, age in (("May", 41), ("June", 52)):
            sheet = book.add_worksheet(name)
            sheet.write_row(0, 0, ["sex", "age_years", "weight_kg", "height_cm"])
            sheet.write_row(1, 0, ["female", age, 70, 165])
    hand.send("days.xlsx", out.getvalue())
    assert "Which sheet?" in hand.said
    hand.press("sheet", sheet="June")
    hand.wait()
    assert "Sheet: June" in hand.said
    hand.confirm()
    assert "1 row screened" in hand.said
    assert hand.file("screened.xlsx").startswith(b"PK")


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("day.xls", b"\xd0\xcf\x11\xe0", "Save it as .xlsx."),
        ("day.pdf", b"%PDF-1.7", "unknown file extension"),
        ("day.xlsx", b"no workbook", "not a workbook"),
        ("day.csv", b"", "empty"),
        ("day.csv", b"1,2,3\n4,5,6\n", "contains numbers, not names"),
    ],
)
def test_what_cannot_be_read_is_said_with_what_to_do(
    hand: TableHand, name: str, data: bytes, said: str
) -> None:
    hand.send(name, data)
    if "columns" in hand.hand.address:
        hand.confirm()
    assert said in hand.said
    assert "/tmp" not in hand.said


def test_no_file_at_all_is_said(hand: TableHand) -> None:
    hand.hand.send("/tables")
    assert (hand.hand.status, "no file was chosen" in hand.said) == (422, True)


def test_last_years_table_is_compared_with(hand: TableHand, by_command: Path) -> None:
    """The earlier table is confirmed as the other was; the result is that of the command."""
    before = EXAMPLES / "clinic_day_before.csv"
    hand.send("clinic_day.csv", CLINIC_DAY.read_bytes())
    key = hand.key
    hand.hand.go(f"/tables/{key}/before")
    reply = hand.hand.client.post(
        f"/tables/{key}/before", files={"table": ("last.csv", before.read_bytes())}
    )
    hand.hand._take(reply)
    hand.wait()
    assert "Earlier table: are these columns right?" in hand.said
    hand.hand.send(f"/tables/{hand.key}/columns", **hand.chosen())
    assert hand.key == key
    assert "Clients will be compared with last.csv , matched by their code." in hand.said
    hand.confirm()
    foldspan.screen_table(CLINIC_DAY, by_command / "changed.csv", before=before, replace=True)
    assert hand.file("screened.csv") == (by_command / "changed.csv").read_bytes()
    hand.hand.go(f"/tables/{key}/columns")
    hand.press("before", leave_out="yes")
    hand.confirm()
    assert hand.file("screened.csv") == (by_command / "screened.csv").read_bytes()
    hand.hand.go("/tables")
    assert hand.said.count("clinic_day.csv") == 1
    assert "last.csv" not in hand.said


def test_a_few_people_are_no_group(hand: TableHand) -> None:
    hand.send("day.csv", DOUBTFUL.encode())
    hand.confirm()
    assert "needs at least 20 adults whose sex is recorded" in hand.said
    assert "/group?as=" not in hand.hand.page
    reply = hand.hand.client.get(f"/tables/{hand.key}/group?as=pdf")
    assert (reply.status_code, "fewer than 20 adults" in reply.text) == (409, True)

"""The earlier table in every kind of file, by its own names and units, with any number of workers."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pyarrow as pa
import pyarrow.csv as arrow_csv
import pyarrow.parquet as pq
import pytest
import xlsxwriter
from openpyxl import load_workbook

import foldspan
from foldspan.files import waiting
from screen_desk import Run
from screen_people import NOW, THEN, write_rows

EXAMPLES = Path(__file__).parents[3] / "examples"
DAY, YEAR_BEFORE = str(EXAMPLES / "clinic_day.csv"), str(EXAMPLES / "clinic_day_before.csv")


def as_workbook(path: Path, *sheets: tuple[str, Path]) -> str:
    """Rows of CSV files as sheets; what looks like a number is one."""
    with xlsxwriter.Workbook(str(path), {"strings_to_numbers": True}) as book:
        for title, table in sheets:
            sheet = book.add_worksheet(title)
            for number, row in enumerate(csv.reader(io.StringIO(table.read_text("utf-8")))):
                sheet.write_row(number, 0, row)
    return str(path)


def said(folder: Path, old: str | foldspan.EarlierTable, new: str = DAY, **options: object) -> str:
    """The result of a comparison as text, and its summary."""
    out = folder / "said.csv"
    summary = foldspan.screen_table(new, str(out), before=old, replace=True, **options)  # type: ignore[arg-type]
    assert summary.change is not None
    return out.read_text("utf-8") + json.dumps(summary.change.to_dict())


@pytest.mark.parametrize("kind", ["tsv.gz", "xlsx", "typed", "texts", "folder", "result", "utf-16"])
def test_an_earlier_table_says_the_same_in_every_kind_of_file(tmp_path: Path, kind: str) -> None:
    import gzip

    table = arrow_csv.read_csv(YEAR_BEFORE)
    as_text = table.cast(pa.schema([(name, pa.string()) for name in table.column_names]))
    text = Path(YEAR_BEFORE).read_text("utf-8")

    def folder() -> str:
        (tmp_path / "parts").mkdir()
        for number, start in enumerate((0, 5, 30)):
            end = (5, 30, table.num_rows)[number]
            pq.write_table(table.slice(start, end - start), tmp_path / f"parts/{number}.parquet")
        return str(tmp_path / "parts")

    def kept(name: str, data: bytes) -> str:
        (tmp_path / name).write_bytes(data)
        return str(tmp_path / name)

    def typed(what: pa.Table) -> str:
        pq.write_table(what, tmp_path / "old.parquet")
        return str(tmp_path / "old.parquet")

    def result() -> str:
        foldspan.screen_table(YEAR_BEFORE, str(tmp_path / "last.csv"))
        return str(tmp_path / "last.csv")

    makers: dict[str, Callable[[], str]] = {
        "tsv.gz": lambda: kept("old.tsv.gz", gzip.compress(text.replace(",", "\t").encode())),
        "xlsx": lambda: as_workbook(tmp_path / "old.xlsx", ("Day", Path(YEAR_BEFORE))),
        "typed": lambda: typed(table),
        "texts": lambda: typed(as_text),
        "folder": folder,
        "result": result,
        "utf-16": lambda: kept("old.csv", text.encode("utf-16")),
    }
    assert said(tmp_path, makers[kind]()) == said(tmp_path, YEAR_BEFORE)


def test_any_number_of_workers_and_any_parts_give_the_same(tmp_path: Path) -> None:
    rows = [row for number in range(9_000) for row in [{"code": f"P-{number}"}]]
    now = write_rows(tmp_path / "now.csv", [NOW | row for row in rows])
    then = write_rows(tmp_path / "then.csv", [THEN | row for row in reversed(rows[:5_000])])
    by_one_worker, by_two_workers = (
        said(tmp_path, then, now, workers=workers) for workers in (1, 2)
    )
    assert by_one_worker == by_two_workers
    table = arrow_csv.read_csv(now)
    (tmp_path / "parts").mkdir()
    for number, start in enumerate((0, 1, 4_000)):
        end = (1, 4_000, 9_000)[number]
        pq.write_table(table.slice(start, end - start), tmp_path / f"parts/{number}.parquet")
    summary = foldspan.screen_table(tmp_path / "parts", tmp_path / "out", before=then)
    assert summary.change is not None
    assert by_one_worker.endswith(json.dumps(summary.change.to_dict()))
    parts = pa.concat_tables([pq.read_table(path) for path in sorted((tmp_path / "out").iterdir())])
    whole = pq.read_table(tmp_path / "out")
    assert parts.column("fat_percent_change").null_count == 4_000
    assert whole.num_rows == 9_000


def test_a_folder_is_continued_only_with_the_same_earlier_table(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    table = arrow_csv.read_csv(write_rows(tmp_path / "now.csv", [NOW]))
    pq.write_table(table, tmp_path / "parts" / "0.parquet")
    out = tmp_path / "out"
    for weight in (78.0, 78.0, 90.0):
        old = write_rows(tmp_path / f"then-{weight}.csv", [THEN | {"weight_kg": weight}])
        before = (out / "0.parquet").stat().st_mtime_ns if out.exists() else 0
        foldspan.screen_table(tmp_path / "parts", out, before=old, resume=True)
        (change,) = pq.read_table(out)["weight_change_kg"].to_pylist()
        assert change == pytest.approx(77.0 - weight)
    assert (out / "0.parquet").stat().st_mtime_ns > before


def test_a_table_is_read_by_its_own_names_and_units(tmp_path: Path) -> None:
    plain = write_rows(tmp_path / "then.csv", [THEN])
    now = write_rows(tmp_path / "now.csv", [NOW])
    names = {"weight_kg": "Wt", "code": "Staff no", "waist_midpoint_cm": "Waist"}
    other = {names.get(name, name): value for name, value in THEN.items()}
    other |= {"Wt": round(78.0 / 0.45359237, 3), "sex": "weiblich"}
    earlier = foldspan.EarlierTable(
        write_rows(tmp_path / "other.csv", [other]),
        names={"Wt": "weight_lb", "Staff no": "code", "Waist": "waist_midpoint_cm"},
        units={"Waist": "cm"},
        words={"weiblich": "female"},
    )
    assert said(tmp_path, earlier, now) == said(tmp_path, plain, now)


def test_what_is_said_of_the_new_columns_holds_for_those_of_the_same_name(tmp_path: Path) -> None:
    then, now = (
        {"Staff no" if k == "code" else k: v for k, v in row.items()} for row in (THEN, NOW)
    )
    old = write_rows(tmp_path / "then.csv", [then])
    new = write_rows(tmp_path / "now.csv", [now | {"Girth": 89.0, "waist_midpoint_cm": ""}])
    found = said(tmp_path, old, new, names={"Staff no": "code", "Girth": "not_used"})
    assert '"matched": 1' in found


def test_what_was_read_of_the_earlier_table_is_said(tmp_path: Path) -> None:
    """And what was not; of a result what was said of it then is no column that was missed."""
    new = write_rows(tmp_path / "now.csv", [NOW])
    old = write_rows(tmp_path / "then.csv", [THEN | {"tricep_mm": 20}])
    summary = foldspan.screen_table(new, tmp_path / "out.csv", before=old)
    said_then = [note.text for note in summary.coded_notes if note.code.endswith("_before")]
    assert said_then == [
        "Read from the earlier table: code, sex, age_years, date, tester, weight_kg, height_cm,"
        " waist_midpoint_cm, triceps_mm.",
        "Columns of the earlier table not used (unknown names): tricep_mm. [W402]",
    ]
    foldspan.screen_table(write_rows(tmp_path / "t.csv", [THEN]), tmp_path / "last.csv")
    summary = foldspan.screen_table(
        new, tmp_path / "out.csv", before=tmp_path / "last.csv", replace=True
    )
    assert "unused_before" not in {note.code for note in summary.coded_notes}


def test_two_sheets_of_one_workbook(tmp_path: Path, run: Run) -> None:
    for name, row in (("2025", THEN), ("2026", NOW)):
        write_rows(tmp_path / f"{name}.csv", [row | {"code": 7}])
    book = as_workbook(
        tmp_path / "day.xlsx", *((year, tmp_path / f"{year}.csv") for year in ("2025", "2026"))
    )
    out = tmp_path / "year.xlsx"
    code, shown, errors = run(
        "screen",
        book,
        "-o",
        str(out),
        "--sheet",
        "2026",
        "--before",
        book,
        "--before-sheet",
        "2025",
    )
    assert code == 0, errors
    assert "matched by code" in " ".join(shown.split())
    sheets = load_workbook(out)
    names, row = list(sheets["Result"].values)
    values = dict(zip(names, row, strict=True))
    assert values["fat_percent_change"] == pytest.approx(-0.4, abs=0.4)
    assert values["change_verdict"] == "unclear"
    summary = list(sheets["Summary"].values)
    assert ("Change in body fat since then", "no clear change", 1, 1) in summary
    assert any(str(title).startswith("Compared with") for title, *_ in summary)


def test_the_command_takes_names_units_and_a_map_file(tmp_path: Path, run: Run) -> None:
    other = {"Staff no" if k == "code" else k: v for k, v in THEN.items()}
    old = write_rows(
        tmp_path / "then.csv", [{("Wt" if k == "weight_kg" else k): v for k, v in other.items()}]
    )
    new = write_rows(tmp_path / "now.csv", [NOW])
    (tmp_path / "names.toml").write_text('[columns]\n"Staff no" = "code"\n', encoding="utf-8")
    words = ("screen", new, "-o", str(tmp_path / "o.csv"), "--before", old, "--json")
    code, shown, errors = run(
        *words, "--before-map-file", str(tmp_path / "names.toml"), "--before-map", "Wt=weight_kg",
        "--before-unit", "Wt=kg",
    )  # fmt: skip
    assert code == 0, errors
    assert json.loads(shown)["change"]["matched"] == 1


def test_records_wait_in_a_folder_of_the_owner_without_a_code(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "waiting"
    folder.mkdir()
    monkeypatch.setattr(waiting.tempfile, "tempdir", str(folder))
    seen: list[bytes] = []

    def look(rows: int, share: float | None) -> None:
        for place in folder.glob("foldspan-*"):
            assert place.stat().st_mode & 0o777 == 0o700
            seen.extend(file.read_bytes() for file in place.iterdir())

    old = write_rows(tmp_path / "then.csv", [THEN | {"code": "SECRETCODE", "tester": "TESTERNAME"}])
    new = write_rows(tmp_path / "now.csv", [NOW | {"code": "SECRETCODE"}])
    foldspan.screen_table(new, tmp_path / "out.csv", before=old, progress=look)
    assert seen
    assert not any(b"SECRETCODE" in data or b"TESTERNAME" in data for data in seen)
    assert list(folder.iterdir()) == []


def test_nothing_of_the_earlier_table_stays_open(tmp_path: Path) -> None:
    """A program that goes on holds no file of a folder that is gone."""
    from foldspan.screening.before import earlier

    old, new = write_rows(tmp_path / "t.csv", [THEN]), write_rows(tmp_path / "n.csv", [NOW])
    foldspan.screen_table(new, tmp_path / "out.parquet", before=old)
    kept = (earlier._records, earlier._index, earlier._twice)
    assert [cached.cache_info().currsize for cached in kept] == [0, 0, 0]
    (change,) = pq.read_table(tmp_path / "out.parquet")["weight_change_kg"].to_pylist()
    assert change == -1.0


def test_a_change_that_rounds_to_nought_has_no_sign(tmp_path: Path) -> None:
    old = write_rows(tmp_path / "t.csv", [THEN | {"weight_kg": 77.001}])
    new = write_rows(tmp_path / "n.csv", [NOW])
    for ending in ("csv", "parquet"):
        foldspan.screen_table(new, tmp_path / f"out.{ending}", before=old)
    (typed,) = pq.read_table(tmp_path / "out.parquet")["weight_change_kg"].to_pylist()
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as file:
        (row,) = csv.DictReader(file)
    assert (str(typed), row["weight_change_kg"]) == ("0.0", "0.00")

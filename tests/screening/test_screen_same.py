"""The same row gets the same answer alone, in any kind of file, in any parts, from any worker."""

from __future__ import annotations

import copy
import csv
import gzip
import io
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.estimation.settings import Settings
from foldspan.screening import batch
from foldspan.tables import clients, parquet
from foldspan.tables.answers import Answers, answer_rows
from foldspan.tables.csv import blocks
from foldspan.tables.rows import Cells
from screen_people import ROWS, TABLE, write


def said(out: Path) -> list[dict[str, Any]]:
    """The columns of the result alone: as texts from CSV, as values from Parquet."""
    if out.is_dir() or out.name.endswith(".parquet"):
        rows = pq.read_table(out).to_pylist()
    else:
        raw = gzip.decompress(out.read_bytes()) if out.name.endswith(".gz") else out.read_bytes()
        rows = list(csv.DictReader(io.StringIO(raw.decode(), newline=""), strict=True))
    return [{name: row[name] for name in list(row)[len(TABLE.column_names) :]} for row in rows]


def as_texts(rows: list[dict[str, Any]]) -> list[dict[str, str]]:
    def text(value: Any) -> str:
        return "" if value is None else f"{value:.2f}" if isinstance(value, float) else str(value)

    return [{name: text(value) for name, value in row.items()} for row in rows]


def screened(folder: Path, source: str, out: str, **options: Any) -> list[dict[str, Any]]:
    table = folder / source
    if not table.exists():
        write(table)
    foldspan.screen_table(str(table), str(folder / out), **options)
    return said(folder / out)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, str]]:
    """What is said of the rows of one CSV, in one go."""
    rows = screened(tmp_path_factory.mktemp("whole"), "in.csv", "out.csv")
    ranges = [row for row in rows if row["fat_percent"]]
    assert ROWS // 2 < len(ranges) < ROWS
    assert any(row["worst_flag_level"].startswith("refer") for row in rows)
    return rows


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    return screened(tmp_path_factory.mktemp("typed"), "in.parquet", "out.parquet")


@pytest.fixture
def answered_once() -> Iterator[None]:
    """The same cells under the same settings are answered once, from whatever file they are read.

    How rows are cut and read, and what is written of their answers, is done for every file.
    """
    known: dict[str, Answers] = {}

    def remembered(cells: Cells, settings: Settings) -> Answers:
        columns = {
            name: [(column.type, column.to_pylist(), unit) for column, unit in some]
            for name, some in cells.columns.items()
        }
        name = repr((cells.length, columns, cells.rules, settings))
        if name not in known:
            known[name] = answer_rows(cells, settings)
        return copy.deepcopy(known[name])  # marks are added to it

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(batch, "answer_rows", remembered)
        yield


SOURCES = ("in.csv", "in.csv.gz", "in.parquet", "in_parts")


@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("out", ["out.csv", "out.csv.gz", "out.parquet"])
def test_any_kind_of_file_says_the_same(
    tmp_path: Path, whole: list[dict[str, str]], typed: list[dict[str, Any]], source: str, out: str
) -> None:
    rows = screened(tmp_path, source, out)
    assert as_texts(rows) == whole
    if out.endswith("parquet"):
        assert rows == typed


def test_a_folder_to_a_folder_says_the_same(tmp_path: Path, typed: list[dict[str, Any]]) -> None:
    assert screened(tmp_path, "in_parts", "out_parts") == typed
    assert screened(tmp_path, "in_parts", "two_workers", workers=2) == typed
    for path in (tmp_path / "out_parts").iterdir():
        assert path.read_bytes() == (tmp_path / "two_workers" / path.name).read_bytes()


def test_a_row_alone_says_the_same(
    tmp_path: Path, whole: list[dict[str, str]], typed: list[dict[str, Any]]
) -> None:
    """Each row as a file of its own, whatever stood beside it before."""
    for place in range(0, ROWS, 2):
        write(tmp_path / f"{place}.csv", TABLE.slice(place, 1))
        write(tmp_path / f"{place}.parquet", TABLE.slice(place, 1))
        assert screened(tmp_path, f"{place}.csv", f"{place}.out.csv") == [whole[place]]
        assert screened(tmp_path, f"{place}.parquet", f"{place}.out.parquet") == [typed[place]]


@pytest.mark.parametrize("turn", ["reversed", "shuffled", "twice"])
def test_the_order_of_rows_changes_none(
    tmp_path: Path, whole: list[dict[str, str]], turn: str
) -> None:
    order = list(range(ROWS))
    if turn == "shuffled":
        random.Random(3).shuffle(order)
    order = {"reversed": order[::-1], "twice": order * 2}.get(turn, order)
    write(tmp_path / "in.csv", TABLE.take(order))
    assert screened(tmp_path, "in.csv", "out.csv") == [whole[place] for place in order]


@pytest.mark.usefixtures("answered_once")
@pytest.mark.parametrize("size", [1, 2, 3, 7, 40])
def test_the_size_of_parts_changes_nothing(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    whole: list[dict[str, str]],
    typed: list[dict[str, Any]],
    size: int,
) -> None:
    options: dict[str, Any] = {"referrals": str(tmp_path / "one.csv")}
    for name in SOURCES:
        write(tmp_path / name)
    foldspan.screen_table(str(tmp_path / "in.csv"), str(tmp_path / "one_go.csv"), **options)
    monkeypatch.setattr(blocks, "BLOCK", 200 + 61 * (size - 1))  # the names have to fit in
    monkeypatch.setattr(blocks, "SAMPLE", 200 + 61 * (size - 1))
    monkeypatch.setattr(parquet, "BATCH", size)
    monkeypatch.setattr(clients, "ROWS_AT_ONCE", size)
    for source in SOURCES:
        assert screened(tmp_path, source, f"{source}.out.csv") == whole
        assert screened(tmp_path, source, f"{source}.out.parquet") == typed
    options["referrals"] = str(tmp_path / "many.csv")
    foldspan.screen_table(str(tmp_path / "in.csv"), str(tmp_path / "many_go.csv"), **options)
    for first, other in (("one.csv", "many.csv"), ("one_go.csv", "many_go.csv")):
        assert (tmp_path / first).read_bytes() == (tmp_path / other).read_bytes()


def test_more_workers_change_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: list[dict[str, Any]]
) -> None:
    """Small parts, so that both have many of them; the summary and the list are the same as well."""
    monkeypatch.setattr(blocks, "BLOCK", 400)
    monkeypatch.setattr(blocks, "SAMPLE", 400)
    monkeypatch.setattr(parquet, "BATCH", 5)
    for source, out in (("in.csv", "out.csv"), ("in.parquet", "out.parquet")):
        found = []
        for workers in (1, 2):
            folder = tmp_path / f"{source}.{workers}"
            folder.mkdir()
            write(folder / source)
            listed = folder / "list.csv"
            done = foldspan.screen_table(
                str(folder / source), str(folder / out), referrals=str(listed), workers=workers
            )
            found.append((done.to_dict(), (folder / out).read_bytes(), listed.read_bytes()))
        assert found[0] == found[1]
    assert said(tmp_path / "in.parquet.2" / "out.parquet") == typed


STRAY = (
    "S1,f,41,71.5,168,5'10\"\n",
    'S2,m,37,80.5,181,"two\nlines"\n',
    "S3,f,41,71.5\n",
    'S4,f,52,64.5,159,"a ""word"", and\n\nmore"\n',
    "S5,m,29,91.5,178,plain\n",
    'S6,m,29,91.5,178,6"\n',
    'S7,f,63,58.5,151,"x\ny"\n',
)


@pytest.mark.usefixtures("answered_once")
def test_a_stray_quote_and_a_cut_at_any_byte_change_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Inches are marked with a quote that opens nothing; where a part is cut must not depend on it."""
    table, pick = tmp_path / "in.csv", random.Random("stray")
    lines = [
        line.replace("S", f"S{n}-", 1) for n in range(3) for line in pick.sample(STRAY, len(STRAY))
    ]
    table.write_text("code,sex,age_years,weight_kg,height_cm,note\n" + "".join(lines), newline="")
    foldspan.screen_table(str(table), str(tmp_path / "whole.csv"))
    wanted = (tmp_path / "whole.csv").read_bytes()
    assert (
        len(list(csv.reader(io.StringIO(wanted.decode(), newline=""), strict=True)))
        == len(lines) + 1
    )
    for block in range(70, 500, 13):
        monkeypatch.setattr(blocks, "BLOCK", block)
        monkeypatch.setattr(blocks, "SAMPLE", block)
        foldspan.screen_table(str(table), str(tmp_path / "out.csv"), replace=True)
        assert (tmp_path / "out.csv").read_bytes() == wanted, f"cut every {block} bytes"


def test_reconcile_table_says_the_same_to_two_decimals(typed: list[dict[str, Any]]) -> None:
    frame = TABLE.drop_columns(["note"]).to_pandas()
    table = foldspan.reconcile_table(frame)
    ours = pd.DataFrame(typed)
    for name in table.columns.intersection(ours.columns):
        if name == "problems":
            continue
        theirs, screened = table[name].to_numpy(), ours[name].to_numpy()
        if pd.api.types.is_numeric_dtype(table[name]):
            theirs, screened = theirs.astype(float), screened.astype(float)
            assert np.array_equal(np.rint(theirs * 100.0) / 100.0, screened, equal_nan=True), name
        else:
            assert [str(cell or "") for cell in theirs] == [str(cell or "") for cell in screened], (
                name
            )
    assert list(table["problems"].fillna("").astype(bool)) == [
        bool(row["problems"]) for row in typed
    ]


OPEN = (
    'S3,f,41,"61.5,170,open', 'S3,f,41,61.5,170,"open', '"S3,f,41,61.5,170,open',
)  # fmt: skip
CLOSED = (
    'S4,f,41,61.5,170,shut"',
    'S4,f,41,61.5,170,"',
    'S4,"f",41,61.5,170,x',
    'S4,f,41,6"1.5,170,',
)


@pytest.mark.parametrize("opened", OPEN)
@pytest.mark.parametrize("closed", [*CLOSED, ""])
def test_a_quote_that_stays_open_over_the_end_of_a_part_is_told_where_it_would_be_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: str, closed: str
) -> None:
    """Both rows are given up, those between and below are read; wherever the parts are cut."""
    monkeypatch.setattr(blocks, "LONGEST_CELL", 600)
    monkeypatch.setattr("foldspan.tables.csv.rows.LONGEST_CELL", 600)
    sound = [f"S{number},f,41,{60 + number / 10},168,fine" for number in range(100)]
    quoted = [line.replace("fine", '"fine, or so"') for line in sound[:30]]
    closing = [closed, *quoted] if closed else sound[:30]
    lines = [*sound[:5], opened, *sound, *closing, *sound[:5]]
    table, out = tmp_path / "in.csv", tmp_path / "out.csv"
    table.write_text("\n".join(["code,sex,age_years,weight_kg,height_cm,note", *lines, ""]))
    wanted = b""
    for block in (1 << 20, 700, 1_501, 2_003, 3_700):
        monkeypatch.setattr(blocks, "BLOCK", block)
        monkeypatch.setattr(blocks, "SAMPLE", block)
        foldspan.screen_table(str(table), str(out), replace=True)
        wanted = wanted or out.read_bytes()
        assert out.read_bytes() == wanted, f"cut every {block} bytes"
    rows = list(csv.DictReader(io.StringIO(wanted.decode(), newline=""), strict=True))
    lost = [number for number, row in enumerate(rows) if "[E411]" in row["problems"]]
    assert lost == ([5, 106] if closed else [5])
    assert len(rows) == len(lines)
    assert all(row["fat_percent"] for number, row in enumerate(rows) if number not in lost)

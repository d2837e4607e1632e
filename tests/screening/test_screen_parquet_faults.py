"""Parquet files and folders of parts that are cut short, damaged or of odd kinds."""

from __future__ import annotations

import io
import os
import pickle
import re
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.problems import FoldspanError, Problem
from screen_desk import ANNA, HEAD, PERSONAL, Desk, Run, read_back

pytestmark = pytest.mark.usefixtures("nothing_left_open")


PEOPLE = {
    "code": ["K-01", "K-02"],
    "sex": ["female", "male"],
    "age_years": [41.0, 37.0],
    "weight_kg": [71.37, 80.29],
    "height_cm": [168.43, 181.61],
    "note": ["fine", "ok"],
}


def parquet(**more: Any) -> bytes:
    sink = io.BytesIO()
    pq.write_table(pa.table(PEOPLE | more), sink)
    return sink.getvalue()


def test_parquet_cut_short_or_something_else_is_refused(desk: Desk) -> None:
    whole = parquet()
    for data in (whole[:-50], whole[:20], b"", b"PAR1", HEAD + ANNA, whole[:-8] + b"\xff" * 8):
        desk.refused(data, "E303", name="table.parquet")
    desk.refused(
        parquet(**{name: some[:0] for name, some in PEOPLE.items()}), "E306", name="t.parquet"
    )


@pytest.mark.parametrize("out", ["out.csv", "out.parquet"])
def test_parquet_damaged_inside_is_refused_in_calm_words(desk: Desk, out: str) -> None:
    """Its end is whole, so that the damage shows once rows are read."""
    desk.out = desk.folder / out
    data = bytearray(parquet())
    data[8:60] = b"\xff" * 52
    desk.refused(bytes(data), "E303", name="table.parquet")


def test_parquet_of_odd_kinds_keeps_its_rows(desk: Desk, alone: dict[str, list[str]]) -> None:
    """Lists, bytes and structs pass through; as a measurement they are no number."""
    odd = {
        "list": [[1.5], None], "bytes": [b"\xff\xfe", None], "struct": [{"a": 1}, None],
        "triceps_mm": [[1.0], None], "thigh_mm": [b"12", None], "calf_mm": [{"a": 1.0}, None],
    }  # fmt: skip
    code, rows = desk.screen(parquet(**odd), name="table.parquet")
    assert code == 0
    assert len(rows) == 2
    assert list(rows[1].values())[12:] == alone["K-02"]
    for name in ("triceps_mm", "thigh_mm", "calf_mm"):
        assert re.search(rf"{name}: [^;]*", rows[0]["problems"])


def test_parquet_with_names_of_the_result_is_refused(desk: Desk) -> None:
    desk.refused(parquet(range_80_low=[1.0, 2.0]), "E403", name="table.parquet")


class Shelf:
    """A folder of three parts."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.out = folder / "parts", folder / "done"
        self.folder.mkdir()
        for number in range(3):
            self.part(number).write_bytes(parquet())

    def part(self, number: int) -> Path:
        return self.folder / f"part-{number}.parquet"

    def screen(self, out: Path, *words: str, run: Run) -> tuple[int, str]:
        code, _, said = run("screen", str(self.folder), "-o", str(out), "--workers", "1", *words)
        assert "Exception ignored" not in said
        assert not [value for value in PERSONAL if value in said]
        return code, said


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


BROKEN = {
    "cut": lambda raw: raw[:-50],
    "empty": lambda raw: b"",
    "text": lambda raw: HEAD + ANNA,
    "damaged": lambda raw: raw[:8] + b"\xff" * 52 + raw[60:],
}


@pytest.mark.parametrize("kind", BROKEN)
@pytest.mark.parametrize("to", ["done", "done.csv", "done.parquet"])
def test_an_unreadable_part_costs_no_other(shelf: Shelf, run: Run, kind: str, to: str) -> None:
    shelf.part(1).write_bytes(BROKEN[kind](parquet()))
    out = shelf.folder.parent / to
    code, said = shelf.screen(out, run=run)
    assert "part-1.parquet" in said
    assert "[E303]" in said
    if code == 2:  # into one file half a part cannot be left out: then nothing is written
        assert (to != "done", kind) == (True, "damaged")
        assert not out.exists()
        return
    assert code == 3
    if to == "done":
        assert sorted(path.name for path in out.iterdir()) == ["part-0.parquet", "part-2.parquet"]
        assert {stat.S_IMODE(path.stat().st_mode) for path in out.iterdir()} == {0o600}
        assert stat.S_IMODE(out.stat().st_mode) == 0o700
    rows = pq.read_table(out).num_rows if to != "done.csv" else len(read_back(out.read_bytes()))
    assert rows == 4


@pytest.mark.parametrize("to", ["done", "done.csv", "done.parquet"])
def test_a_folder_without_a_readable_part_is_told(shelf: Shelf, run: Run, to: str) -> None:
    for number in range(3):
        shelf.part(number).write_bytes(b"x")
    code, said = shelf.screen(shelf.folder.parent / to, run=run)
    assert (code, "[E303]" in said) == (2, True)
    assert not (shelf.folder.parent / to).is_file()


@pytest.mark.parametrize("to", ["done", "done.csv"])
def test_a_part_of_other_columns_is_named(shelf: Shelf, run: Run, to: str) -> None:
    shelf.part(1).write_bytes(parquet(more=[1, 2]))
    code, said = shelf.screen(shelf.folder.parent / to, run=run)
    assert code in (2, 3)
    assert "part-1.parquet" in said
    assert "[E404]" in said


def test_a_folder_of_results_is_not_written_over_or_into_itself(shelf: Shelf, run: Run) -> None:
    shelf.screen(shelf.out, run=run)
    for out, words in (
        (shelf.out, ()), (shelf.folder, ("--force",)), (shelf.folder / "in", ("--force",)),
    ):  # fmt: skip
        code, said = shelf.screen(out, *words, run=run)
        assert (code, "[E308]" in said) == (2, True)


@pytest.mark.parametrize("link", [os.symlink, os.link])
def test_a_part_is_never_written_over_through_a_link(
    shelf: Shelf, run: Run, link: Callable[[Path, Path], None]
) -> None:
    before = shelf.part(0).read_bytes()
    shelf.out.mkdir()
    link(shelf.part(0), shelf.out / "part-0.parquet")
    shelf.screen(shelf.out, "--force", run=run)
    assert shelf.part(0).read_bytes() == before


def test_a_folder_that_cannot_be_made_is_told(shelf: Shelf, run: Run) -> None:
    (shelf.folder.parent / "file").write_text("x")
    code, said = shelf.screen(shelf.folder.parent / "file" / "done", run=run)
    assert (code, "[E3" in said) == (2, True)


def test_no_room_for_a_part_is_told_from_a_worker_too(tmp_path: Path, shelf: Shelf) -> None:
    """What a worker process says has to come through as it was said."""
    problem = Problem("E303", "here", "no room", "Make some.", "71.37")
    error = pickle.loads(pickle.dumps(FoldspanError([problem])))
    assert error.problems == (problem,)
    shelf.out.mkdir()
    (shelf.out / "part-0.parquet").mkdir()
    with pytest.raises(FoldspanError, match="part-0") as caught:
        foldspan.screen_table(str(shelf.folder), str(shelf.out), workers=2, replace=True)
    assert caught.value.problems[0].code == "E302"

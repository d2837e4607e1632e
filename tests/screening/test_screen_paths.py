"""Paths of ``foldspan screen``: files cut short or written over, full disks, folders with a bad part."""

from __future__ import annotations

import errno
import gzip
import io
import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import foldspan
from foldspan.files import output
from foldspan.screening.run import single
from screen_desk import ANNA, BERT, HEAD, PERSONAL, Desk, Run, check_good, read_back

pytestmark = pytest.mark.usefixtures("nothing_left_open")


def test_the_table_is_never_written_over(desk: Desk) -> None:
    data = HEAD + ANNA + BERT
    table = desk.folder / "table.csv"
    table.write_bytes(data)
    os.symlink(table, desk.folder / "link.csv")
    os.link(table, desk.folder / "hard.csv")
    for out in ("table.csv", "link.csv", "hard.csv", "./table.csv"):
        desk.out = desk.folder / out
        for words in ((), ("--force",)):
            desk.refused(data, "E308", *words)
            assert table.read_bytes() == data


@pytest.mark.parametrize("where", ["table.csv", "link.csv", "hard.csv"])
def test_the_list_never_takes_the_place_of_the_table(desk: Desk, where: str) -> None:
    data = HEAD + ANNA + BERT
    table = desk.folder / "table.csv"
    table.write_bytes(data)
    os.symlink(table, desk.folder / "link.csv")
    os.link(table, desk.folder / "hard.csv")
    desk.refused(data, "E308", "--referrals", str(desk.folder / where), "--force")
    assert table.read_bytes() == data


def test_the_list_and_the_result_are_two_files(desk: Desk) -> None:
    for words in ((), ("--force",)):
        desk.refused(HEAD + ANNA, "E308", "--referrals", str(desk.out), *words)


def test_the_list_is_private_and_whole(desk: Desk) -> None:
    table, listed = desk.folder / "table.csv", desk.folder / "list.csv"
    table.write_bytes(HEAD.replace(b"note", b"symptoms") + b"K,male,52,84.5,178,chest_pain\n")
    foldspan.screen_table(str(table), str(desk.out), referrals=str(listed))
    assert stat.S_IMODE(listed.stat().st_mode) == 0o600
    assert [row["code"] for row in read_back(listed.read_bytes())] == ["K"]


def test_an_old_result_stays_until_the_new_one_is_whole(desk: Desk) -> None:
    desk.out.write_bytes(b"old")
    desk.refused(HEAD + ANNA, "E308")
    desk.refused(gzip.compress(HEAD + ANNA * 5000)[:-30], "E303", "--force")
    assert desk.out.read_bytes() == b"old"


@pytest.mark.parametrize("name", ["table.csv.gz", "table.csv"])
def test_a_packed_file_is_known_by_its_bytes(
    desk: Desk, alone: dict[str, list[str]], name: str
) -> None:
    code, rows = desk.screen(gzip.compress(HEAD + ANNA + BERT), name=name)
    assert code == 0
    check_good(rows, alone)


def test_a_plain_file_named_gz_is_read(desk: Desk, alone: dict[str, list[str]]) -> None:
    _, rows = desk.screen(HEAD + ANNA + BERT, name="table.csv.gz")
    check_good(rows, alone)


@pytest.mark.parametrize("name", ["table.csv.gz", "table.csv"])
@pytest.mark.parametrize("workers", ["1", "2"])
def test_a_packed_file_cut_short_writes_nothing(desk: Desk, name: str, workers: str) -> None:
    lines = b"".join(b"K%d,female,41,%d.37,168.43,fine\n" % (n, 50 + n % 40) for n in range(300))
    packed = gzip.compress(HEAD + lines)
    for data in (packed[:-4], packed[: len(packed) // 2], packed[:5], packed[:200] + b"junk" * 99):
        exit_code, _ = desk.screen(data, name=name, workers=workers)
        assert exit_code == 2
        assert "[E303]" in desk.shown


def test_a_packed_file_damaged_in_the_middle_writes_nothing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The damage comes to light after the first rows were written."""
    monkeypatch.setattr("foldspan.tables.csv.blocks.BLOCK", 2_000)
    monkeypatch.setattr("foldspan.tables.csv.blocks.SAMPLE", 2_000)
    lines = b"".join(b"K%d,female,41,%d.37,168.43,fine\n" % (n, 50 + n % 40) for n in range(900))
    desk.refused(gzip.compress(HEAD + lines)[:-8], "E303", name="table.csv.gz")


@pytest.mark.parametrize("name", ["table.txt", "table", "table.xls"])
def test_an_unknown_ending_is_refused(desk: Desk, name: str) -> None:
    desk.refused(HEAD + ANNA, "E307", name=name)


@pytest.mark.parametrize(
    "out, code",
    [("no/out.csv", "E303"), ("out.ods", "E307"), ("out", "E307"), ("table.csv/o.csv", "E303"),
     ("a" * 300 + ".csv", "E303")],
)  # fmt: skip
def test_a_result_that_cannot_be_is_refused(desk: Desk, out: str, code: str) -> None:
    desk.out = desk.folder / out
    desk.refused(HEAD + ANNA, code)


def test_a_missing_table_is_told(desk: Desk, run: Run) -> None:
    code, _, said = run("screen", str(desk.folder / "no.csv"), "-o", str(desk.out))
    assert (code, "[E301]" in said) == (2, True)


def test_a_pipe_with_a_name_is_read_or_refused(desk: Desk, run: Run) -> None:
    pipe = desk.folder / "pipe.csv"
    os.mkfifo(pipe)
    words = ["-c", "import sys; open(sys.argv[1], 'wb').write(sys.argv[2].encode())", str(pipe)]
    with subprocess.Popen([sys.executable, *words, (HEAD + ANNA).decode()]) as writer:
        code, _, _ = run("screen", str(pipe), "-o", str(desk.out), "--workers", "1")
        writer.kill()
    assert code in (0, 2)


def no_room(*_: Any) -> int:
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("ending", ["out.csv", "out.csv.gz", "out.parquet"])
def test_a_full_disk_leaves_nothing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, ending: str
) -> None:
    """The disk is full once the rows are written; where it is, and what to do, is told."""
    desk.out = desk.folder / ending
    monkeypatch.setattr(output.os, "fsync", no_room)
    said = desk.refused(HEAD + ANNA + BERT, "E303")
    assert "the disk is full" in said
    assert ending in said


class Narrow(io.BytesIO):
    """A file on a disk with room for 600 bytes."""

    def write(self, data: Any, /) -> int:
        if self.tell() + len(memoryview(data).cast("B")) > 600:
            no_room()
        return super().write(data)


@pytest.mark.parametrize("ending", ["out.csv", "out.parquet"])
def test_a_disk_that_fills_up_half_way_is_told(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, ending: str
) -> None:
    real = output._whole_file  # the smallest place that every result passes

    class Aside:
        def __init__(self, path: str, *, replace: bool) -> None:
            self._real = real(path, replace=replace)

        def __enter__(self) -> Narrow:
            self._real.__enter__()
            return Narrow()

        def __exit__(self, *error: Any) -> bool | None:
            return self._real.__exit__(*error)

    monkeypatch.setattr(output, "_whole_file", Aside)
    desk.out = desk.folder / ending
    said = desk.refused(HEAD + (ANNA + BERT) * 50, "E303")
    assert "the disk is full" in said
    assert ending in said


def command(*words: str, **options: Any) -> subprocess.CompletedProcess[bytes]:
    line = [sys.executable, "-c", "from foldspan.cli import main; main()", "screen", *words]
    return subprocess.run(line, check=False, timeout=60, stderr=subprocess.PIPE, **options)


def test_a_full_standard_output_is_told(tmp_path: Path) -> None:
    """/dev/full is a disk without room."""
    if not os.path.exists("/dev/full"):
        pytest.skip("no /dev/full here")
    table = tmp_path / "table.csv"
    table.write_bytes(HEAD + ANNA + BERT)
    with open("/dev/full", "wb") as full:
        done = command(str(table), "-o", "-", "--workers", "1", stdout=full)
    said = done.stderr.decode()
    assert done.returncode == 2
    assert "[E303]" in said
    assert "failed" not in said
    assert not [value for value in PERSONAL if value in said]


def test_standard_streams_carry_the_rows_alone(alone: dict[str, list[str]]) -> None:
    for data in (HEAD + ANNA + BERT, gzip.compress(HEAD + ANNA + BERT)):
        done = command("-", "-o", "-", "--workers", "1", input=data, stdout=subprocess.PIPE)
        assert done.returncode == 0
        check_good(read_back(done.stdout), alone)
        assert b"2 rows" in done.stderr
    done = command("-", "-o", "-", "--workers", "1", input=b"", stdout=subprocess.PIPE)
    assert (done.returncode, done.stdout, b"[E306]" in done.stderr) == (2, b"", True)


def test_a_reader_that_goes_away_is_no_fault(tmp_path: Path) -> None:
    """``foldspan screen big.csv -o - | head -1``."""
    table = tmp_path / "table.csv"
    table.write_bytes(HEAD + (ANNA + BERT) * 2_000)
    line = [sys.executable, "-c", "from foldspan.cli import main; main()", "screen", str(table)]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen([*line, "-o", "-", "--workers", "1"], **streams) as started:  # type: ignore[call-overload]
        started.stdout.close()
        said = started.stderr.read().decode()
    assert "Traceback" not in said
    assert "failed" not in said
    assert "Exception ignored" not in said


# --- faults of the program itself ----------------------------------------------------------------


def test_a_fault_of_the_program_is_not_told_as_a_full_disk(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A ValueError in the work is no file that cannot be written."""
    table = desk.folder / "table.csv"
    table.write_bytes(HEAD + ANNA)

    def broken(*_: Any) -> None:
        raise ValueError("71.37")

    monkeypatch.setattr(single, "work_on_csv", broken)
    with pytest.raises(ValueError, match=r"71\.37"):
        foldspan.screen_table(str(table), str(desk.out))
    assert not desk.out.exists()


def test_a_path_may_be_a_path(desk: Desk) -> None:
    table = desk.folder / "table.csv"
    table.write_bytes(HEAD + ANNA)
    assert foldspan.screen_table(table, desk.out).rows == 1  # type: ignore[arg-type]

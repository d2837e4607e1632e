"""A run that is stopped, by whatever means, leaves a whole result or none; a folder can go on."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.cli.progress import Progress
from foldspan.problems import FoldspanError
from screen_people import ROWS, write

PLAIN_LINUX = sys.platform == "linux" and os.path.isdir("/proc/self/fd")
HEAD = b"code,sex,age_years,weight_kg,height_cm,triceps_mm\n"
LINES = b"".join(b"K%d,%s,41,%d.3,168,2%d\n" % (n, (b"female", b"male")[n % 2], 50 + n % 50, n % 9)
                 for n in range(4_000))  # fmt: skip


class Running:
    """The command in a session of its own, as a terminal would start it."""

    def __init__(self, *words: str) -> None:
        line = [sys.executable, "-c", "from foldspan.cli import main; main()", "screen", *words]
        self.process = subprocess.Popen(
            line, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, start_new_session=True
        )
        self.workers: list[int] = []

    def wait_until(self, test: Callable[[], bool]) -> None:
        """Wait until it is in the middle of its work."""
        start = time.monotonic()
        while not test():
            assert self.process.poll() is None, "it was done before it could be stopped"
            assert time.monotonic() - start < 60.0
            time.sleep(0.01)
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        found = [int(part) for part in children.read_text().split()]
        # the tracker outlives them by design: it tidies up what they shared
        self.workers = [process for process in found if not _is_tracker(process)]

    def writes(self, folder: Path) -> bool:
        """Whether it has a file without a name open in a folder, with something in it."""
        try:
            for path in Path(f"/proc/{self.process.pid}/fd").iterdir():
                where = os.readlink(path)
                is_ours = where.startswith(str(folder)) and where.endswith("(deleted)")
                if is_ours and os.stat(path).st_size:
                    return True
        except OSError:
            pass
        return False

    def end(self) -> tuple[int, str]:
        said = self.process.stderr.read().decode() if not self.workers else ""  # type: ignore[union-attr]
        return self.process.wait(timeout=60), said

    def left_over(self, seconds: float) -> list[int]:
        """Worker processes that live on after that time."""
        end = time.monotonic() + seconds
        while (
            alive := [worker for worker in self.workers if _is_alive(worker)]
        ) and time.monotonic() < end:
            time.sleep(0.05)
        return alive

    def close(self) -> None:
        """End what this test started, and nothing else."""
        for process_id in [*self.left_over(0.0), self.process.pid]:
            if process_id != self.process.pid or self.process.poll() is None:
                os.kill(process_id, signal.SIGKILL)
        self.process.wait()
        self.process.stderr.close()  # type: ignore[union-attr]


def _is_tracker(pid: int) -> bool:
    try:
        return b"resource_tracker" in Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return False


def _is_alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.fixture
def start() -> Iterator[Callable[..., Running]]:
    if not PLAIN_LINUX:
        pytest.skip("looks into /proc to find the right moment")
    running: list[Running] = []

    def call(*words: str) -> Running:
        running.append(Running(*words))
        return running[-1]

    yield call
    for process in running:
        process.close()


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return HEAD + LINES * 260


@pytest.mark.parametrize(
    "number, workers",
    [(signal.SIGKILL, "1"), (signal.SIGKILL, "2"), (signal.SIGTERM, "2"), (signal.SIGINT, "1"),
     (signal.SIGINT, "2")],
)  # fmt: skip
def test_a_run_that_is_stopped_leaves_nothing(
    tmp_path: Path, big: bytes, start: Callable[..., Running], number: int, workers: str
) -> None:
    """Neither a file under the name of the result nor beside it, and no worker that goes on."""
    table = tmp_path / "in.csv"
    table.write_bytes(big)
    words = ("-o", str(tmp_path / "out.csv"), "--referrals", str(tmp_path / "list.csv"))
    running = start(str(table), *words, "--workers", workers)
    running.wait_until(lambda: running.writes(tmp_path))
    if number == signal.SIGINT:  # a terminal sends it to everybody
        os.killpg(running.process.pid, number)
    else:
        os.kill(running.process.pid, number)
    code, message = running.end()
    assert code == (130 if number == signal.SIGINT else -number)
    assert "Traceback" not in message
    if number == signal.SIGINT and workers == "1":  # of others the end is not waited for
        assert message.strip() == "Stopped. No half-written file is left."
    assert [path.name for path in tmp_path.iterdir()] == ["in.csv"]
    assert running.left_over(4.0) == [], "workers live on"


def test_an_interruption_that_a_library_swallows_stops_at_the_next_step() -> None:
    """As a reader does that is about to return, once in a hundred times."""
    before = signal.getsignal(signal.SIGINT)
    with Progress(is_shown=False) as progress:
        progress.step(0, None)
        with contextlib.suppress(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            progress.step(1, None)
    assert signal.getsignal(signal.SIGINT) is before


def test_an_interruption_that_is_ignored_stays_ignored() -> None:
    """A job of the background is not stopped by a key meant for the foreground."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with Progress(is_shown=False) as progress:
            signal.raise_signal(signal.SIGINT)
            progress.step(1, None)
    finally:
        signal.signal(signal.SIGINT, before)


# --- folders, and going on with them -----------------------------------------------------------


class Parts:
    """A folder of four parts, and the whole result of it to hold others against."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.source = write(folder / "in_parts")
        self.summary, self.listed = self.screen("wanted")
        self.wanted = self.bytes_of("wanted")

    def screen(self, out: str, **options: Any) -> tuple[dict[str, Any], bytes]:
        listed = self.folder / f"{out}.list.csv"
        done = foldspan.screen_table(
            str(self.source), str(self.folder / out), referrals=str(listed), **options
        )
        return done.to_dict(), listed.read_bytes()

    def bytes_of(self, out: str) -> dict[str, bytes]:
        return {path.name: path.read_bytes() for path in (self.folder / out).iterdir()}

    def marks_of(self, out: str) -> dict[str, tuple[int, int]]:
        """When each part was written, and its number on the disk."""
        states = {path.name: path.stat() for path in (self.folder / out).iterdir()}
        return {name: (state.st_mtime_ns, state.st_ino) for name, state in states.items()}

    def interrupt(self, out: str, after: int) -> None:
        """Screen, and stop as Ctrl-C does once some parts are done."""
        done = []

        def stop(rows: int, share: float | None) -> None:
            done.append(rows)
            if len(done) == after:
                raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            self.screen(out, progress=stop)


@pytest.fixture
def parts(tmp_path: Path) -> Parts:
    return Parts(tmp_path)


@pytest.mark.parametrize("after", [1, 2, 3])
def test_going_on_gives_the_same_bytes_and_does_no_part_again(parts: Parts, after: int) -> None:
    parts.interrupt("out", after)
    before = parts.marks_of("out")
    assert sorted(before) == [f"part-{number}.parquet" for number in range(after)]
    assert not (parts.folder / "out.list.csv").exists()
    summary, listed = parts.screen("out", resume=True)
    assert parts.bytes_of("out") == parts.wanted
    assert (summary, listed) == (parts.summary, parts.listed)
    now = parts.marks_of("out")
    assert {name: now[name] for name in before} == before


def test_going_on_with_what_is_done_does_nothing(parts: Parts) -> None:
    before = parts.marks_of("wanted")
    (parts.folder / "wanted.list.csv").unlink()
    summary, listed = parts.screen("wanted", resume=True)
    assert parts.marks_of("wanted") == before
    assert (summary, listed) == (parts.summary, parts.listed)


def test_going_on_does_again_what_has_changed(parts: Parts) -> None:
    """A part that was changed, a result that was cut short, one that is something else."""
    parts.screen("out")
    before = parts.marks_of("out")
    first = parts.source / "part-1.parquet"
    changed = pq.read_table(first)
    weights = pa.array([weight and weight + 3.0 for weight in changed["weight_kg"].to_pylist()])
    place = changed.column_names.index("weight_kg")
    pq.write_table(changed.set_column(place, "weight_kg", weights), first)
    cut = parts.folder / "out" / "part-2.parquet"
    cut.write_bytes(cut.read_bytes()[:-20])
    (parts.folder / "out" / "part-3.parquet").write_bytes(
        parts.source.joinpath("part-3.parquet").read_bytes()
    )
    (parts.folder / "out.list.csv").unlink()
    with pytest.raises(FoldspanError, match=r"part-3.*from another run.*\[E308\]"):
        parts.screen("out", resume=True)
    (parts.folder / "out" / "part-3.parquet").unlink()
    parts.screen("out", resume=True)
    now = parts.marks_of("out")
    assert now["part-0.parquet"] == before["part-0.parquet"]
    fresh = parts.screen("fresh")
    assert parts.bytes_of("out") == parts.bytes_of("fresh")
    assert fresh[0]["rows"] == ROWS


def test_going_on_in_another_way_does_all_again(parts: Parts) -> None:
    """Half a result on one scale and half on another would be worse than none."""
    parts.interrupt("out", 2)
    parts.screen("out", resume=True, reference_method="density")
    parts.screen("fresh", reference_method="density")
    assert parts.bytes_of("out") == parts.bytes_of("fresh")
    assert parts.bytes_of("out") != parts.wanted


def test_going_on_after_kill_9(tmp_path: Path, start: Callable[..., Running], big: bytes) -> None:
    source = tmp_path / "in"
    source.mkdir()
    columns = pd.read_csv(io.BytesIO(HEAD + LINES * 8))
    for number in range(5):
        pq.write_table(pa.Table.from_pandas(columns), source / f"{number}.parquet")
    out = tmp_path / "out"
    running = start(str(source), "-o", str(out), "--workers", "1")
    # a first part has its own name, not only the one it is given just before
    running.wait_until(lambda: any(out.glob("*.parquet")) and running.writes(out))
    os.kill(running.process.pid, signal.SIGKILL)
    running.end()
    kept = {path.name: path.stat().st_mtime_ns for path in out.iterdir()}
    assert 0 < len(kept) < 5
    assert set(kept) <= {f"{number}.parquet" for number in range(5)}
    for name in kept:
        assert pq.ParquetFile(out / name).metadata.num_rows == len(columns)
    foldspan.screen_table(str(source), str(out), resume=True, workers=2)
    assert {name: (out / name).stat().st_mtime_ns for name in kept} == kept
    first = pq.read_table(out / "0.parquet").replace_schema_metadata()
    assert len(list(out.iterdir())) == 5
    for path in out.iterdir():
        assert pq.read_table(path).replace_schema_metadata().equals(first)
    assert json.loads(pq.read_metadata(out / "0.parquet").metadata[b"foldspan"])["tally"]["rows"]

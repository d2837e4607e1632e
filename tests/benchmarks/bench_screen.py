"""How fast a table is screened, as ratios. Run by hand; prints the tables of docs/benchmarks.md.

python tests/benchmarks/bench_screen.py            # ten minutes; --rows 100000 for a quick look
python tests/benchmarks/bench_screen.py --only 17  # one piece; or 37, stages, growth, start
"""

from __future__ import annotations

import argparse
import cProfile
import os
import platform
import pstats
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from functools import cache
from itertools import islice
from pathlib import Path
from statistics import median

import numpy as np
import psutil
import pyarrow as pa
import pyarrow.csv as arrow_csv
import pyarrow.parquet as pq

import foldspan
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.reference.population import PEOPLE, reference_people
from foldspan.screening.batch import Plan, work_on_csv
from foldspan.tables.columns import layout_of
from foldspan.tables.csv.blocks import CsvSource

COMMAND = [sys.executable, "-c", "from foldspan.cli import main; main()"]
STEP = {"skinfold": 0.5, "girth": 0.1, "breadth": 0.1, "mass": 0.1, "height": 0.1}
# a handbook's seven folds with one more, and four girths
SEVENTEEN = [
    "code", "sex", "age_years", "weight_kg", "height_cm", "chest_mm", "midaxillary_mm",
    "triceps_mm", "biceps_mm", "subscapular_mm", "abdominal_mm", "suprailiac_anterior_mm",
    "thigh_mm", "neck_cm", "waist_midpoint_cm", "hip_cm", "calf_girth_cm",
]  # fmt: skip
PLAIN = arrow_csv.WriteOptions(quoting_style="none")
PAIRS = 5
WITH_RESULT = "Parquet to Parquet, with pyarrow also writing the result columns"
# function that does a stage: what it is called on the page
STAGES = {
    "read_block": "CSV to columns of text",
    "read": "texts to numbers, checks",
    "reconcile_people": "equations, weights, ranges",
    "fill": "flags and bands",
    "_worked": "counts, lines of CSV",
}


def invented_table(rows: int, seed: int = 20261126) -> pa.Table:
    """Half women, half men, with every quantity, each a little off one of the reference people."""
    rng = np.random.default_rng(seed)
    parts = []
    for sex in ("female", "male"):
        people, drawn = reference_people(sex), rng.integers(0, PEOPLE, rows // 2)
        columns: dict[str, pa.Array] = {}
        for name in MEASURED:
            quantity = BY_NAME[name]
            values = people[name][drawn] * rng.normal(1.0, 0.01, drawn.size)
            low, high = quantity.possible(sex)
            step = STEP[quantity.kind]
            columns[name] = pa.array(
                np.round(np.round(np.clip(values, low, high) / step) * step, 1)
            )
        columns["age_years"] = pa.array(np.floor(people["age_years"][drawn]))
        columns["sex"] = pa.array([sex]).take(pa.array(np.zeros(drawn.size, dtype=np.int32)))
        parts.append(pa.table(columns))
    table = pa.concat_tables(parts).take(pa.array(rng.permutation(2 * (rows // 2))))
    codes = pa.array([f"W-{number:07d}" for number in range(table.num_rows)])
    return table.add_column(0, "code", codes)


class Measured:
    """A command that was run: seconds, those of processors, the most memory held together [MB].

    To look at the memory slows the command down, so it is done only where it is asked for.
    """

    def __init__(self, arguments: Sequence[str], *, memory: bool = False) -> None:
        start, before = time.perf_counter(), _spent()
        process = subprocess.Popen(
            [*COMMAND, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self.megabytes = 0.0
        watcher = threading.Thread(target=self._watch, args=(process.pid,))
        if memory:
            watcher.start()
        code = process.wait()
        self.seconds, self.spent = time.perf_counter() - start, _spent() - before
        if memory:
            watcher.join()
        assert code in (0, 3), code

    def _watch(self, pid: int) -> None:
        while psutil.pid_exists(pid):
            try:
                process = psutil.Process(pid)
                family = [process, *process.children(recursive=True)]
                # memory that processes share counts once
                held = sum(process.memory_full_info().pss for process in family)
            except psutil.Error:
                continue
            self.megabytes = max(self.megabytes, held / 1e6)
            time.sleep(0.2)


def _spent() -> float:
    """Return the processor time of all processes that were waited for [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def timed(work: Callable[[], object]) -> float:
    """Return the seconds of one call."""
    return timed_twice(work)[0]


def timed_twice(work: Callable[[], object]) -> tuple[float, float]:
    """Return the seconds of one call, and those of processors."""
    start, before = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - start, time.process_time() - before


def screen(source: Path, out: Path, *more: str, memory: bool = False) -> Measured:
    """Screen a table by the command as a user would."""
    arguments = ["screen", str(source), "-o", str(out), "--force", "--quiet", *more]
    return Measured(arguments, memory=memory)


def against_arrow(folder: Path, table: pa.Table, workers: Sequence[int]) -> float:
    """Print (a) and (b): seconds and ratios; return seconds a row of CSV with one worker.

    Pyarrow copies before each of our runs, so that both meet the same machine.
    """
    print(
        f"\n| {table.num_rows:,} rows, {table.num_columns} columns | pyarrow alone | workers"
        " | foldspan | ratio (range) | processor time | ratio (range) | load |"
        "\n|---|---|---|---|---|---|---|---|"
    )
    csv, parquet, a_row = folder / "table.csv", folder / "table.parquet", 0.0
    arrow_csv.write_csv(table, csv, PLAIN)
    pq.write_table(table, parquet)
    for name, source, out, copy in (
        ("CSV to CSV", csv, folder / "out.csv", copy_csv),
        ("Parquet to Parquet", parquet, folder / "out.parquet", copy_parquet),
        (WITH_RESULT, parquet, folder / "out.parquet", copy_with_result),
    ):
        for number in workers:
            how = ("--workers", str(number))
            screen(source, out, *how)  # the first run reads from the disk
            pairs = [
                (
                    timed_twice(lambda copy=copy, source=source, out=out: copy(source, out)),
                    screen(source, out, *how),
                )
                for _ in range(PAIRS)
            ]
            alone, ours = (median(one) for one in zip(
                *((theirs[0], mine.seconds) for theirs, mine in pairs), strict=True
            ))  # fmt: skip
            processors = " | "
            if number == 1:  # several processes are children of one that is not waited for
                spent = f"{median(mine.spent for _, mine in pairs):.2f} s | "
                processors = spent + _ratios([mine.spent / theirs[1] for theirs, mine in pairs])
            print(
                f"| {name} | {alone:.2f} s | {number} | {ours:.2f} s |"
                f" {_ratios([mine.seconds / theirs[0] for theirs, mine in pairs])} |"
                f" {processors} | {os.getloadavg()[0]:.1f} |",
                flush=True,
            )
            if source == csv and number == 1:
                a_row = ours / table.num_rows
    return a_row


def _ratios(ratios: Sequence[float]) -> str:
    return f"**{median(ratios):.1f}** ({min(ratios):.1f} to {max(ratios):.1f})"


def copy_csv(source: Path, out: Path) -> None:
    """Read a table and write it."""
    arrow_csv.write_csv(arrow_csv.read_csv(source), out.with_stem("copy"), PLAIN)


def copy_parquet(source: Path, out: Path) -> None:
    """Read a table and write it."""
    pq.write_table(pq.read_table(source), out.with_stem("copy"))


def copy_with_result(source: Path, out: Path) -> None:
    """Read a table, and write it with the columns of a result, which are at hand."""
    pq.read_table(source)
    pq.write_table(result_at_hand(out, out.stat().st_ino), out.with_stem("copy"))


@cache
def result_at_hand(out: Path, number: int) -> pa.Table:
    """Return a result, read once for every file by its number on the disk."""
    return pq.read_table(out)


def against_one_by_one(a_row: float) -> None:
    """Print (c): the public one-visit function row by row."""
    visit = foldspan.Visit.from_file("examples/visit.toml")
    foldspan.reconcile(visit)
    a_visit = min(timed(lambda: foldspan.reconcile(visit)) for _ in range(20))
    print(
        f"\nOne row at a time with `foldspan.reconcile`: **{a_visit / a_row:,.0f}** times as long a row."
    )


def growth(folder: Path, sizes: Sequence[int]) -> None:
    """Print (d): time a row and memory as the table grows."""
    print("\n| rows | seconds | a row, first = 1 | memory, 1 worker | memory, 2 workers |")
    print("|---|---|---|---|---|")
    piece = folder / "piece.csv"
    first = 0.0
    for rows in sizes:
        # a table of ten million rows is a hundred times a table of a hundred thousand
        base = min(rows, 100_000)
        arrow_csv.write_csv(
            invented_table(base), piece, arrow_csv.WriteOptions(quoting_style="none")
        )
        head, _, body = piece.read_bytes().partition(b"\n")
        source = folder / "growing.csv"
        with source.open("wb") as file:
            file.write(head + b"\n")
            for _ in range(rows // base):
                file.write(body)
        screened = screen(source, folder / "out.csv", "--workers", "1")
        held = [
            screen(source, folder / "out.csv", "--workers", str(number), memory=True).megabytes
            for number in (1, 2)
        ]
        first = first or screened.seconds / rows
        print(
            f"| {rows:,} | {screened.seconds:.1f} | {screened.seconds / rows / first:.2f} |"
            f" {held[0]:.0f} MB | {held[1]:.0f} MB |"
        )


def start_up() -> None:
    """Print (e): processor time of short commands."""
    print("\n| command | processor time |\n|---|---|")
    visit = "examples/visit.toml"
    for arguments in (["--version"], ["--help"], ["reconcile", visit], ["explain", visit]):
        spent = []
        for _ in range(5):
            before = _spent()
            subprocess.run([*COMMAND, *arguments], stdout=subprocess.DEVNULL, check=True)
            spent.append(_spent() - before)
        print(f"| `foldspan {' '.join(arguments)}` | {min(spent):.2f} s |")


def stages(folder: Path) -> None:
    """Print (f): the share of each stage in the work on some blocks."""
    with (folder / "table.csv").open("rb") as file:
        source = CsvSource(file, "table.csv")
        plan = Plan(layout_of(source.names), source.dialect)
        first, *blocks = islice(source.blocks(), 8)
        work_on_csv(plan, first)
        profile = cProfile.Profile()
        for block in blocks or [first]:  # a small table is one
            profile.runcall(work_on_csv, plan, block)
    found = dict.fromkeys(STAGES, 0.0)
    whole = 0.0
    for (path, _, name), (*_, cumulative, _) in pstats.Stats(profile).stats.items():  # type: ignore[attr-defined]
        if name == "work_on_csv":
            whole = cumulative
        elif name in STAGES and "table_reader" not in path and "csv_lines" not in path:
            found[name] += cumulative
    print("\n| stage | share of the time |\n|---|---|")
    for name, words in STAGES.items():
        print(f"| {words} | {found[name] / whole:.0%} |")


def machine() -> str:
    """Return what the numbers were measured on."""
    model = next(
        (line.split(":")[1].strip() for line in Path("/proc/cpuinfo").read_text().splitlines()
         if line.startswith("model name")), platform.processor(),
    )  # fmt: skip
    return (
        f"{os.cpu_count()} processors ({model}), Python {platform.python_version()},"
        f" numpy {np.__version__}, pyarrow {pa.__version__}, foldspan {foldspan.__version__}"
    )


def main() -> None:
    """Print all of it as Markdown."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1_000_000)
    parser.add_argument("--largest", type=int, default=10_000_000)
    parser.add_argument("--workers", type=int, nargs="+", default=[1, 2])
    pieces = ("17", "37", "stages", "growth", "start")
    parser.add_argument("--only", choices=pieces, help="one piece of it")
    given = parser.parse_args()
    wanted = {given.only} if given.only else set(pieces)
    import bench_kernel  # which reads this module

    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    print(f"Measured on {machine()}.")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if wanted & {"17", "37"}:
            every = invented_table(given.rows)
            if "17" in wanted:
                against_arrow(folder, every.select(SEVENTEEN), given.workers)
            if "37" in wanted:
                against_one_by_one(against_arrow(folder, every, given.workers))
        if "stages" in wanted:
            if not wanted & {"37"}:
                arrow_csv.write_csv(invented_table(given.rows), folder / "table.csv", PLAIN)
            stages(folder)
            bench_kernel.main(folder)
        if "growth" in wanted:
            sizes = (10_000, 100_000, 1_000_000, 10_000_000)
            growth(folder, [size for size in sizes if size <= given.largest])
    if "start" in wanted:
        start_up()


if __name__ == "__main__":
    main()

"""The memory that screening needs, measured: below the bound, and the same for more rows."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from foldspan.quantities import MEASURED
from foldspan.reference.population import reference_people

MEGABYTES = 600.0
PEOPLE, TIMES, GROWN = 2_000, 80, 4  # rows in all: 160,000; measured from a quarter of them on
# What is let go of goes back to the system at once: else the system's allocator keeps more or less of it
# as the threads happen to meet, up to 40 MB more from one run to the next.
GIVEN_BACK = {
    "MALLOC_ARENA_MAX": "1",
    "MALLOC_MMAP_THRESHOLD_": "262144",
    "MALLOC_TRIM_THRESHOLD_": "131072",
    "ARROW_DEFAULT_MEMORY_POOL": "system",
}
# run in a process of its own that tells what it holds, and the most it held, after every part
SCREEN = """
import sys
from foldspan.cli import main
from foldspan.screening.run.single import Gathered

take = Gathered.take

def told(gathered, worked):
    take(gathered, worked)
    status = dict(line.split(":", 1) for line in open("/proc/self/status"))
    now, most = (status[name].split()[0] for name in ("VmRSS", "VmHWM"))
    print("held", gathered.tally.rows, now, most, file=sys.stderr)

Gathered.take = told
main()
"""


@pytest.fixture(scope="module")
def lines() -> list[str]:
    """Rows of men with everything measured, their names first."""
    people = reference_people("male")
    names = ["sex", "age_years", *MEASURED]
    rows = (
        ",".join(["male", *(f"{people[name][row]:.1f}" for name in names[1:])])
        for row in range(PEOPLE)
    )
    return [",".join(names), *rows]


def held(lines: list[str], times: int, folder: Path, **settings: str) -> list[tuple[int, ...]]:
    """Rows done, what the run holds then, and the most it held till then [kB]; a line a part."""
    table = folder / "in.csv"
    table.write_text("\n".join([lines[0], *(lines[1:] * times)]) + "\n")
    arguments = ["screen", str(table), "-o", str(folder / "out.csv"), "--workers", "1", "--quiet"]
    ran = subprocess.run(
        [sys.executable, "-c", SCREEN, *arguments],
        capture_output=True, text=True, check=False, env=os.environ | settings,
    )  # fmt: skip
    assert ran.returncode in (0, 3), ran.stderr
    told = [line.split()[1:] for line in ran.stderr.splitlines() if line.startswith("held ")]
    return [tuple(map(int, numbers)) for numbers in told]


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells the memory")
def test_memory_stays_below_the_bound(lines: list[str], tmp_path: Path) -> None:
    rows, _, most = held(lines, TIMES // GROWN, tmp_path)[-1]
    assert rows == PEOPLE * TIMES // GROWN
    assert most / 1000.0 < MEGABYTES


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells the memory")
def test_memory_does_not_grow(lines: list[str], tmp_path: Path) -> None:
    parts = held(lines, TIMES, tmp_path, **GIVEN_BACK)
    rows = parts[-1][0]
    assert rows == PEOPLE * TIMES
    early = next(now for done, now, _ in parts if done * GROWN >= rows)
    late = max(now for done, now, _ in parts if done * GROWN >= rows)
    # three times the rows more: 120,000 would hold 20 MB as text and 30 MB as numbers
    assert late - early < 10_000

"""The memory that screening needs, measured: below the bound, and the same for more rows."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from foldspan.quantities import MEASURED
from foldspan.reference.population import reference_people

MEGABYTES = 600.0
PEOPLE, TIMES, GROWN = 2_000, 80, 4  # rows in all: 160,000; measured from a quarter of them on
# run in a process of its own that tells the most it held after every part
SCREEN = """
import sys
from foldspan.cli import main
from foldspan.screening.run.single import Gathered

take = Gathered.take

def told(gathered, worked):
    take(gathered, worked)
    for line in open("/proc/self/status"):
        if line.startswith("VmHWM"):
            print("held", gathered.tally.rows, line.split()[1], file=sys.stderr)

Gathered.take = told
main()
"""


def held(table: Path, out: Path) -> list[tuple[int, float]]:
    """Rows done, and the most memory of the run till then [MB]."""
    arguments = ["screen", str(table), "-o", str(out), "--workers", "1", "--quiet"]
    ran = subprocess.run(
        [sys.executable, "-c", SCREEN, *arguments], capture_output=True, text=True, check=False
    )
    assert ran.returncode in (0, 3), ran.stderr
    held_lines = [line.split() for line in ran.stderr.splitlines() if line.startswith("held ")]
    return [(int(rows), float(kilobytes) / 1000.0) for _, rows, kilobytes in held_lines]


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells the memory")
def test_memory_stays_below_the_bound_and_does_not_grow(tmp_path: Path) -> None:
    people = reference_people("male")
    names = ["sex", "age_years", *MEASURED]
    lines = [
        ",".join(["male", *(f"{people[name][row]:.1f}" for name in names[1:])])
        for row in range(PEOPLE)
    ]
    table = tmp_path / "in.csv"
    table.write_text("\n".join([",".join(names), *(lines * TIMES)]) + "\n")
    sizes = held(table, tmp_path / "out.csv")
    rows, most = sizes[-1]
    assert rows == PEOPLE * TIMES
    assert most < MEGABYTES
    # three times the rows more: 120,000 would hold 20 MB as text and 30 MB as numbers; how many parts
    # are on their way at once differs by some MB where the processors are busy
    early = next(size for done, size in sizes if done * GROWN >= rows)
    assert most < early + 16.0

"""The memory that screening needs, measured: below the bound, and the same for more rows."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from foldspan.quantities import MEASURED
from foldspan.reference.population import reference_people

MEGABYTES = 600.0
# run in a process of its own that tells the most it held
SCREEN = """
import sys
from foldspan.cli import main
try:
    main()
finally:
    for line in open("/proc/self/status"):
        if line.startswith("VmHWM"):
            print(line.split()[1], file=sys.stderr)
"""


def held(table: Path, out: Path) -> float:
    """Most memory of a run [MB]."""
    arguments = ["screen", str(table), "-o", str(out), "--workers", "1", "--quiet", "--force"]
    ran = subprocess.run(
        [sys.executable, "-c", SCREEN, *arguments], capture_output=True, text=True, check=False
    )
    assert ran.returncode in (0, 3), ran.stderr
    return float(ran.stderr.split()[-1]) / 1000.0


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells the memory")
def test_memory_stays_below_the_bound_and_does_not_grow(tmp_path: Path) -> None:
    people = reference_people("male")
    names = ["sex", "age_years", *MEASURED]
    lines = [
        ",".join(["male", *(f"{people[name][row]:.1f}" for name in names[1:])])
        for row in range(2_000)
    ]
    sizes = {}
    for times in (60, 240):
        table = tmp_path / f"{times}.csv"
        table.write_text("\n".join([",".join(names), *(lines * times)]) + "\n")
        sizes[times] = held(table, tmp_path / "out.csv")
    assert sizes[240] < MEGABYTES
    # four times the rows: 360,000 more would hold 60 MB as text and 90 MB as numbers
    assert sizes[240] < sizes[60] + 40.0

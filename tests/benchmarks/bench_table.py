"""How the table grows with its rows, and what one visit costs beside it. Run by hand; prints ratios.

python tests/benchmarks/bench_table.py
"""

from __future__ import annotations

import resource
import time

import numpy as np
import pandas as pd

import foldspan
from foldspan.quantities import BY_NAME
from foldspan.reference_people import PEOPLE, reference_people


def invented_table(rows: int) -> pd.DataFrame:
    """Half women, half men, with every quantity, drawn from the reference people."""
    rng = np.random.default_rng(20260304)
    parts = []
    for sex in ("female", "male"):
        people, drawn = reference_people(sex), rng.integers(0, PEOPLE, rows // 2)
        columns = {name: people[name][drawn] for name in BY_NAME}
        parts.append(pd.DataFrame(columns).assign(sex=sex))
    return pd.concat(parts, ignore_index=True)


def seconds(rows: int) -> float:
    """Return the time of one call."""
    table = invented_table(rows)
    start = time.perf_counter()
    foldspan.reconcile_table(table)
    return time.perf_counter() - start


def main() -> None:
    """Print time per row relative to the smallest table, and peak memory."""
    seconds(1_000)  # imports and reference people
    base = None
    for rows in (10_000, 30_000, 100_000):
        spent = seconds(rows)
        per_row = spent / rows
        base = base or per_row
        print(f"{rows:>8,} rows: {spent:5.1f} s, per row {per_row / base:4.2f} of the first")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2
    print(f"peak memory {peak:.2f} GB")
    visit = foldspan.Visit.from_file("examples/visit.toml")
    start = time.perf_counter()
    for _ in range(20):
        foldspan.reconcile(visit)
    one = (time.perf_counter() - start) / 20
    print(f"one visit alone costs {one / base:.0f} rows of a large table")


if __name__ == "__main__":
    main()

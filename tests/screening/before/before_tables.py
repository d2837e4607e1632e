"""Two invented tables of the same clients a year apart, for the tests of ``screen --before``."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import foldspan

THEN: dict[str, Any] = {
    "code": "K-01", "sex": "female", "age_years": 51, "date": "2025-03-04", "tester": "T-1",
    "weight_kg": 78.0, "height_cm": 168.0, "waist_midpoint_cm": 90.0, "triceps_mm": 22.0,
}  # fmt: skip
NOW = THEN | {"age_years": 52, "date": "2026-03-05", "weight_kg": 77.0, "waist_midpoint_cm": 89.0}
Row = dict[str, Any]


def write(path: Path, rows: Sequence[Row]) -> str:
    """Write rows as CSV; a column that any row has is a column of the table."""
    names = dict.fromkeys(name for row in rows for name in row)
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, list(names), restval="")
        out.writeheader()
        out.writerows(rows)
    return str(path)


def compared(
    folder: Path, now: Sequence[Row], then: Sequence[Row], **options: Any
) -> tuple[foldspan.Screening, list[dict[str, str]]]:
    """Screen a table with an earlier one; return the summary and the rows of the result."""
    new, old = write(folder / "new.csv", now), write(folder / "old.csv", then)
    out = folder / "out.csv"
    summary = foldspan.screen_table(new, str(out), **({"before": old, "replace": True} | options))
    with out.open(newline="", encoding="utf-8") as file:
        return summary, list(csv.DictReader(file))

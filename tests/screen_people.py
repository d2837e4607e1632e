"""Invented tables for the tests of screening, and how they are written as any kind of file."""

from __future__ import annotations

import csv
import gzip
import io
import random
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

import foldspan

ROWS = 60
NUMBERS = ("age_years", "weight_kg", "height_cm", "triceps_mm_1", "triceps_mm_2", "thigh_mm",
           "abdominal_mm", "suprailiac_anterior_mm", "subscapular_mm", "neck_cm", "waist_midpoint_cm",
           "hip_cm")  # fmt: skip
CENTRES = (41, 76, 171, 18, 18.5, 24, 25, 19, 17, 37, 86, 99)


def people() -> pa.Table:
    """Invented clients: sound, with cells missing, with impossible values, and some to be referred."""
    pick = random.Random("same rows")
    columns: dict[str, list[Any]] = {
        "code": [f"S-{number:03d}" for number in range(ROWS)],
        "sex": pick.choices(["female", "male", "f", "?", None], [9, 9, 2, 1, 1], k=ROWS),
    }
    for name, centre in zip(NUMBERS, CENTRES, strict=True):
        values = [round(pick.gauss(centre, centre * 0.14), 2) for _ in range(ROWS)]
        columns[name] = [None if pick.random() < 0.12 else value for value in values]
    columns["weight_kg"][7] = 7.61
    columns["age_years"][9] = 16.0
    columns["pregnant"] = pick.choices(["", "yes", "no"], [8, 1, 4], k=ROWS)
    columns["symptoms"] = pick.choices(["", "chest_pain", "swelling"], [8, 1, 0], k=ROWS)
    columns["note"] = pick.choices(
        ["", "two\nlines", 'say "hi", twice', "5'10\"", "=1+1", "é"], k=ROWS
    )
    return pa.table(columns)


TABLE = people()


def csv_of(table: pa.Table) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(table.column_names)
    writer.writerows(
        ["" if cell is None else cell for cell in row.values()] for row in table.to_pylist()
    )
    return text.getvalue().encode()


def write(path: Path, table: pa.Table = TABLE) -> Path:
    """Write a table as what its path says."""
    if path.name.endswith(".csv"):
        path.write_bytes(csv_of(table))
    elif path.name.endswith(".gz"):
        path.write_bytes(gzip.compress(csv_of(table)))
    elif path.name.endswith(".parquet"):
        pq.write_table(table, path)
    else:
        path.mkdir()
        for number, start in enumerate((0, 1, 18, 40)):
            end = (1, 18, 40, ROWS)[number]
            pq.write_table(table.slice(start, end - start), path / f"part-{number}.parquet")
    return path


# one client a year apart, for comparisons with an earlier table
THEN: dict[str, Any] = {
    "code": "K-01", "sex": "female", "age_years": 51, "date": "2025-03-04", "tester": "T-1",
    "weight_kg": 78.0, "height_cm": 168.0, "waist_midpoint_cm": 90.0, "triceps_mm": 22.0,
}  # fmt: skip
NOW = THEN | {"age_years": 52, "date": "2026-03-05", "weight_kg": 77.0, "waist_midpoint_cm": 89.0}
Row = dict[str, Any]


def write_rows(path: Path, rows: Sequence[Row]) -> str:
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
    new, old = write_rows(folder / "new.csv", now), write_rows(folder / "old.csv", then)
    out = folder / "out.csv"
    summary = foldspan.screen_table(new, str(out), **({"before": old, "replace": True} | options))
    with out.open(newline="", encoding="utf-8") as file:
        return summary, list(csv.DictReader(file))

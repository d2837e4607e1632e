"""The table of a client's readings says of each how it was taken: without that it is another number."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

from foldspan.records.book import Book
from foldspan.records.export import client_csv
from foldspan.records.visits import kept_visits, take_in

TREE: dict[str, Any] = {
    "client": {"code": "K-014", "sex": "female", "age_years": 41.0},
    "visit": {"date": "2026-03-04", "tester": "T-02"},
    "mass_height": {"weight_kg": [71.3], "height_cm": [168.2]},
    "skinfolds_mm": {"triceps": [20.0, 21.0], "thigh": ["60+"]},
    "girths_cm": {"waist_midpoint": [78.0], "hip": [101.0]},
    "how_taken": {"left_side": ["triceps"], "over_clothing": ["waist_midpoint"]},
}


def test_every_reading_is_exported_with_how_it_was_taken(tmp_path: Path) -> None:
    with Book.opened(str(tmp_path / "book.sqlite")) as book:
        take_in(book, "K-014", TREE, "file")
        exported = client_csv("K-014", kept_visits(book, "K-014"))
    rows = list(csv.DictReader(io.StringIO(exported)))
    assert {(row["quantity"], row["reading"]): (row["value"], row["unit"]) for row in rows} == {
        ("weight_kg", "1"): ("71.3", "kg"),
        ("height_cm", "1"): ("168.2", "cm"),
        ("triceps_mm", "1"): ("20.0", "mm"),
        ("triceps_mm", "2"): ("21.0", "mm"),
        ("thigh_mm", "1"): ("60.0", "mm"),
        ("waist_midpoint_cm", "1"): ("78.0", "cm"),
        ("hip_cm", "1"): ("101.0", "cm"),
    }
    remarks = {(row["quantity"], row["reading"]): row["remark"] for row in rows if row["remark"]}
    assert remarks == {
        ("triceps_mm", "1"): "left side",
        ("triceps_mm", "2"): "left side",
        ("thigh_mm", "1"): "at the end of the calliper's scale",
        ("waist_midpoint_cm", "1"): "over clothing",
    }
    assert len(rows) == 7
    assert {(row["code"], row["visit"], row["date"], row["tester"]) for row in rows} == {
        ("K-014", "1", "2026-03-04", "T-02")
    }

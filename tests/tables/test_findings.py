"""Findings of rows by patterns: which rows hold a finding of a kind, asked of one kind or of many."""

from __future__ import annotations

import numpy as np

from foldspan.tables.findings import Mark, RowMarks


def test_rows_by_a_key_are_those_that_hold_a_finding_of_it() -> None:
    marks: RowMarks[Mark] = RowMarks(6)
    marks.add(np.array([0, 2, 5]), Mark("E102", "weight_kg, height_cm"))
    marks.add(np.array([2, 3]), Mark("E107", "hip_cm"))
    marks.add(np.array([4]), Mark("W103", "hip_cm"))
    found = marks.rows_by(lambda mark: mark.name.split(", ") if mark.code[0] == "E" else [])
    assert {name: np.flatnonzero(rows).tolist() for name, rows in found.items()} == {
        "weight_kg": [0, 2, 5],
        "height_cm": [0, 2, 5],
        "hip_cm": [2, 3],
    }
    for name, rows in found.items():
        expected = marks.rows_where(
            lambda mark, name=name: mark.code[0] == "E" and name in mark.name
        )
        assert np.array_equal(rows, expected)

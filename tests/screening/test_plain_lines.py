"""Lines of a CSV that nothing changes are written as they stand; any other as its cells."""

from __future__ import annotations

from collections.abc import Sequence

import pyarrow as pa
import pytest

from foldspan.screening import batch
from foldspan.screening.batch import Plan, work_on_csv
from foldspan.tables.columns import layout_of
from foldspan.tables.csv import writer
from foldspan.tables.csv.blocks import Piece
from foldspan.tables.csv.rows import Dialect

NAMES = ["code", "sex", "age_years", "weight_kg", "height_cm", "waist_midpoint_cm"]
ROWS = [
    "A-1,female,34,61.2,168,74",
    "B 2, male ,51,,181.5,96",
    "Zoë,f,29,58,,",
    ",,,,,",
]
PLAIN = "\n".join(ROWS) + "\n"


def lines_of(data: bytes, dialect: Dialect) -> bytes:
    return work_on_csv(Plan(layout_of(NAMES), dialect), Piece(data)).lines


@pytest.mark.parametrize(
    ("text", "is_plain"),
    [
        (PLAIN, True),
        (PLAIN.rstrip("\n"), False),
        (PLAIN.replace("\n", "\r\n"), False),
        (PLAIN + "\n\n", False),
        (PLAIN + '"C, 3",male,40,80,180,90\n', False),
        (PLAIN + "=1+1,male,40,80,180,90\n", False),
        (PLAIN + "D-4,male,40\n", False),
    ],
    ids=["plain", "no last end", "two signs", "empty lines", "quotes", "formula", "too few cells"],
)
def test_lines_as_they_stand_are_their_cells_put_together(
    monkeypatch: pytest.MonkeyPatch, text: str, is_plain: bool
) -> None:
    written: list[bytes] = []

    def noted(data: bytes, columns: Sequence[pa.Array], delimiter: str) -> bytes:
        written.append(data)
        return writer.lines_behind(data, columns, delimiter)

    monkeypatch.setattr(batch, "lines_behind", noted)
    found = lines_of(text.encode(), Dialect())
    assert bool(written) is is_plain
    monkeypatch.setattr(batch, "is_plain", lambda *_: False)
    assert found == lines_of(text.encode(), Dialect())


def test_what_is_not_utf8_is_not_written_as_it_stands() -> None:
    found = lines_of(PLAIN.encode("cp1252"), Dialect())
    assert found.decode().splitlines()[2].startswith("Zoë,f,29,58,,,")


def test_another_delimiter() -> None:
    found = lines_of(PLAIN.replace(",", ";").encode(), Dialect(";"))
    assert found.decode().splitlines()[0].startswith(ROWS[0].replace(",", ";") + ";")

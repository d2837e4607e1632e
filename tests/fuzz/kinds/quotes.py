"""Quotation marks in a CSV: every row that is used is a row as Python's own reader has it.

Where the two readings differ the row is given up and says so, and so is the one in which the quote would
be closed.
"""

from __future__ import annotations

import csv
import io
import random
import re

from foldspan.problems import FoldspanError
from foldspan.tables.csv.blocks import CsvSource, read_block
from foldspan.tables.csv.quotes import LONGEST_NOTE
from fuzz.cases import check_problems

HEAD = ["code", "sex", "age_years", "weight_kg", "height_cm", "note"]
Row = tuple[list[str], bool]
# as the package sees a line end, typed again
END = re.compile(r"\r\n|\n|\r")


def read(data: bytes) -> list[Row]:
    """Every row and whether it was given up."""
    source = CsvSource(io.BytesIO(data), "table")
    found: list[Row] = []
    for part in source.blocks():
        block = read_block(part, len(source.names), source.dialect)
        columns = [column.to_pylist() for column in block.columns]
        rows = zip(*columns, strict=True)
        found += [(list(row), bool(lost)) for row, lost in zip(rows, block.is_lost, strict=True)]
    return found


def written(chance: random.Random, delimiter: str) -> str:
    """A sound table with quotes of every kind in its notes."""
    notes = [
        "fine", 'said "5"', f"a{delimiter}b", "two\nlines", "", '5"7', 'x"', 'three\n"quoted"\nlines',
        f"like a row{delimiter * 5}\nand more",
    ]  # fmt: skip
    out = io.StringIO()
    kinds = (csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC)
    ends = chance.choice(["\n", "\r\n"])
    writer = csv.writer(out, delimiter=delimiter, lineterminator=ends, quoting=chance.choice(kinds))
    for number in range(chance.randrange(2, 12)):
        facts = [f"K{number}", chance.choice(["female", "male"]), 20 + number, 60.5, 160 + number]
        writer.writerow([*facts, chance.choice(notes)])
    return delimiter.join(HEAD) + ends + out.getvalue()


def mutated(chance: random.Random, text: str, delimiter: str) -> str:
    """The table with quotes, delimiters and line ends put in and taken out below its names."""
    for _ in range(chance.randrange(5)):
        at = chance.randrange(text.index("\n") + 1, len(text) + 1)
        quotes = [place for place, sign in enumerate(text) if sign == '"' and place > at]
        what = chance.choice(
            ['"', '5"7', "\n", "\r\n", "\r", delimiter, '""', ' "', '" ', f'{delimiter}"']
        )
        if quotes and chance.random() < 0.3:
            at, what = quotes[0] + 1, ""
            text = text[: at - 1] + text[at:]
        elif chance.random() < 0.1:
            text = text[:at] + text[at + 1 :]
        else:
            text = text[:at] + what + text[at:]
    return text


def by_python(text: str, delimiter: str) -> tuple[int, dict[int, tuple[list[str], int]]]:
    """How many lines, and every row by its first line: its cells and how many lines it has."""
    lines = [line for line in re.findall(r"[^\r\n]*(?:\r\n|\n|\r|$)", text) if line]
    reader = csv.reader(iter(lines), delimiter=delimiter)
    rows, start = {}, 0
    for cells in reader:
        if cells:
            rows[start] = (cells, reader.line_num - start)
        start = reader.line_num
    return len(lines), rows


def differences(text: str, delimiter: str, rows: list[Row]) -> list[str]:
    """Rows that are used though Python reads other cells there, by their lines."""
    count, theirs = by_python(text, delimiter)
    blank = [not line.strip("\r\n") for line in re.findall(r"[^\r\n]*(?:\r\n|\n|\r|$)", text)]
    at, found = 1, []
    for cells, is_lost in rows:
        while at < count and blank[at]:
            at += 1
        lines = 1 + len(END.findall(delimiter.join(cells)))
        if not is_lost and not _is_allowed(theirs, at, lines, count, cells):
            found.append(f"line {at}: {cells}, and Python has {theirs.get(at)}")
        at += lines
    if not all(blank[at:count]):
        found.append(f"lines {at} to {count} are lost")
    return found


def _is_allowed(
    theirs: dict[int, tuple[list[str], int]], at: int, lines: int, count: int, cells: list[str]
) -> bool:
    same = theirs.get(at)
    if same is not None and same[1] == lines:
        # one that goes on after its closing quote is kept as typed, where Python joins the two
        pairs = list(zip(cells, same[0], strict=False))
        return len(cells) == len(same[0]) and all(a == b or a.startswith('"') for a, b in pairs)
    start = max(place for place in theirs if place <= at)
    length = theirs[start][1]
    # below a quote that is open to the end of the file, or within one that is too long for a note
    is_open_below = start < at and start + length >= count
    is_far = start < at and length > LONGEST_NOTE and at + lines < start + length
    return is_open_below or is_far


def drawn(chance: random.Random) -> bytes:
    """A table with quotes put in and taken out."""
    delimiter = chance.choice(",;\t")
    return mutated(chance, written(chance, delimiter), delimiter).encode()


def tried(data: bytes) -> str:
    """Hold every row that is used against Python's reader."""
    text = data.decode()
    delimiter = text[len(HEAD[0])]
    try:
        rows = read(data)
    except FoldspanError as error:
        check_problems(error)
        return "refused"
    assert differences(text, delimiter, rows) == []
    return "read"

"""Quotation marks in a CSV, case by case; drawn tables are held against Python's reader by the fuzz.

See ``tests/fuzz/kinds/quotes.py``.
"""

from __future__ import annotations

import pytest

from fuzz.kinds.quotes import HEAD, read

NAMES = ",".join(HEAD) + "\n"
ANNA, BERT = "K-01,female,41,71.5,168.4,fine\n", "K-02,male,37,80.5,181.5,ok\n"


@pytest.mark.parametrize(
    "bad, lost",
    [
        # a quotation mark inside a cell is a sign like any other
        ('K-03,female,41,60.5,170,5"7\n', [False]),
        ('K-03,female,41,60.5,170,5"7\nK-04,male,41,60.5,170,"two\nlines"\n', [False, False]),
        ('K-03,female,41,60.5,170,5"7\nK-04,male,41,60.5,170,5"7\n', [False, False]),
        # one that opens a cell and is closed in the next row: neither half
        ('K-03,female,41,60.5,170,"5\nK-04,male,41,60.5,170,"fine"\n', [True, True]),
        ('K-03,female,41,60.5,"170,x\nK-04,male,41,60.5,170,5"\n', [True, True]),
        ('K-03,female,41,60.5,"170,x\n', [True]),
    ],
)
def test_rows_around_a_doubtful_quote_are_read(bad: str, lost: list[bool]) -> None:
    rows = read((NAMES + ANNA + bad + BERT).encode())
    assert [is_lost for _, is_lost in rows] == [False, *lost, False]
    assert [cells[0] for cells, _ in rows[:: len(rows) - 1]] == ["K-01", "K-02"]


def test_two_halves_are_never_joined_to_a_number() -> None:
    """Python makes 57 of it; nobody wrote that."""
    (row, _), *_ = read((NAMES + 'K-03,female,41,"5"7,170,"so "so" it is"\n').encode())
    assert row[3] == '"5"7'
    assert row[5] == '"so "so" it is"'


def test_a_quote_that_is_open_for_many_rows_costs_its_own() -> None:
    """It is closed by chance in a row far below, which is in doubt; those between are read."""
    many = "".join(f"N-{n},female,41,71.5,168.4,fine\n" for n in range(50))
    rows = read(
        (NAMES + 'K-03,male,41,60.5,170,"5\n' + many + 'K-04,male,41,60.5,170,"x"\n').encode()
    )
    assert [cells[0] for cells, is_lost in rows if is_lost] == ["K-03", "K-04"]
    assert len(rows) == 52

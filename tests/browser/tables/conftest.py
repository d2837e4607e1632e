"""What the tests of tables share: a hand at the pages, and a table that was screened there once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from browser_hand import EXAMPLES, TableHand, hand_at


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[TableHand]:
    with hand_at(tmp_path / "book.sqlite") as one:
        yield TableHand(one)


@pytest.fixture(scope="package")
def day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TableHand]:
    """The clinic day of the examples, screened; what is done with it leaves it as it is."""
    with hand_at(tmp_path_factory.mktemp("day") / "book.sqlite") as one:
        hand = TableHand(one)
        hand.send("clinic_day.csv", (EXAMPLES / "clinic_day.csv").read_bytes())
        hand.confirm()
        yield hand

"""What the tests of tables share: a hand at the pages, and a table that was screened there once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from browser_hand import EXAMPLES, TableHand, hand_at
from foldspan.browser.jobs import job
from program_starts import CAN_BE_LOADED, QUICK_JOBS


@pytest.fixture
def from_nothing() -> None:
    """Asked for by tests whose processes for tables start as they do everywhere."""


@pytest.fixture(autouse=True)
def quick_jobs(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other tests take these processes from where they are loaded already."""
    if CAN_BE_LOADED and "from_nothing" not in request.fixturenames:
        monkeypatch.setattr(job, "subprocess", QUICK_JOBS)


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[TableHand]:
    with hand_at(tmp_path / "book.sqlite") as opened:
        yield TableHand(opened)


@pytest.fixture(scope="package")
def day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TableHand]:
    """The clinic day of the examples, screened; what is done with it leaves it as it is."""
    with hand_at(tmp_path_factory.mktemp("day") / "book.sqlite") as opened:
        hand = TableHand(opened)
        hand.send("clinic_day.csv", (EXAMPLES / "clinic_day.csv").read_bytes())
        hand.confirm()
        yield hand

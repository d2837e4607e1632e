"""What the tests of the pages share: a book with a session that was left at its first fold."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from browser_hand import hand_at
from foldspan.browser.shown import page
from foldspan.browser.views import result
from measure_driver import MAN


@pytest.fixture(scope="session")
def _left_at_a_fold(tmp_path_factory: pytest.TempPathFactory) -> Path:
    book = tmp_path_factory.mktemp("begun") / "book.sqlite"
    with hand_at(book) as hand:
        hand.begin()
        hand.walk(MAN, until="1.chest_mm")
        assert hand.address == "/session/v1"
    return book


@pytest.fixture
def begun(tmp_path: Path, _left_at_a_fold: Path) -> Path:
    """A book of one's own with a session in it: three sites, the first fold is asked for."""
    return Path(shutil.copy(_left_at_a_fold, tmp_path / "book.sqlite"))


@pytest.fixture
def no_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Results are not worked out: for tests of how a session comes to its end, not of what it says."""
    monkeypatch.setattr(result, "_shown", lambda asked, outcome, key: page("nothing", lines=[]))

"""Without an extra: what needs it says so before it begins, and all else works."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

import foldspan
from foldspan import FoldspanError, extras

ROOT = Path(__file__).parents[2]
VISIT = str(ROOT / "examples" / "visit.toml")
TABLE = str(ROOT / "examples" / "clinic_day.csv")
BOOK = str(ROOT / "examples" / "health_day.xlsx")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Takes all libraries of an extra away."""

    def gone(extra: str) -> None:
        def is_installed(library: str) -> bool:
            return library not in extras.LIBRARIES[extra]

        monkeypatch.setattr(extras, "_is_installed", is_installed)

    return gone


NEEDED = [
    ("pages", ["report", VISIT, "-o", "{}/page.html"]),
    ("pages", ["report", VISIT, "-o", "{}/page.pdf"]),
    ("pages", ["report", VISIT, "-o", "{}/picture.png", "--figure", "agreement"]),
    ("pages", ["screen", TABLE, "-o", "{}/out.csv", "--letters", "{}/letters"]),
    ("pages", ["screen", TABLE, "-o", "{}/out.csv", "--group-summary", "{}/group.html"]),
    ("sheets", ["screen", TABLE, "-o", "{}/out.csv", "--group-summary", "{}/group.xlsx"]),
    ("sheets", ["screen", TABLE, "-o", "{}/out.xlsx"]),
    ("sheets", ["screen", BOOK, "-o", "{}/out.csv", "--guess"]),
    ("sheets", ["calibrate", BOOK]),
    ("sheets", ["screen", TABLE, "-o", "{}/out.csv", "--before", BOOK]),
    ("browser", ["serve", "--no-open", "--book", "{}/book.sqlite"]),
]


@pytest.mark.parametrize(
    ("extra", "words"), NEEDED, ids=lambda words: "-".join(words[:1] + words[-2:])[:40]
)
def test_what_needs_an_extra_says_so_before_it_begins(
    run: Run, without: Callable[[str], None], tmp_path: Path, extra: str, words: list[str]
) -> None:
    without(extra)
    code, out, errors = run(*(word.format(tmp_path) for word in words))
    assert (code, out) == (2, "")
    assert f"pip install 'foldspan[{extra}]'" in errors
    assert "[E309]" in errors
    assert list(tmp_path.iterdir()) == []  # nothing half done


@pytest.mark.parametrize("extra", ["pages", "sheets", "browser", "frames", "cluster"])
def test_all_else_works(
    run: Run, without: Callable[[str], None], tmp_path: Path, extra: str
) -> None:
    without(extra)
    assert run("reconcile", VISIT)[0] == 0
    assert run("screen", TABLE, "-o", str(tmp_path / "out.csv"), "--quiet")[0] == 3
    assert (tmp_path / "out.csv").exists()


def test_a_table_of_pandas_asks_for_frames(without: Callable[[str], None]) -> None:
    import pandas

    without("frames")
    with pytest.raises(FoldspanError) as caught:
        foldspan.reconcile_table(pandas.DataFrame())
    assert [problem.code for problem in caught.value.problems] == ["E309"]


def test_an_extra_that_is_there_is_asked_for_in_silence() -> None:
    for extra in extras.LIBRARIES:
        extras.require(extra)


def test_all_holds_every_extra_but_those_of_clusters_tests_and_documents() -> None:
    """The README installs it, so that whoever measures misses nothing."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (every,) = project["optional-dependencies"]["all"]
    held = re.findall("[a-z]+", every)[1:]
    assert {*held, "cluster"} == set(extras.LIBRARIES)


def test_the_package_itself_is_a_command(tmp_path: Path) -> None:
    """``python -m foldspan``, with processes of its own, which load the module once more."""
    words = ["screen", TABLE, "-o", str(tmp_path / "out.csv"), "--workers", "2", "--quiet"]
    ran = subprocess.run([sys.executable, "-m", "foldspan", *words], capture_output=True, text=True)
    assert ran.returncode == 3, ran.stderr
    assert (tmp_path / "out.csv").exists()

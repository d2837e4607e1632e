"""Tables of the commands on narrow terminals: no line runs over, and no number is lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import foldspan
from foldspan.cli.lines import WIDTH, fit
from foldspan.cli.measuring.results import SessionResults, write_page
from measure_driver import surroundings
from program_starts import at_terminal

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT, LATER = (str(EXAMPLES / f"{name}.toml") for name in ("visit", "visit_later"))
LONG_KEY = max((equation.key for equation in foldspan.equations()), key=len)
COMMANDS: dict[str, tuple[str, ...]] = {
    "explain": ("explain", str(EXAMPLES / "disagreement.toml")),
    "explain agreeing": ("explain", VISIT),
    "explain elsewhere": ("explain", str(EXAMPLES / "outside_results.toml")),
    "change": ("change", VISIT, LATER),
    "reconcile": ("reconcile", VISIT, "--budget"),
    "reconcile all": ("reconcile", VISIT, "--all"),
    "equations": ("equations",),
    "conversions": ("equations", "--conversions"),
    "one equation": ("equations", LONG_KEY),
    "precision": ("precision", str(EXAMPLES / "repeats.csv")),
    "screen": ("screen", str(EXAMPLES / "clinic_day.csv"), "-o", "out.csv", "--force"),
    "records list": ("records", "list"),
    "records show": ("records", "show", "K-014"),
    "records show one": ("records", "show", "K-014", "--visit", "1"),
}


@pytest.fixture
def at_width() -> Iterator[Callable[[int], None]]:
    """Sets the columns of the terminal, and puts them back at the end."""
    yield fit
    fit(WIDTH)


@pytest.fixture
def book(run: Run, tmp_path: Path) -> str:
    """A book with two visits of one client, who has a name beside the code."""
    place = str(tmp_path / "book.sqlite")
    for visit in (VISIT, LATER):
        assert run("records", "import", visit, "--book", place)[0] == 0
    run("records", "name", "K-014", "the early one", "--book", place)
    return place


@pytest.mark.parametrize("name", COMMANDS)
def test_no_line_runs_over_and_no_number_is_lost(
    name: str,
    run: Run,
    book: str,
    at_width: Callable[[int], None],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    words = COMMANDS[name]
    monkeypatch.chdir(tmp_path)
    words = (*words, "--book", book) if words[0] == "records" else words
    output = {}
    for columns in (40, 60, 80, 120):
        at_width(columns)
        code, output[columns], _ = run(*words)
        assert code == (
            3 if name == "screen" else 0
        )  # some rows of the clinic's table get no range
        over = [part for part in output[columns].split("\n") if len(part) > min(columns, WIDTH)]
        assert over == []
    assert output[120] == output[80]
    numbers = {
        columns: sorted(set(re.findall(r"\d+\.\d+", line))) for columns, line in output.items()
    }
    assert numbers[40] == numbers[60] == numbers[80]


def test_the_columns_are_those_of_the_terminal(tmp_path: Path) -> None:
    child = at_terminal(
        ["explain", VISIT], folder=tmp_path, environment=surroundings(tmp_path),
        dimensions=(60, 40), from_nothing=False,
    )  # fmt: skip
    shown = child.read().replace("\r", "")
    child.close()
    assert "What to measure next" in shown
    assert max(map(len, shown.split("\n"))) <= 40


@pytest.mark.parametrize("columns", [40, 60])
def test_a_page_of_text_has_the_same_lines_from_any_terminal(
    tmp_path: Path, at_width: Callable[[int], None], columns: int
) -> None:
    """What is handed over outlives the terminal at which a session ended."""
    visit = foldspan.Visit.from_file(VISIT)
    end = SessionResults(
        visit,
        foldspan.reconcile(visit),
        (),
        None,
        "metric",
        {"reference_method": "", "local": None},
    )
    pages = []
    for width in (columns, WIDTH):
        at_width(width)
        write_page(end, str(tmp_path / f"{width}.txt"))
        pages.append((tmp_path / f"{width}.txt").read_text(encoding="utf-8"))
    assert pages[0] == pages[1]
    assert columns < max(map(len, pages[0].split("\n"))) <= WIDTH

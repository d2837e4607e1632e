"""A summary without persons: what is withheld cannot be worked out from what is shown."""

from __future__ import annotations

import csv
import io
import itertools
import json
from pathlib import Path

import numpy as np
import openpyxl
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

import foldspan
from foldspan.api.group_summary import FEWEST, group_summary
from foldspan.problems import FoldspanError
from foldspan.screening.group.grids import AGE_CLASSES, Grid
from foldspan.screening.group.suppress import FLOOR, SafeTable, safe
from foldspan.text.tables.group import HEADINGS, ROWS, WITHHELD
from screen_desk import Run

Cell = tuple[int, int, int]

CLINIC = str(Path(__file__).parents[2] / "examples" / "clinic_day.csv")


class Attack:
    """Whoever knows all that is shown, and searches what each withheld number can be.

    Told apart from the code under test: every table is written out with all of its cells as unknowns,
    what is shown is fixed, and whole numbers are searched. Tables of the same people share their totals.
    """

    def __init__(self, tables: tuple[SafeTable, ...]) -> None:
        self.tables = tables
        places = [
            (at, *place)
            for at, table in enumerate(tables)
            for place in itertools.product(*map(range, table.counts.shape))
        ]
        self.cells = {cell: place for place, cell in enumerate(places)}
        self.rows: list[np.ndarray] = []
        self.sums: list[float] = []
        for at, table in enumerate(tables):
            self._know(at, table)
        for (first, first_table), (second, second_table) in itertools.combinations(
            enumerate(tables), 2
        ):
            if (first_table.counts[-1] == second_table.counts[-1]).all():
                ends = first_table.counts.shape[0] - 1, second_table.counts.shape[0] - 1
                for column in range(first_table.counts.shape[1]):
                    self._equal([(first, ends[0], column)], [(second, ends[1], column)])

    def _equal(self, plus: list[Cell], minus: list[Cell], total: float = 0.0) -> None:
        row = np.zeros(len(self.cells))
        row[[self.cells[cell] for cell in plus]] = 1.0
        row[[self.cells[cell] for cell in minus]] = -1.0
        self.rows.append(row)
        self.sums.append(total)

    def _know(self, at: int, table: SafeTable) -> None:
        height, width = table.counts.shape
        for row in range(height):
            self._equal([(at, row, column) for column in range(width - 1)], [(at, row, width - 1)])
        for column in range(width):
            self._equal(
                [(at, row, column) for row in range(height - 1)], [(at, height - 1, column)]
            )
        for row, column in np.argwhere(~table.is_hidden).tolist():
            self._equal([(at, row, column)], [], float(table.counts[row, column]))

    def bounds(self) -> dict[Cell, tuple[int, int]]:
        """The least and the most that each small withheld number can be."""
        everything = LinearConstraint(np.array(self.rows), self.sums, self.sums)
        most = max(int(table.counts[-1, -1]) for table in self.tables)
        found = {}
        for cell, place in self.cells.items():
            table, where = self.tables[cell[0]], cell[1:]
            if table.is_hidden[where] and 0 < table.counts[where] < FLOOR:
                ends = []
                for sign in (1.0, -1.0):
                    aim = np.zeros(len(self.cells))
                    aim[place] = sign
                    whole = np.ones(len(self.cells))
                    answer = milp(
                        aim, constraints=everything, integrality=whole, bounds=Bounds(0, most)
                    )
                    assert answer.success
                    ends.append(round(sign * answer.fun))
                found[cell] = (ends[0], ends[1])
        return found


def random_tables(rng: np.random.Generator, people: int) -> list[Grid]:
    """Tables of invented people; the first and the last are of all of them."""
    sex = rng.choice(2, people, p=(share := rng.uniform(0.2, 0.8), 1.0 - share))
    tables = []
    for key, height in (("age", 4), ("bmi", 3), ("waist_to_height", 3), ("fat", 3), ("level", 3)):
        likely = rng.dirichlet(np.full(height, 1.5))
        row = rng.choice(height, people, p=likely)
        some = np.ones(people, bool) if key in ("age", "level") else rng.random(people) < 0.96
        counts = np.zeros((height, 2), dtype=np.int64)
        np.add.at(counts, (row[some], sex[some]), 1)
        tables.append(Grid(key, tuple(map(str, range(height))), counts))
    return tables


@pytest.mark.parametrize("people", [20, 33, 60, 150])
def test_nothing_small_can_be_worked_out(people: int) -> None:
    rng = np.random.default_rng(people)
    for _ in range(3):
        tables = safe(random_tables(rng, people))
        for table in tables:
            shown = table.counts[~table.is_hidden]
            assert not ((shown > 0) & (shown < FLOOR)).any(), "a small number is shown"
        for cell, (low, high) in Attack(tables).bounds().items():
            true = tables[cell[0]].counts[cell[1:]]
            assert low <= true <= high
            assert high - low >= FLOOR, f"{cell} lies between {low} and {high}"


def test_without_more_a_small_number_is_given_away() -> None:
    """The attack is one: with only the small number withheld, it finds it."""
    counts = np.array([[3, 20], [30, 25]])
    (table,) = safe([Grid("age", ("a", "b"), counts)])
    only = np.zeros_like(table.is_hidden)
    only[0, 0] = True
    assert Attack((SafeTable(table.grid, table.counts, only),)).bounds() == {(0, 0, 0): (3, 3)}
    assert table.is_hidden.sum() > 1


def test_a_whole_group_in_one_category_is_withheld() -> None:
    """That all men are in one category tells it of each of them, however many they are."""
    counts = np.array([[20, 0], [15, 12], [9, 0]])
    (table,) = safe([Grid("fat", ("a", "b", "c"), counts)])
    assert table.is_hidden[1, 1]


def test_large_groups_are_shown_in_full() -> None:
    tables = safe([Grid("age", ("a", "b"), np.array([[40, 50], [60, 70]]))])
    assert not tables[0].is_hidden.any()


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("out") / "out.csv"


@pytest.fixture(scope="module")
def clinic(result: Path) -> foldspan.Screening:
    return foldspan.screen_table(CLINIC, result)


def test_the_tables_count_the_rows_of_the_result(clinic: foldspan.Screening, result: Path) -> None:
    with result.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    tables = {table.grid.key: table for table in group_summary(clinic).tables}
    for key in ("bmi", "waist_to_height", "fat"):
        grid = tables[key].grid
        # adults of known sex are those whose likeliest category the result names
        for sex, column in (("female", 0), ("male", 1)):
            words = {"female": ("female", "f", "woman"), "male": ("male", "m", "man")}[sex]
            named = [row for row in rows if row[f"{key}_band"] and row["sex"].lower() in words]
            assert grid.counts[:, column].sum() == len(named), (key, sex)
    assert tables["age"].grid.rows == AGE_CLASSES
    refer = tables["level"].grid.counts[0].sum()
    assert refer <= clinic.referred <= refer + 6  # rows without a sex, and a minor


@pytest.mark.parametrize("ending", [".html", ".pdf", ".xlsx", ".json"])
def test_no_code_and_no_row_stands_in_any_form(run: Run, tmp_path: Path, ending: str) -> None:
    place = tmp_path / f"group{ending}"
    out = str(tmp_path / "out.csv")
    code, _, err = run("screen", CLINIC, "-o", out, "--group-summary", str(place))
    assert code == 3, err
    assert place.stat().st_mode & 0o777 == 0o600
    if ending == ".pdf":
        from pypdf import PdfReader

        text = " ".join(page.extract_text() for page in PdfReader(place).pages)
        assert len(PdfReader(place).pages) == 1
    elif ending == ".xlsx":
        sheet = openpyxl.load_workbook(place).active
        assert sheet is not None
        text = " ".join(str(cell) for row in sheet.iter_rows(values_only=True) for cell in row)
    else:
        text = place.read_text("utf-8")
    assert "W-0" not in text
    assert "T-0" not in text
    assert HEADINGS["level"] in " ".join(text.split())
    code, _, err = run("screen", CLINIC, "-o", out, "--force", "--group-summary", CLINIC)
    assert (code, "E30" in err) == (2, True), "an input is never written over"


def test_json_says_null_where_a_page_shows_a_dash(tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    rows = ["sex,age_years,weight_kg,height_cm"]
    for place in range(40):
        weight = 55 + 40 * rng.random()
        rows.append(f"{'female' if place % 3 else 'male'},{20 + place},{weight:.1f},170")
    (tmp_path / "a.csv").write_text("\n".join(rows), "utf-8")
    made = group_summary(foldspan.screen_table(tmp_path / "a.csv", tmp_path / "b.csv"))
    tree = json.loads(json.dumps(made.to_dict()))
    hidden = sum(table.is_hidden.sum() for table in made.tables)
    assert hidden
    nulls = [
        number for table in tree["tables"] for row in table["rows"].values() for number in row
        if number is None
    ]  # fmt: skip
    assert len(nulls) == hidden
    assert made.html().count(f">{WITHHELD}<") == hidden
    cells = openpyxl.load_workbook(io.BytesIO(made.xlsx())).active
    assert cells is not None
    assert sum(cell.value == "withheld" for row in cells.iter_rows() for cell in row) == hidden


def test_too_few_people_get_none(tmp_path: Path) -> None:
    rows = ["sex,age_years,weight_kg,height_cm", *(FEWEST - 1) * ["female,41,71.3,168"]]
    (tmp_path / "a.csv").write_text("\n".join(rows), "utf-8")
    screening = foldspan.screen_table(tmp_path / "a.csv", tmp_path / "b.csv")
    with pytest.raises(FoldspanError, match="E120"):
        group_summary(screening)


def test_every_row_has_words(clinic: foldspan.Screening) -> None:
    for table in group_summary(clinic).tables:
        assert all(row in ROWS or row in AGE_CLASSES for row in table.grid.rows)

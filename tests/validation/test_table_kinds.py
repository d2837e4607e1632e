"""Tables of every kind: ``calibrate`` and ``precision`` read what ``screen`` reads."""

from __future__ import annotations

import gzip
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from foldspan.problems import FoldspanError
from foldspan.tables.columns import Wanted
from foldspan.tables.whole_table import read_table
from foldspan.validation.references import from_file
from foldspan.validation.table import judge_ranges
from screen_desk import Run

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = [
    "code",
    "sex",
    "age_years",
    "weight_kg",
    "height_cm",
    "waist_iliac_cm",
    "reference_fat_percent",
]
REPEATS = (EXAMPLES / "repeats.csv").read_text(encoding="utf-8")


def with_names(delimiter: str) -> str:
    rows = (
        [f"0{n:02d}", "male", 30 + n, 70.5 + n, 170 + n % 9, 80.5 + n, 15.5 + n % 9]
        for n in range(20)
    )
    return "".join(delimiter.join(map(str, row)) + "\n" for row in (NAMES, *rows))


def as_parquet(path: Path, text: str) -> None:
    frame = pd.read_csv(io.StringIO(text), dtype={"code": str})
    frame.to_parquet(path)


KINDS: dict[str, Callable[[str], bytes]] = {
    "semicolon.csv": lambda text: text.replace(",", ";").encode(),
    "comma.csv": lambda text: text.replace(",", ";").replace(".", ",").encode(),
    "tabs.tsv": lambda text: text.replace(",", "\t").encode(),
    "said.csv": lambda text: ("sep=;\r\n" + text.replace(",", ";")).encode(),
    "packed.csv.gz": lambda text: gzip.compress(text.encode()),
    "wide.csv": lambda text: text.encode("utf-16"),
    "returns.csv": lambda text: text.replace("\n", "\r").encode(),
}


@pytest.fixture
def plain() -> str:
    return with_names(",")


def judged(run: Run, *words: str) -> dict[str, Any]:
    code, shown, said = run("calibrate", *words, "--reference-method", "density", "--json")
    assert code == 0, said
    tree: dict[str, Any] = json.loads(shown)
    return tree


@pytest.mark.parametrize("kind", [*KINDS, "table.parquet", "parts"])
def test_calibrate_reads_every_kind(tmp_path: Path, run: Run, plain: str, kind: str) -> None:
    (tmp_path / "plain.csv").write_text(plain, encoding="utf-8")
    path = tmp_path / kind
    if kind == "parts":
        path.mkdir()
        head, *rows = plain.splitlines(keepends=True)
        as_parquet(path / "a.parquet", head + "".join(rows[:9]))
        as_parquet(path / "b.parquet", head + "".join(rows[9:]))
    elif kind.endswith("parquet"):
        as_parquet(path, plain)
    else:
        path.write_bytes(KINDS[kind](plain))
    assert judged(run, str(path)) == judged(run, str(tmp_path / "plain.csv"))


@pytest.mark.parametrize("kind", [*KINDS, "table.parquet"])
def test_precision_reads_every_kind(tmp_path: Path, run: Run, kind: str) -> None:
    path = tmp_path / kind
    if kind.endswith("parquet"):
        as_parquet(path, REPEATS)
    else:
        path.write_bytes(KINDS[kind](REPEATS))
    code, shown, said = run("precision", str(path), "--json")
    assert code == 0, said
    assert (code, shown) == run("precision", str(EXAMPLES / "repeats.csv"), "--json")[:2]


def test_names_and_units_of_their_own(tmp_path: Path, run: Run, plain: str) -> None:
    """``--map``, ``--unit`` and ``--map-file``, as for screen."""
    (tmp_path / "plain.csv").write_text(plain, encoding="utf-8")
    inches = plain.replace("waist_iliac_cm", "waist_iliac").replace("weight_kg", "Gewicht")
    head, *rows = inches.splitlines()
    moved = []
    for row in rows:
        cells = row.split(",")
        cells[5] = f"{float(cells[5]) / 2.54!r}"
        moved.append(",".join(cells))
    (tmp_path / "own.csv").write_text("\n".join([head, *moved]) + "\n", encoding="utf-8")
    (tmp_path / "map.toml").write_text('[columns]\nGewicht = "weight_kg"\n', encoding="utf-8")
    words = ["--map-file", str(tmp_path / "map.toml"), "--unit", "waist_iliac=in"]
    assert judged(run, str(tmp_path / "own.csv"), *words) == judged(
        run, str(tmp_path / "plain.csv")
    )
    repeats = REPEATS.replace("triceps_mm", "Trizeps").replace("code,", "Nr,")
    (tmp_path / "r.csv").write_text(repeats, encoding="utf-8")
    words = [f"--map=Trizeps_{n}=triceps_mm_{n}" for n in (1, 2, 3)]
    code, shown, _ = run("precision", str(tmp_path / "r.csv"), "--map", "Nr=code", *words, "--json")
    assert (code, shown) == run("precision", str(EXAMPLES / "repeats.csv"), "--json")[:2]
    code, _, said = run("precision", str(tmp_path / "r.csv"), "--map", "no=code")
    assert (code, "no such column" in said) == (2, True)


def test_readings_in_another_unit(tmp_path: Path, run: Run) -> None:
    """A column in centimetres, by its name or by what is said of it."""
    rows = "".join(f"K-{n},T-01,{10 + n / 10},{10 + n / 7:.1f}\n" for n in range(12))
    tens = "".join(
        f"K-{n},T-01,{(10 + n / 10) / 10:.3f},{round(10 + n / 7, 1) / 10:.3f}\n" for n in range(12)
    )
    (tmp_path / "mm.csv").write_text(
        "code,tester,triceps_mm_1,triceps_mm_2\n" + rows, encoding="utf-8"
    )
    (tmp_path / "cm.csv").write_text(
        "code,tester,triceps_cm_1,triceps_2\n" + tens, encoding="utf-8"
    )
    code, shown, _ = run("precision", str(tmp_path / "mm.csv"), "--json")
    again = run("precision", str(tmp_path / "cm.csv"), "--unit", "triceps_2=cm", "--json")
    assert code == again[0] == 0
    found, other = (
        json.loads(output)["sites"]["triceps_mm"]["within"]["T-01"] for output in (shown, again[1])
    )
    assert found["tem"] == pytest.approx(other["tem"], abs=1e-6)


def test_a_row_of_another_length_is_named(tmp_path: Path, run: Run, plain: str) -> None:
    path = tmp_path / "t.csv"
    path.write_text(plain + "099,male,40\n" + '098,male,40,"80,170\n', encoding="utf-8")
    code, _, said = run("calibrate", str(path), "--reference-method", "density")
    assert code == 0
    assert "row 22: more or fewer cells than the 7 column names" in said
    assert "row 23: a quotation mark that can be read in two ways" in said
    path.write_text(REPEATS + "K-999,T-01,1\n", encoding="utf-8")
    code, _, said = run("precision", str(path))
    number = REPEATS.count("\n") + 1
    assert (code, f"row {number}: more or fewer cells" in said) == (3, True)


@pytest.mark.parametrize("command", ["screen", "calibrate", "precision"])
@pytest.mark.parametrize(
    ("above", "below", "words"),
    [
        ("Clinic day;;;;\n", "", "line 1 is above the column names, which are in line 2"),
        (
            "Clinic day\n\nMay\n",
            "",
            "lines 1 to 4 are above the column names, which are in line 5",
        ),
        (",,,Folds,,\n", "", "line 1 is above"),
        ("", "units", "the line below the column names contains units"),
    ],
)
def test_lines_around_the_names_are_named(
    tmp_path: Path, run: Run, plain: str, command: str, above: str, below: str, words: str
) -> None:
    head, rest = (REPEATS if command == "precision" else plain).split("\n", 1)
    units = ",".join("mm" if name.endswith(("_1", "_2", "_3")) else "" for name in head.split(","))
    if command != "precision":
        units = ",,years,kg,cm,cm,%"
    if "Folds" not in above and above.count("\n") > 1:
        words = words.replace("1 to 4", "1 to 3").replace("line 5", "line 4")
    path = tmp_path / "t.csv"
    path.write_text(f"{above}{head}\n{units if below else ''}\n{rest}", encoding="utf-8")
    to = {
        "screen": ["-o", str(tmp_path / "o.csv")],
        "calibrate": ["--reference-method", "dxa"],
    }.get(command, [])
    code, _, said = run(command, str(path), *to)
    assert code == 2
    assert words in said
    assert "[E404]" in said
    assert not (tmp_path / "o.csv").exists()


def test_a_delimiter_that_nobody_uses_is_refused(tmp_path: Path, plain: str) -> None:
    path = tmp_path / "t.csv"
    path.write_text("sep=:\n" + plain.replace(",", ":"), encoding="utf-8")
    with pytest.raises(FoldspanError, match="E404"):
        read_table(str(path))


def test_cells_of_a_client_are_not_taken_for_names_or_units(tmp_path: Path) -> None:
    """Names that only a map knows, and a first client with words in the cells."""
    path = tmp_path / "t.csv"
    path.write_text("Nr,G,A,Kilo\nm,female,41,71.5\n", encoding="utf-8")
    assert read_table(str(path)).length == 1


def test_a_table_from_a_file_is_judged_like_a_frame(tmp_path: Path, plain: str) -> None:
    """And what stands in it twice is told in both."""
    path = tmp_path / "t.csv"
    path.write_text(plain + plain.splitlines()[-1] + "\n", encoding="utf-8")
    frame = pd.read_csv(path, dtype={"code": str})
    found, other = (
        judge_ranges(from_file(read_table(str(path)), Wanted()), "density"),
        judge_ranges(frame, "density"),
    )
    assert found.to_dict() == other.to_dict()
    assert "1 rows appear twice and are counted twice. [W407]" in found.cautions

"""``foldspan screen`` as a screener uses it: options, summary, exit codes, letters, standard streams."""

from __future__ import annotations

import csv
import gzip
import json
import stat
from collections import Counter
from pathlib import Path

import pandas as pd
import pyarrow.parquet as pq
import pypdf
import pytest
from typer.testing import CliRunner, Result

import foldspan
from foldspan.cli import app
from foldspan.cli.progress import Progress
from foldspan.problems import FoldspanError

HEAD = "code,sex,age_years,weight_kg,height_cm,waist_midpoint_cm,symptoms"
ROWS = [
    "W-1,female,41,71.3,168.2,82.4,",
    "W-2,male,35,80,178,88,chest_pain",
    "W-3,female,17,55,160,70,",
    "W-4,female,30,40,170,60,",
]


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "day.csv"
    path.write_text("\n".join([HEAD, *ROWS]) + "\n")
    return path


def run(*arguments: object, stdin: str | bytes | None = None) -> Result:
    return CliRunner().invoke(app, ["screen", *map(str, arguments), "--workers", "1"], input=stdin)


def read(path: Path) -> list[dict[str, str]]:
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def test_every_row_is_answered_in_its_place(table: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    assert run(table, "-o", out).exit_code == 3
    rows = read(out)
    assert [row["code"] for row in rows] == ["W-1", "W-2", "W-3", "W-4"]
    assert [bool(row["fat_percent"]) for row in rows] == [True, True, False, True]
    assert rows[2]["problems"].endswith("[E201]")
    # 40 kg at 1.70 m: 13.8 kg/m², below 16
    assert rows[3]["worst_flag_level"] == "refer_urgently"
    assert "bmi_severely_low" in rows[3]["flags"]
    assert (rows[3]["bmi_band"], rows[3]["bmi_band_chance"]) == ("severely_low", "1.00")
    assert rows[0]["verdict"] == "agree"
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_the_list_names_whom_to_refer_the_most_urgent_first(table: Path, tmp_path: Path) -> None:
    refer = tmp_path / "refer.csv"
    run(table, "-o", tmp_path / "out.csv", "--referrals", refer)
    rows = read(refer)
    assert [(row["row"], row["code"], row["level"]) for row in rows] == [
        ("2", "W-2", "refer_urgently"),
        ("4", "W-4", "refer_urgently"),
    ]
    assert "chest pain" in rows[0]["reasons"].lower()
    assert "World Health" in rows[1]["sources"] or "WHO" in rows[1]["sources"]
    assert stat.S_IMODE(refer.stat().st_mode) == 0o600


def test_summary_counts_rows_reasons_and_referrals(table: Path, tmp_path: Path) -> None:
    found = run(table, "-o", tmp_path / "out.csv", "--json")
    summary = json.loads(found.stdout)
    assert summary["schema_version"] == 2
    assert (summary["rows"], summary["with_range"], summary["referred"]) == (4, 3, 2)
    assert summary["without_range"] == {"under 18": 1}
    assert summary["levels"]["refer_urgently"] == 2
    assert sum(summary["verdicts"].values()) == 3
    for sexes in summary["bands"].values():
        for labels in sexes.values():
            assert sum(label["share"] for label in labels.values()) == pytest.approx(1.0, abs=0.002)


def test_every_verdict_is_counted_as_the_rows_have_it(tmp_path: Path) -> None:
    """One row a verdict, and two with one family of methods only."""
    head = (
        "sex,age_years,weight_kg,height_cm,waist_midpoint_cm,triceps_mm,biceps_mm,subscapular_mm,"
        "suprailiac_anterior_mm"
    )
    bodies = [
        "male,40,85,178,92,12,6,14,14", "male,40,85,178,97,5,3.5,8,8", "male,40,85,178,110,5,3.5,8,8",
    ]  # fmt: skip
    alone = ["male,40,,,,12,6,14,14", "male,41,80,180,,,,,"]
    path, out = tmp_path / "day.csv", tmp_path / "out.csv"
    path.write_text("\n".join([head, *bodies, *alone]) + "\n")
    found = run(path, "-o", out, "--json")
    verdicts = Counter(row["verdict"] for row in read(out))
    assert verdicts == {"agree": 1, "strained": 1, "disagree": 1, "single": 2}
    assert json.loads(found.stdout)["verdicts"] == verdicts


def test_summary_as_text_fits_a_terminal_and_names_the_rows(
    table: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(table.parent)
    text = run("day.csv", "-o", "out.csv").stdout
    assert max(map(len, text.splitlines())) <= 80
    assert "row 2 (W-2): Self-reported, at least one of: chest pain" in text
    assert "not diagnosis" in text


@pytest.mark.parametrize(
    ("rows", "code"), [(ROWS[:2], 0), (ROWS, 3), (ROWS[2:3], 1)], ids=["all", "some", "none"]
)
def test_exit_codes(rows: list[str], code: int, tmp_path: Path) -> None:
    table = tmp_path / "day.csv"
    table.write_text("\n".join([HEAD, *rows]))
    assert run(table, "-o", tmp_path / "out.csv").exit_code == code


def test_streams_carry_rows_on_stdout_and_the_summary_on_stderr(table: Path) -> None:
    found = run("-", "-o", "-", stdin=table.read_bytes())
    assert len(found.stdout.splitlines()) == 5
    assert found.stdout.startswith(HEAD)
    assert "To refer to a clinician" in found.stderr
    packed = run("-", "-o", "-", stdin=gzip.compress(table.read_bytes()))
    assert packed.stdout == found.stdout


def test_names_and_units_may_be_mapped_on_the_line_and_in_a_file(tmp_path: Path) -> None:
    theirs = tmp_path / "theirs.csv"
    theirs.write_text("Geschlecht;Alter;Gewicht;Höhe\nfemale;41;157,19;1,682\n")
    out = tmp_path / "out.csv"
    plain = run(
        theirs, "-o", out, "--map", "Geschlecht=sex", "--map", "Alter=age_years",
        "--map", "Gewicht=weight_lb", "--map", "Höhe=height_cm", "--unit", "Höhe=m",
    )  # fmt: skip
    assert plain.exit_code == 0, plain.stderr
    assert "semicolons between cells and a decimal comma" in plain.stderr
    names = tmp_path / "names.toml"
    names.write_text(
        '[columns]\nGeschlecht = "sex"\nAlter = "age_years"\nGewicht = "weight_kg"\n'
        '"Höhe" = "height_m"\n[units]\nGewicht = "lb"\n'
    )
    again = tmp_path / "again.csv"
    assert run(theirs, "-o", again, "--map-file", names).exit_code == 0
    assert again.read_text() == out.read_text()
    row = pd.read_csv(out, sep=";", decimal=",").iloc[0]
    same = foldspan.reconcile_table(
        pd.DataFrame({"sex": ["female"], "age_years": [41], "weight_kg": [157.19 * 0.45359237],
                      "height_cm": [168.2]})
    )  # fmt: skip
    assert row.fat_percent == pytest.approx(same.fat_percent[0], abs=0.0051)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--map", "code"], "[E501]"),
        (
            ["--unit", "weight_kg=lb", "--unit", "weight_kg=kg"],
            "given twice, with different values",
        ),
        (["--map", "note=hip_cm", "--map", "note=waist_iliac_cm"], "given twice"),
        (["--map", "Code=code"], "Did you mean code?"),
        (["--map", "code=sexx"], "Did you mean sex?"),
        (["--unit", "weight_kg=furlong"], "[E104]"),
        (["--reference-method", "mri"], "[E501]"),
        (["--resume"], "[E501]"),
        (["--scheduler", "local"], "[E501]"),
        (["--map-file", "nowhere.toml"], "[E301]"),
    ],
)
def test_wrong_options_are_told(
    arguments: list[str], words: str, table: Path, tmp_path: Path
) -> None:
    found = run(table, "-o", tmp_path / "out.csv", *arguments)
    assert found.exit_code == 2 or isinstance(found.exception, FoldspanError)
    assert words in str(found.exception)
    assert not (tmp_path / "out.csv").exists()


def test_letters_are_written_for_those_who_are_referred(table: Path, tmp_path: Path) -> None:
    folder = tmp_path / "letters"
    found = run(table, "-o", tmp_path / "out.csv", "--letters", folder)
    assert "Letters written for 2 rows, in" in found.stderr
    assert sorted(path.name for path in folder.iterdir()) == [
        "row000002_W-2.pdf",
        "row000004_W-4.pdf",
    ]
    text = " ".join(pypdf.PdfReader(folder / "row000004_W-4.pdf").pages[0].extract_text().split())
    assert "W-4" in text
    assert "bmi below 16" in text.lower()
    assert stat.S_IMODE((folder / "row000002_W-2.pdf").stat().st_mode) == 0o600
    again = run(table, "-o", tmp_path / "again.csv", "--letters", folder)
    assert "[E308]" in str(again.exception)


def test_a_folder_of_parts_to_a_folder_and_to_one_file(table: Path, tmp_path: Path) -> None:
    parts = tmp_path / "parts"
    parts.mkdir()
    frame = pd.read_csv(table)
    for number in range(2):
        frame.iloc[2 * number : 2 * number + 2].to_parquet(parts / f"part-{number}.parquet")
    folder, single = tmp_path / "out", tmp_path / "out.parquet"
    refer = tmp_path / "refer.csv"
    assert run(parts, "-o", folder, "--referrals", refer).exit_code == 3
    assert run(parts, "-o", single).exit_code == 3
    whole = pq.read_table(single).to_pandas()
    pieces = pd.concat([pd.read_parquet(path) for path in sorted(folder.iterdir())])
    assert whole.astype(str).values.tolist() == pieces.astype(str).values.tolist()
    assert [(row["part"], row["row"]) for row in read(refer)] == [
        ("part-0.parquet", "2"),
        ("part-1.parquet", "2"),
    ]
    assert "[E308]" in str(run(parts, "-o", folder).exception)
    assert run(parts, "-o", folder, "--resume").exit_code == 3


def test_progress_is_silent_off_a_terminal_and_tells_rate_and_time(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = iter([0.0, 1.0, 10.0, 70.0])
    monkeypatch.setattr("foldspan.cli.progress.time.monotonic", lambda: next(clock))
    with Progress(is_shown=False) as quiet:
        quiet.step(10, 0.1)
    assert capsys.readouterr().err == ""
    with Progress(is_shown=True) as shown:
        shown.step(120_000, 0.5)
    lines = capsys.readouterr().err
    assert "120,000 rows, 2,000 a second, 50%, 1 min 00 s left" in lines
    assert lines.endswith("\r\x1b[K")

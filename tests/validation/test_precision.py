"""``foldspan precision``: tables of repeats, what counts, what is said, and the page."""

from __future__ import annotations

import json
import math
import re
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
import typer
from typer.testing import CliRunner

from foldspan.api.precision import precision
from foldspan.cli.precision import command
from foldspan.cli.printed.precision import page
from foldspan.measurement.technical_error import Repeat, grade, target_of, within
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.records.tester_error import read_own_errors
from foldspan.tables.repeats import RepeatTable, read_repeats
from foldspan.text.precision import REMARK_SENTENCES

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "repeats.csv"
APP = typer.Typer()
APP.command()(command)
Row = dict[str, Any]


def call(*words: str, given: str | None = None) -> tuple[int, str, str]:
    """Exit code, stdout and stderr; a fault of the input is raised for the caller."""
    done = CliRunner().invoke(APP, list(words), input=given)
    if isinstance(done.exception, FoldspanError):
        raise done.exception
    assert done.exception is None or isinstance(done.exception, SystemExit)
    return done.exit_code, done.stdout, done.stderr


def read(*rows: Row) -> RepeatTable:
    return read_repeats(pd.DataFrame(list(rows)))


def codes(table: RepeatTable) -> list[str]:
    return [problem.code for problem in table.problems]


def row(code: str = "K-101", tester: str = "T-01", **cells: Any) -> Row:
    return {"code": code, "tester": tester, "triceps_mm_1": 20.0, "triceps_mm_2": 21.0} | cells


def refused(*rows: Row) -> list[str]:
    with pytest.raises(FoldspanError) as caught:
        read(*rows)
    return [problem.code for problem in caught.value.problems]


def pairs(clients: int, spread: float = 0.6, tester: str = "T-01", seed: int = 3) -> list[Repeat]:
    """Invented duplicates of a fold with a known error, to the last bit."""
    random = np.random.default_rng(seed)
    found = []
    for number in range(clients):
        place = random.uniform(12.0, 30.0)
        first, second = (float(value) for value in random.normal(place, spread, 2))
        found.append(Repeat(f"K-{101 + number}", tester, "triceps_mm", (first, second)))
    return found


def test_a_row_becomes_a_repeat_a_site() -> None:
    table = read(row(triceps_mm_3=None, waist_midpoint_cm_1="0.82 m", waist_midpoint_cm_2="32 in"))
    fold, waist = table.repeats
    assert (fold.code, fold.tester, fold.quantity) == ("K-101", "T-01", "triceps_mm")
    assert fold.readings == (20.0, 21.0)
    assert waist.readings == pytest.approx((82.0, 81.28))
    assert (table.rows, table.rows_counted, table.cells, table.cells_counted) == (1, 1, 4, 4)
    assert table.is_complete
    assert "20" not in repr(fold)


def test_readings_keep_the_order_of_their_numbers() -> None:
    cells = {f"triceps_mm_{number}": float(10 + number) for number in (10, 2, 1)}
    table = read({"code": "K-101"} | cells)
    assert table.repeats[0].readings == (11.0, 12.0, 20.0)
    assert table.repeats[0].tester == ""


@pytest.mark.parametrize("name", MEASURED)
def test_every_measured_quantity_can_be_repeated(name: str) -> None:
    low, high = BY_NAME[name].plausible(None)
    middle = (low + high) / 2.0
    table = read({"code": "K-101", f"{name}_1": middle, f"{name}_2": middle})
    assert table.problems == ()
    assert precision(table.repeats).sites[name].within[""].tem == 0.0


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("twenty", "E101"),
        ("21,22", "E108"),
        ("21 furlongs", "E104"),
        ("21 kg", "E105"),
        (math.inf, "E106"),
        (0.0, "E107"),
        (-4.0, "E107"),
        (210.0, "E102"),
        (True, "E101"),
        ("60+", "E101"),
    ],
)
def test_a_bad_cell_is_named_and_the_other_sites_stay(cell: object, code: str) -> None:
    table = read(row(triceps_mm_2=cell, thigh_mm_1=25.0, thigh_mm_2=26.0))
    assert codes(table) == [code]
    assert "row 2, triceps_mm_2" in table.problems[0].where
    assert table.problems[0].remedy
    assert {repeat.quantity for repeat in table.repeats} >= {"thigh_mm"}
    assert table.cells == 4
    assert table.cells_counted == (2 if cell == "60+" else 3)
    assert not table.is_complete


def test_what_is_only_unusual_is_used_and_named() -> None:
    table = read(row(triceps_mm_1=58.0, triceps_mm_2=57.0), row("K-102", triceps_mm_2=35.0))
    assert codes(table) == ["W103", "W103", "W124"]
    assert table.is_complete
    assert table.cells_counted == 4


def test_faults_of_the_table_stop_the_work() -> None:
    assert refused({"triceps_mm_1": 20.0}) == ["E401"]
    assert refused({"code;tester;triceps_mm_1": "K-101;T-01;20"})[:2] == ["E401", "E120"]
    assert refused(row(), row()) == ["E122"]
    assert refused(row(suprailiac_1=20.0)) == ["E114"]
    assert refused(row(suprailiac_mm_1=20.0)) == ["E114"]
    assert refused(row(triceps_mm=20.0)) == ["E403"]
    assert refused(row(**{"triceps_mm_1.1": 20.0})) == ["E403"]
    assert refused({"code": "K-101", "tricep_mm_1": 20.0}) == ["E120", "W402"]
    assert refused({"code": None, "triceps_mm_1": None}) == ["E306"]
    doubled = pd.DataFrame([["K-101", 20.0, 21.0]], columns=["code", "triceps_mm", "triceps_mm"])
    with pytest.raises(FoldspanError, match="given twice"):
        read_repeats(doubled)
    with pytest.raises(FoldspanError, match="not a data frame"):
        read_repeats([])  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("tricep_mm_1", "triceps_mm_1"),
        ("calf_1", "calf_mm_1"),
        ("waist_1", "waist_midpoint_cm_1"),
        ("observer", "tester"),
        ("remarks", "triceps_mm_1"),
    ],
)
def test_an_unknown_column_is_named_with_what_is_near(name: str, near: str) -> None:
    table = read(row(**{name: 1.0}))
    assert codes(table) == ["W402"]
    assert name in table.problems[0].where
    assert near in table.problems[0].remedy


def test_facts_of_other_tables_pass_in_silence() -> None:
    assert codes(read(row(sex="female", age_years=41, date="2026-03-04"))) == []


def test_rows_without_a_name_or_a_reading_do_not_count() -> None:
    table = read(
        row(),
        row(code=None),
        row(tester=""),
        row("K-102", triceps_mm_1=None, triceps_mm_2=None),
        dict.fromkeys(row()),
    )
    assert codes(table) == ["E121", "E121", "E110"]
    assert (table.rows, table.rows_counted, table.cells, table.cells_counted) == (4, 1, 6, 2)


def test_codes_that_are_numbers() -> None:
    frame = pd.DataFrame({"code": [101, None], "triceps_mm_1": [20.0, 21.0]})
    assert read_repeats(frame).repeats[0].code == "101"


def test_known_errors_of_two_testers_are_recovered() -> None:
    steady, shaky = pairs(60, 0.4), pairs(60, 1.5, "T-02", seed=4)
    site = precision([*steady, *shaky]).sites["triceps_mm"]
    for tester, truth in (("T-01", 0.4), ("T-02", 1.5)):
        low, high = site.within[tester].bounds
        assert low < truth < high
        assert high / low < 1.5  # 60 degrees: 1.22 / 0.85
        assert site.minimal_detectable_change_of_two[tester] == pytest.approx(
            1.96 * site.within[tester].tem, rel=1e-4
        )


def test_between_uses_accepted_values_of_shared_clients() -> None:
    given = [
        Repeat("K-101", "T-01", "thigh_mm", (20.0, 22.0)),  # mean 21
        Repeat("K-101", "T-02", "thigh_mm", (23.0, 26.0, 24.0)),  # median 24
        Repeat("K-102", "T-01", "thigh_mm", (30.0, 30.0)),
        Repeat("K-102", "T-02", "thigh_mm", (31.0,)),
        Repeat("K-103", "T-01", "thigh_mm", (15.0, 16.0)),  # one tester only
        Repeat("K-104", "T-02", "thigh_mm", (19.0,)),  # alone
    ]
    result = precision(given)
    site = result.sites["thigh_mm"]
    assert site.between is not None
    # differences 3 and 1: (9 + 1) / 4
    assert site.between.tem == pytest.approx(math.sqrt(2.5))
    assert site.between.clients == 2
    assert site.systematic["T-02"].difference == pytest.approx(1.0)
    assert site.within["T-02"].clients == 1
    assert [repeat.code for repeat in result.alone] == ["K-104"]
    assert (result.clients, result.readings) == (3, 10)  # 2 + 3 + 2 + 1 + 2


def test_several_visits_count_within_but_not_between() -> None:
    repeat = Repeat("K-101", "T-01", "thigh_mm", (20.0, 22.0))
    other = Repeat("K-101", "T-02", "thigh_mm", (23.0, 23.0))
    result = precision([repeat, repeat, other])
    site = result.sites["thigh_mm"]
    assert site.between is None
    assert (site.within["T-01"].clients, site.within["T-01"].degrees) == (1, 2)
    assert "several_visits" in {remark.code for remark in result.remarks}


def test_nobody_measured_twice_is_an_empty_answer() -> None:
    assert precision([]).is_empty
    single = precision([Repeat("K-101", "T-01", "thigh_mm", (20.0,))])
    assert single.is_empty
    assert len(single.alone) == 1


@pytest.mark.parametrize(
    ("quantity", "readings", "code"),
    [
        ("nose_mm", (1.0,), "E115"),
        ("thigh_mm", (), "E110"),
        ("thigh_mm", (math.nan, 2.0), "E106"),
        ("thigh_mm", (0.0, 2.0), "E107"),
    ],
)
def test_repeats_of_another_origin_are_checked(
    quantity: str, readings: tuple[float, ...], code: str
) -> None:
    with pytest.raises(FoldspanError) as caught:
        precision([Repeat("K-101", "T-01", quantity, readings)])
    assert [problem.code for problem in caught.value.problems] == [code]


def test_own_errors_need_a_name_ten_clients_and_blind_repeats(tmp_path: Path) -> None:
    alike = [Repeat(pair.code, "T-03", "thigh_mm", (25.0, 25.0)) for pair in pairs(12)]
    nobody = [Repeat(pair.code, "", "calf_mm", pair.readings) for pair in pairs(12)]
    result = precision([*pairs(10), *pairs(9, tester="T-02", seed=5), *alike, *nobody])
    assert {tester: list(own) for tester, own in result.own_errors.items()} == {
        "T-01": ["triceps_mm"]
    }
    said = {(remark.code, remark.tester) for remark in result.remarks}
    assert said >= {("too_alike", "T-03"), ("not_handed_on", "T-02"), ("nobody_named", "")}
    assert re.search(r"T-03 .* too alike$", page(result), re.MULTILINE)
    tree = result.to_dict()["own_errors"]["T-01"]["triceps_mm"]
    assert list(tree) == ["relative", "degrees", "clients"]
    path = tmp_path / "own.json"
    path.write_text(json.dumps(result.to_dict()), encoding="utf-8")
    own = read_own_errors(str(path), "T-01")["triceps_mm"]
    found = result.sites["triceps_mm"].within["T-01"]
    assert own.relative == pytest.approx(found.tem / found.mean, abs=1e-6)
    assert own.degrees == 10


def test_rounding_is_told_from_a_coarse_scale() -> None:
    def remarks(readings: list[float]) -> set[str]:
        found = precision(
            [
                Repeat(f"K-{n}", "T-01", "thigh_mm", (reading, reading + 1))
                for n, reading in enumerate(readings)
            ]
        )
        return {remark.code for remark in found.remarks} & {"rounded", "coarse"}

    every_digit = [20.0 + 0.1 * number for number in range(20)]
    assert remarks(every_digit) == set()
    assert remarks([20.0, 20.5] * 9 + [20.2, 20.3]) == {"rounded"}
    assert remarks([20.0, 20.5] * 10) == {"coarse"}
    assert remarks([20.0, 20.5, 20.2]) == set()  # six readings tell nothing


def test_grades_and_targets() -> None:
    sure = within(np.column_stack([np.full(50, 20.0), np.full(50, 20.5)]))  # TEM 0.35: 1.7 %
    assert sure is not None
    assert grade(sure, 5.0, 7.5) == ("skilled", True)
    assert grade(sure, 1.0, 1.5) == ("beyond", False)  # the lower bound is 1.46 %
    assert grade(sure, 0.5, 0.6) == ("beyond", True)
    fold, girth = target_of("thigh_mm"), target_of("neck_cm")
    assert fold is not None
    assert girth is not None
    # protocol facts 5.2, typed again
    assert (fold.skilled_within, fold.beginner_within) == (5.0, 7.5)
    assert (fold.skilled_between, fold.beginner_between) == (7.5, 10.0)
    assert (girth.skilled_within, girth.beginner_within) == (1.0, 1.5)
    assert (girth.skilled_between, girth.beginner_between) == (1.5, 2.0)
    assert target_of("weight_kg") is None


def test_page_is_narrow_and_a_negative_reliability_is_a_dash() -> None:
    given = [Repeat("K-101", "a tester with a long name", "weight_kg", (180.0, 220.0))]
    given += [
        Repeat(f"K-{n}", tester, name, (20.0 + n % 2, 35.0 - n % 2))
        for n in range(4)
        for tester in ("T-01", "T-02")
        for name in ("suprailiac_anterior_mm", "arm_relaxed_girth_cm")
    ]
    result = precision(given)
    text = page(result)
    assert max(map(len, text.splitlines())) <= 80
    assert result.sites["suprailiac_anterior_mm"].within["T-01"].reliability < 0.0  # type: ignore[operator]
    assert re.search(r"T-01 +4 .* - +\d", text)
    assert "Reliability below 0" in text


def test_every_remark_stands_in_the_page_of_the_docs() -> None:
    text = (ROOT / "docs" / "precision.md").read_text(encoding="utf-8")
    assert [code for code in REMARK_SENTENCES if f"| {code} |" not in text] == []


def test_the_example_in_the_docs_is_real() -> None:
    status, out, err = call(str(EXAMPLE))
    assert status == 0
    assert "24 of 24 rows and 209 of 209 readings" in err
    text = (ROOT / "docs" / "precision.md").read_text(encoding="utf-8")
    assert f"```text\n{out.rstrip()}\n```" in text


def test_json_has_the_keys_agreed_on() -> None:
    status, out, _ = call(str(EXAMPLE), "--json")
    tree = json.loads(out)
    assert status == 0
    assert tree["schema_version"] == 2
    site = tree["sites"]["triceps_mm"]
    assert set(site) >= {
        "within",
        "between",
        "total",
        "systematic",
        "minimal_detectable_change_of_two",
    }
    keys = "tem relative reliability low high degrees clients mean readings"
    assert " ".join(site["within"]["T-01"]) == " ".join(site["between"]) == keys
    assert set(tree["own_errors"]) == {"T-01", "T-02"}
    # by hand from the file: T-01's waists, sum of squared differences over 24
    frame = pd.read_csv(EXAMPLE).query("tester == 'T-01'")
    waists = frame.waist_midpoint_cm_1 - frame.waist_midpoint_cm_2
    tem = math.sqrt(float((waists**2).sum()) / 24.0)
    found = tree["sites"]["waist_midpoint_cm"]["within"]["T-01"]["tem"]
    assert found == pytest.approx(tem, abs=5e-5)


def test_the_file_is_for_its_owner_and_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "own.json"
    status, out, err = call(str(EXAMPLE), "-o", str(path))
    assert status == 0
    assert str(path) in err
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert json.loads(path.read_text(encoding="utf-8"))["schema_version"] == 2
    assert "Please note" in out
    with pytest.raises(FoldspanError, match="E308"):
        call(str(EXAMPLE), "-o", str(path))


HEAD = "code,tester,triceps_mm_1,triceps_mm_2\n"


def test_exit_codes_over_a_pipe() -> None:
    assert call("-", given=f"{HEAD}K-101,T-01,20,21\n")[0] == 0
    status, out, err = call("-", given=f"{HEAD}K-101,T-01,20,\n")
    assert (status, out) == (1, "")
    assert "measured twice" in err
    status, out, err = call("-", given=f"{HEAD}K-101,T-01,20,21\nK-102,T-01,0,21\n")
    assert status == 3
    assert "row 3, triceps_mm_1" in err
    assert "K-102, T-01, triceps_mm: only one reading" in err
    assert "2 of 2 rows and 3 of 4 readings" in err
    with pytest.raises(FoldspanError, match="more or fewer cells"):
        call("-", given=f"{HEAD}K-101,T-01,20,21,22\nK-102,T-01,20,21,22\n")
    with pytest.raises(FoldspanError, match="E301"):
        call("no_such_table.csv")


def test_the_reckoning_needs_no_table_library() -> None:
    code = "import sys, foldspan.api.precision; print('pandas' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "False"

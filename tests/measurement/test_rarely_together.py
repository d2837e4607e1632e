"""Two measurements rarely seen together: one function tells session, visit file, book and table."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan.measurement.between_sites import rarely_together
from foldspan.protocol.cross_checks import CROSS_CHECKS
from foldspan.quantities import BY_NAME, SEXES
from foldspan.session.answers import Known, Prompt
from foldspan.session.checks import objections

Run = Callable[..., tuple[int, str, str]]
# asked back where the triceps fold is thinner than the biceps fold (our proposal, no source)
ODD = {"triceps": 9.0, "biceps": 14.0}
TREE: dict[str, Any] = {
    "client": {"code": "W-041", "sex": "female", "age_years": 41},
    "visit": {"date": "2026-03-05", "tester": "T-02"},
    "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    "skinfolds_mm": ODD,
}
SAID = "Rarely found in the same person: triceps skinfold and biceps skinfold."


def visit_file(folder: Path, **changes: Any) -> str:
    path = folder / "visit.json"
    path.write_text(json.dumps(TREE | changes), encoding="utf-8")
    return str(path)


def warned(tree: Mapping[str, Any]) -> list[str]:
    visit = foldspan.Visit.from_dict(tree)
    return [problem.where for problem in visit.warnings if problem.code == "W125"]


def test_files_are_told_and_get_their_range(run: Run, tmp_path: Path) -> None:
    code, out, err = run("reconcile", visit_file(tmp_path))
    assert code == 0
    assert "triceps_mm, biceps_mm: rarely found in the same person (you entered: 9 and 14)" in err
    assert "[W125]" in err
    assert SAID in " ".join(out.split())
    tree = json.loads(run("reconcile", visit_file(tmp_path), "--json")[1])
    assert "rarely_together" in [finding["code"] for finding in tree["findings"]]


def test_pages_for_staff_tell_it_and_the_client_is_spared(run: Run, tmp_path: Path) -> None:
    visit, said = visit_file(tmp_path), {}
    for reader in ("trainer", "clinician", "client"):
        page = tmp_path / f"{reader}.html"
        assert run("report", visit, "--for", reader, "-o", str(page))[0] == 0
        said[reader] = page.read_text(encoding="utf-8").lower()
    assert "rarely found in the same person" in said["trainer"]
    assert "triceps skinfold, biceps skinfold: rarely found in the same person" in said["clinician"]
    assert "rarely found in the same person" not in said["client"]
    assert "rarely found in the same person" in run("explain", visit)[1].lower().replace(
        "\n    ", " "
    )


def table(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    found = foldspan.reconcile_table(pd.DataFrame(rows))
    return [dict(row) for _, row in found.iterrows()]


ROW: dict[str, Any] = {
    "sex": "female", "age_years": 41, "weight_kg": 71.3, "height_cm": 168.2, "triceps_mm": 22,
    "biceps_mm": 14, "pregnant": "no",
}  # fmt: skip


def test_tables_mark_the_row_and_keep_its_range() -> None:
    odd = {"triceps_mm": 9}
    rows = [ROW, ROW | odd, ROW | odd | {"age_years": 14}, ROW | odd | {"pregnant": "yes"}]
    found = table(rows)
    assert "W125" not in found[0]["problems"]
    assert "W125 triceps_mm, biceps_mm" in found[1]["problems"]
    assert found[1]["range_80_low"] > 0.0
    assert [row["problems"] for row in found[2:]] == ["E201", "E202"]


def test_the_answers_are_the_same_in_session_file_and_table() -> None:
    """Every check, from both sides of both bounds, where all three know the quantities."""
    rows, wanted = [], []
    for check, place in product(CROSS_CHECKS, range(2)):
        if "height_cm" in (check.first, check.second):
            continue  # there weight, height and waist are held together first
        low, high = BY_NAME[check.second].plausible(SEXES[place])
        (least, most), tried = BY_NAME[check.first].plausible(SEXES[place]), (0.2, 0.4, 0.6, 0.8)
        bounds = (check.female, check.male)[place]
        for share, bound, step in product(tried, bounds, (-0.01, 0.01)):
            other = round(low + share * (high - low), 1)
            first = other + bound + step if check.is_difference else other * (bound + step)
            if least < first < most:
                cells = {check.first: round(first, 4), check.second: other}
                rows.append({"sex": SEXES[place], "age_years": 41} | cells)
                values = {name: np.array([value]) for name, value in cells.items()}
                broken = rarely_together(values, np.array([place]))
                wanted.append([f"W125 {pair.first}, {pair.second}" for pair, _ in broken])
    assert sum(map(bool, wanted)) > 40
    assert not all(wanted)
    found = [
        [part for part in row["problems"].split("; ") if part.startswith("W125")]
        for row in table(rows)
    ]
    impossible = [any(code in row["problems"] for code in ("E102",)) for row in table(rows)]
    for mine, theirs, is_out in zip(found, wanted, impossible, strict=True):
        assert is_out or mine == theirs
    for row, theirs in zip(rows, wanted, strict=True):
        (first, first_answer), (second, second_answer) = list(row.items())[2:]
        known = Known(
            {"sex": row["sex"], "age_years": 41.0, f"1.{second}": {"value": second_answer}}
        )
        asked = objections(
            known, Prompt(f"1.{first}", "reading", first, 1), first_answer, at_least=False
        )
        if not {problem.code for problem in asked} & {"E102", "E103"}:
            assert [problem.code for problem in asked] == ["E123"] * bool(theirs)


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({}, ["visit: triceps_mm, biceps_mm"]),
        ({"skinfolds_mm": {"triceps": 14.0, "biceps": 14.0}}, []),
        ({"skinfolds_mm": {"triceps": 9.0, "biceps": "60+"}}, []),  # nobody knows how thick
        ({"client": TREE["client"] | {"age_years": 15}}, []),
        ({"client": TREE["client"] | {"pregnant": True}}, []),
        ({"girths_cm": {"neck": 32.0, "wrist": 19.0}}, None),
    ],
)
def test_who_is_told(changes: Mapping[str, Any], wanted: list[str] | None) -> None:
    found = warned(TREE | dict(changes))
    assert found == wanted if wanted is not None else len(found) > 1


def test_nobody_is_told_of_what_is_not_known() -> None:
    unknown = {
        name: np.array([np.nan]) for check in CROSS_CHECKS for name in (check.first, check.second)
    }
    assert list(rarely_together(unknown, np.array([0]))) == []

"""What a terminal says of options of a table is said on a page by what is chosen there."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from foldspan.problems import Problem
from foldspan.quantities import BY_NAME
from foldspan.tables.column_names import (
    NOT_USED,
    added_offer,
    close_offer,
    mapping,
    unit_offer,
    waist_offer,
)
from foldspan.text.tables.tapped import tapped_problem, tapped_table

SOURCE = Path(__file__).parents[2] / "src" / "foldspan"
OPTION = re.compile(r"(?<!\w)--\w|\[words|map file|foldspan (screen|reconcile|precision)")
# a page takes no folder of parts, has no cluster, and no file of column choices
NOT_ON_A_PAGE = ("partitioned.py", "cluster.py", "paths.py", "sample.py")


def _text(node: ast.AST) -> str:
    """A string or an f-string with a word in each gap."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return re.sub(r"\{\w+\}", "kg", node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(_text(part) or "kg" for part in node.values)
    return ""


def _said() -> Iterator[tuple[str, str]]:
    files = [SOURCE / "text" / "screen.py", *SOURCE.glob("text/tables/before.py")]
    for room in ("tables", "screening"):
        files += sorted((SOURCE / room).rglob("*.py"))
    for path in files:
        if path.name in NOT_ON_A_PAGE:
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)
                  for part in node.values}  # fmt: skip
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            text = _text(node) if id(node) not in inside | docs else ""
            # only a folder of parts can be gone on with
            if len(text.split()) > 3 and OPTION.search(text) and "--resume" not in text:
                yield f"{path.name}:{node.lineno}", text  # type: ignore[attr-defined]


SAID = dict(_said())


@pytest.mark.parametrize("where", sorted(SAID))
def test_no_sentence_of_a_table_names_an_option_on_a_page(where: str) -> None:
    assert not OPTION.search(tapped_table(SAID[where])), tapped_table(SAID[where])


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        (f"Keep one, or use {mapping('Taille (cm)', NOT_USED)}.",
         "Keep one, or choose “Not used” for the column “Taille (cm)”."),
        (unit_offer("Weight", BY_NAME["weight_kg"]), "Choose its unit: kg or lb."),
        (waist_offer("Waist", "waist_midpoint_cm")[1],
         "Choose the level, or “Not used”."),
        (added_offer("sex"), "Add sex for every row; if the table has such a column, choose it below."),
        (close_offer("sexe", "sex")[1],
         "Choose “sex (for women's or men's equations)” for the column “sexe”, or choose “Not used”"
         " for the column “sexe” if it is something else."),
    ],
)  # fmt: skip
def test_what_is_advised_is_advised_in_terms_of_the_page(said: str, shown: str) -> None:
    assert tapped_table(said) == shown


def test_a_problem_is_told_by_its_column() -> None:
    problem = Problem("E501", "--map Alter=agee", "unknown column name", "Did you mean age_years?")
    assert tapped_problem(problem).where == "column Alter"

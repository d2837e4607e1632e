"""The error model reads beside section 5 of docs/method.md: one function a block, in its order."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path

import pytest

from foldspan.estimation import error_model
from foldspan.estimation.error_model import BLOCKS

METHOD = (Path(__file__).parents[2] / "docs" / "method.md").read_text(encoding="utf-8")
# blocks that are worked out where their matter lies, as the module's head says
ELSEWHERE = ["local", "disagreement", "outside"]


def test_blocks_stand_in_the_order_of_the_page() -> None:
    table = METHOD.split("## 5. The covariance, block by block")[1].split("\n\n")[1]
    rows = re.findall(r"^\| ([a-z_]+) \|", table, re.MULTILINE)
    assert rows == ["block", *BLOCKS, *ELSEWHERE]
    head = inspect.getdoc(error_model) or ""
    assert all(f"``{name}``" in head for name in ELSEWHERE)


def test_functions_stand_in_the_order_of_the_blocks() -> None:
    tree = ast.parse(inspect.getsource(error_model))
    names = [node.name for node in tree.body if isinstance(node, ast.FunctionDef)]
    assert [name for name in names if name in BLOCKS] == list(BLOCKS)


@pytest.mark.parametrize("name", BLOCKS)
def test_a_block_says_its_formula_and_its_source(name: str) -> None:
    docstring = inspect.getdoc(getattr(error_model, name)) or ""
    assert docstring.startswith(f"Block ``{name}``: ")
    formula, source = docstring.split("\nFormula: ")[1].split("\nSource: ")
    assert "points" in docstring.split("\n")[0]  # its unit
    assert len(formula) > 40
    assert len(source) > 40


def test_the_page_states_what_all_methods_share() -> None:
    (cell,) = re.findall(r"^\| shared \|.*\| (.*) \|$", METHOD, re.MULTILINE)
    assert cell == "density: 3.0 points and the reference method's 2.4; DXA: 1.2 points"
    assert error_model.shared_variance("density") == pytest.approx(3.0**2 + 2.4**2)
    assert error_model.shared_variance("dxa") == pytest.approx(1.2**2)
    # "1.2 in place of 3.0" for athletes
    assert error_model.athletes_share_less("density") == pytest.approx(3.0**2 - 1.2**2)
    assert error_model.athletes_share_less("dxa") == 0.0

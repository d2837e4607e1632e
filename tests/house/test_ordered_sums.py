"""No module multiplies matrices by itself: the order of additions would depend on the machine."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "src" / "foldspan"
# what numpy hands to the matrix library
TO_THE_LIBRARY = {
    "dot", "vdot", "matmul", "inner", "tensordot", "cov", "corrcoef", "lstsq", "polyfit", "multi_dot",
    "pinv", "matrix_power",
}  # fmt: skip


def products_in(source: str) -> list[str]:
    """Lines of a source that multiply matrices through the library."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.BinOp | ast.AugAssign) and isinstance(node.op, ast.MatMult):
            found.append(ast.unparse(node))
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            whose = ast.unparse(node.func.value)
            of_numpy = whose in ("np", "np.linalg", "numpy") or node.func.attr == "dot"
            is_shared_out = node.func.attr == "einsum" and any(
                word.arg == "optimize" for word in node.keywords
            )
            if (of_numpy and node.func.attr in TO_THE_LIBRARY) or is_shared_out:
                found.append(ast.unparse(node))
    return found


@pytest.mark.parametrize(
    "source", ["a @ b", "a @= b", "np.cov(a)", "a.dot(b)", "np.linalg.lstsq(a, b)"]
)
def test_every_way_to_the_library_is_seen(source: str) -> None:
    assert products_in(source)


def test_matrices_are_multiplied_in_one_module_only() -> None:
    found = {
        path.name: products
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.name != "ordered_sums.py"
        and (products := products_in(path.read_text(encoding="utf-8")))
    }
    assert found == {}

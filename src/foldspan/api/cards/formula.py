"""A card's formula: as its source text, and written out as one reads it, with its coefficients.

Both are read off the function in the catalogue, so that no formula stands anywhere twice. Numbers
keep the digits with which they were typed there, which are those of the paper.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from foldspan.catalogue.card import AgeBands, Bmi, Equation, Input, Sum

MINUS, TIMES, DIVIDED = "\N{MINUS SIGN}", "\N{MULTIPLICATION SIGN}", "\N{DIVISION SIGN}"
_RAISED = str.maketrans("0123456789.", "⁰¹²³⁴⁵⁶⁷⁸⁹·")
_FUNCTIONS = {"log": "ln", "log10": "log₁₀"}
_SIGNS: dict[type[ast.operator], str] = {
    ast.Add: "+", ast.Sub: MINUS, ast.Mult: TIMES, ast.Div: DIVIDED,
}  # fmt: skip
CONSTANT = ""
"""The term of a coefficient that stands alone."""


@dataclass(frozen=True, slots=True)
class Branch:
    """A formula written out, or one of its branches.

    ``condition`` is for whom it holds, "" for everybody; ``terms`` are what each coefficient belongs to,
    ``CONSTANT`` for what stands alone, with the coefficient and its sign.
    """

    condition: str
    text: str
    terms: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class WrittenFormula:
    """A formula as one reads it.

    ``symbols`` are the names in it with the arguments behind them, ``branches`` the formula itself, one
    for most; ``ages`` and ``rows`` are a table of coefficients by age with the names of its columns.
    """

    symbols: tuple[tuple[str, Input], ...]
    branches: tuple[Branch, ...]
    columns: tuple[str, ...] = ()
    ages: tuple[tuple[int | None, int | None], ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


def formula_text(card: Equation) -> str:
    """Return the body of the formula as written in the catalogue, with its table if it has one."""
    function = card.printed_formula
    body = _definition(function)[0]
    steps = [
        f"{ast.unparse(step.target)} = {ast.unparse(step.value)}"
        if isinstance(step, ast.AnnAssign) and step.value is not None
        else ast.unparse(step)
        for step in body.body
        if not isinstance(step, ast.Expr)
    ]
    text = "; ".join(steps).replace("np.", "").removeprefix("return ")
    given = ", ".join(argument_text(name) for name in card.inputs)
    table = [str(value) for value in getattr(function, "args", ())]
    table += [f"{name}={value}" for name, value in getattr(function, "keywords", {}).items()]
    suffix = f"; {', '.join(table)}" if table else ""
    return f"{text}{suffix}, with ({given})"


def argument_text(given: object) -> str:
    """Return an argument of a formula by the names of its quantities."""
    if isinstance(given, Sum):
        return " + ".join(given.names)
    return "weight_kg / height_m²" if isinstance(given, Bmi) else str(given)


def written(card: Equation) -> WrittenFormula:
    """Return the formula of a card as one reads it."""
    function = card.printed_formula
    body, source = _definition(function)
    given = dict(getattr(function, "keywords", {}))
    bands = given.pop("bands", None)
    constants = {name: _plain(repr(value)) for name, value in given.items()}
    names = [argument.arg for argument in body.args.args][: len(card.inputs)]
    writer = _Writer(source, constants, names)
    for step in body.body:
        if isinstance(step, ast.Assign) and isinstance(step.targets[0], ast.Name):
            writer.steps[step.targets[0].id] = step.value
        elif isinstance(step, ast.AnnAssign) and isinstance(step.target, ast.Name):
            assert step.value is not None
            writer.steps[step.target.id] = step.value
    (result,) = [step.value for step in body.body if isinstance(step, ast.Return)]
    assert result is not None
    symbols = tuple(
        (_symbol(name), argument) for name, argument in zip(names, card.inputs, strict=True)
        if not (name == "age" and bands)
    )  # fmt: skip
    branches = tuple(writer.branches(result))
    if not isinstance(bands, AgeBands):
        return WrittenFormula(symbols, branches)
    (row,) = [
        step.targets[0] for step in body.body
        if isinstance(step, ast.Assign) and isinstance(step.targets[0], ast.Tuple)
    ]  # fmt: skip
    columns = tuple(name.id for name in row.elts if isinstance(name, ast.Name))
    starts = (None, *(last + 1 for last in bands.last_years))
    rows = tuple(tuple(_plain(repr(value)) for value in band) for band in bands.rows)
    ages = tuple(zip(starts, (*bands.last_years, None), strict=True))
    return WrittenFormula(symbols, branches, columns, ages, rows)


def _definition(function: object) -> tuple[ast.FunctionDef, str]:
    """The definition behind a formula, one with a table bound to it too, and its source."""
    source = textwrap.dedent(inspect.getsource(getattr(function, "func", function)))  # type: ignore[arg-type]
    body = ast.parse(source).body[0]
    assert isinstance(body, ast.FunctionDef)
    return body, source


def _plain(number: str) -> str:
    """A number as papers print it: no power of ten, its own digits."""
    return f"{Decimal(number):f}" if "e" in number.lower() else number


def _symbol(name: str) -> str:
    return "BMI" if name == "bmi" else name.removeprefix("is_").replace("_", " ")


class _Writer:
    """Writes the syntax of one formula; ``steps`` are expressions that it gives a name on the way."""

    def __init__(self, source: str, constants: Mapping[str, str], names: list[str]) -> None:
        self.source, self.constants, self.names = source, constants, names
        self.steps: dict[str, ast.expr] = {}

    def branches(self, node: ast.expr) -> Iterator[Branch]:
        """The formula, or each of its branches."""
        node = self._behind(node)
        if isinstance(node, ast.Call) and _called(node) == "where":
            condition, first, second = node.args
            assert isinstance(condition, ast.Compare)
            left, right = self.text(condition.left), self.text(condition.comparators[0])
            yield self._branch(f"{left} ≤ {right}", first)
            yield self._branch(f"{left} > {right}", second)
        else:
            yield self._branch("", node)

    def _branch(self, condition: str, node: ast.expr) -> Branch:
        terms = [(term, value) for term, value in self._terms(node, "", "")]
        return Branch(condition, self.text(node), tuple(terms))

    def _behind(self, node: ast.expr) -> ast.expr:
        """What stands behind a name that the formula gives on the way."""
        while isinstance(node, ast.Name) and node.id in self.steps and node.id not in self.names:
            node = self.steps[node.id]
        return node

    def text(self, node: ast.expr) -> str:
        """An expression as one writes it."""
        return self._text(node)[0]

    def _text(self, node: ast.expr) -> tuple[str, int]:
        """The same with how tightly it holds together: 1 a sum, 2 a product, 3 a whole."""
        node = self._behind(node)
        if isinstance(node, ast.Constant):
            return self._number(node), 3
        if isinstance(node, ast.Name):
            return self.constants.get(node.id, _symbol(node.id)), 3
        if isinstance(node, ast.UnaryOp):
            return f"{MINUS}{self._within(node.operand, 2)}", 2
        if isinstance(node, ast.Call):
            name = _called(node)
            if name == "real":
                return self._text(node.args[0])
            return f"{_FUNCTIONS[name]}({self.text(node.args[0])})", 3
        assert isinstance(node, ast.BinOp), ast.dump(node)
        if isinstance(node.op, ast.Pow):
            return f"{self._within(node.left, 3)}{self.text(node.right).translate(_RAISED)}", 3
        is_sum = isinstance(node.op, ast.Add | ast.Sub)
        least = 1 if is_sum else 2
        # a - (b + c) keeps its brackets, a + (b + c) needs none
        behind = least if isinstance(node.op, ast.Add) else least + 1
        left, right = self._within(node.left, least), self._within(node.right, behind)
        sign = _SIGNS[type(node.op)]
        if is_sum and right.startswith(MINUS):
            sign, right = "+" if sign == MINUS else MINUS, right[1:]
        return f"{left} {sign} {right}", least

    def _within(self, node: ast.expr, least: int) -> str:
        text, holds = self._text(node)
        return text if holds >= least else f"({text})"

    def _number(self, node: ast.Constant) -> str:
        typed = ast.get_source_segment(self.source, node)
        return _plain((typed or str(node.value)).replace("_", ""))

    def _terms(self, node: ast.expr, sign: str, divided: str) -> Iterator[tuple[str, str]]:
        """What each coefficient belongs to, and the coefficient."""
        node = self._behind(node)
        if isinstance(node, ast.UnaryOp):
            yield from self._terms(node.operand, _other(sign), divided)
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
            yield from self._terms(node.left, sign, divided)
            behind = _other(sign) if isinstance(node.op, ast.Sub) else sign
            yield from self._terms(node.right, behind, divided)
        elif (
            isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div)
            and isinstance(self._behind(node.left), ast.BinOp)
            and isinstance(self._behind(node.left).op, ast.Add | ast.Sub)  # type: ignore[attr-defined]
            and isinstance(node.right, ast.Constant)
        ):  # fmt: skip
            by = f" {DIVIDED} {self._number(node.right)}"
            yield from self._terms(node.left, sign, by)
        else:
            yield self._term(node, sign, divided)

    def _term(self, node: ast.expr, sign: str, divided: str) -> tuple[str, str]:
        numbers, others, below = self._factors(node)
        rest = f" {TIMES} ".join(others)
        if len(others) == 1 and not below and rest.startswith("(") and rest.endswith(")"):
            rest = rest[1:-1]
        if below:
            over = below[0] if len(below) == 1 else f"({f' {TIMES} '.join(below)})"
            rest = f"{rest or '1'} {DIVIDED} {over}"
        number = f"{sign}{f' {TIMES} '.join(numbers) or '1'}{divided}"
        return rest or CONSTANT, number.removeprefix(MINUS * 2)

    def _factors(self, node: ast.expr) -> tuple[list[str], list[str], list[str]]:
        """The numbers of a product, its other factors, and what it is divided by."""
        node = self._behind(node)
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):
            numbers, others, below = self._factors(node.left)
            if isinstance(node.op, ast.Div):
                return numbers, others, [*below, self._within(node.right, 3)]
            right = self._behind(node.right)
            if self._is_number(right):
                return [*numbers, self.text(right)], others, below
            return numbers, [*others, self._within(right, 3)], below
        if self._is_number(node):
            return [self.text(node)], [], []
        return [], [self._within(node, 2)], []

    def _is_number(self, node: ast.expr) -> bool:
        if isinstance(node, ast.UnaryOp):
            return self._is_number(node.operand)
        return isinstance(node, ast.Constant) or (
            isinstance(node, ast.Name) and node.id in self.constants
        )


def _other(sign: str) -> str:
    return "" if sign else MINUS


def _called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else ""

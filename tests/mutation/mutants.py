"""Mutants of a module: small changes of its source, each of which some test should notice.

The changes are those of cosmic-ray's operators. A place is a stretch of source that one or more of them
can change. Left out, since no test could or should notice them: annotations, which are never evaluated;
decorators that only remember an answer; ``==`` turned into ``is`` and back; ``strict`` of ``zip``, which
only checks what is so by construction, and ``slots``, which only saves memory. Left out too, since every
test would notice them: what is no Python, and arithmetic turned into operations on bits or ``is`` into
an order, which floating-point numbers and ``None`` refuse.
"""

from __future__ import annotations

import ast
import hashlib
import re
import warnings
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "foldspan"
# the modules whose mutants are drawn
PATTERNS = (
    *("estimation/families/*.py", "estimation/error_model.py", "estimation/error_correlation.py"),
    *("estimation/measurement_error.py", "estimation/applicability.py", "estimation/pipeline.py"),
    *("estimation/one_per_sample.py", "estimation/usual_terms.py", "interpretation/referral*.py"),
    *("interpretation/classification.py", "followup/*.py", "session/*.py", "records/book.py"),
    *("records/storage.py", "records/journal.py"),
)
REMEMBERS = {"cache", "lru_cache"}
UNSEEN = ("strict=", "slots=")
REFUSED = re.compile(
    r"core/Replace(?:"
    r"BinaryOperator_(?:Add|Sub|Mul|Div|FloorDiv|Mod|Pow)_(?:BitOr|BitAnd|BitXor|LShift|RShift)"
    r"|ComparisonOperator_(?:(?:Is|IsNot)_(?:Lt|LtE|Gt|GtE)|Eq_Is|NotEq_IsNot|Is_Eq|IsNot_NotEq)"
    r"|UnaryOperator_(?:USub|UAdd)_Invert)"
)
Span = tuple[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True)
class Mutant:
    """One change: the ``occurrence``-th one of an operator in a module, and where it stands."""

    module: str  # below src/foldspan, such as followup/paired.py
    operator: str
    occurrence: int
    line: int
    column: int
    end: tuple[int, int]
    function: str  # its qualified name, or "" at the top of the module
    source: str  # its line, stripped
    nth: int  # among equal places of equal lines of the function
    way: int = 0  # among the changes of one operator at one place

    @property
    def place(self) -> str:
        """Name its place by what stands there, so that lines that move do not change the draw."""
        at = (self.module, self.function, self.source, self.nth, self.end[0] - self.line)
        return "|".join(map(str, (*at, self.end[1] - self.column)))

    @property
    def name(self) -> str:
        """A short name that stays while the function stays as it is."""
        return digest(self.place, self.operator, self.way)[:10]


def digest(*words: object) -> str:
    """Equally distributed digits from words, the same on every machine."""
    return hashlib.sha256("|".join(map(str, words)).encode()).hexdigest()


def modules() -> list[Path]:
    """The modules whose mutants are drawn."""
    found = {path for pattern in PATTERNS for path in SOURCE.glob(pattern)}
    return sorted(path for path in found if path.name != "__init__.py")


def drawn(
    mutants: Sequence[Mutant],
    number: int,
    seed: int,
    is_sound: Callable[[Mutant], bool] = lambda mutant: True,
) -> list[Mutant]:
    """Draw ``number`` sound mutants, as many of each module as its share of all places.

    One mutant of a place at most, since a plus sign can be changed in many ways. Places and ways are
    ordered by a digest of what stands there: the draw does not depend on the order of the mutants, and
    a change of a function moves only the draw within its module.
    """
    ways: dict[str, dict[str, list[Mutant]]] = {}
    for mutant in mutants:
        ways.setdefault(mutant.module, {}).setdefault(mutant.place, []).append(mutant)
    shares = shared({module: len(places) for module, places in ways.items()}, number)

    def sound(places: dict[str, list[Mutant]]) -> Iterator[Mutant]:
        for place in sorted(places, key=lambda one: digest(seed, one)):
            for mutant in sorted(places[place], key=lambda one: digest(seed, one.name)):
                if is_sound(mutant):
                    yield mutant
                    break

    return [
        mutant for module in sorted(ways) for mutant in islice(sound(ways[module]), shares[module])
    ]


def shared(places: Mapping[str, int], number: int) -> dict[str, int]:
    """Whole shares of a number, by largest remainder; never more than there are places."""
    total = sum(places.values())
    number = min(number, total)
    exact = {module: number * here / total for module, here in places.items()}
    shares = {module: int(share) for module, share in exact.items()}
    by_rest = sorted(exact, key=lambda module: (shares[module] - exact[module], module))
    for module in by_rest[: number - sum(shares.values())]:
        shares[module] += 1
    return shares


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Every mutant of a module that can be drawn."""
    from cosmic_ray.ast import ast_nodes, get_ast  # only a run needs it, no test of the suite
    from cosmic_ray.plugins import get_operator, operator_names

    read = Reading(path)
    nodes = list(ast_nodes(get_ast(path.read_text(encoding="utf-8"))))
    for name in sorted(operator_names()):
        operator = get_operator(name)
        if name == "core/NoOp" or REFUSED.fullmatch(name) or tuple(operator.arguments()):
            continue  # changes nothing, or wants to be told what to change
        spans = (span for node in nodes for span in operator().mutation_positions(node))
        ways: Counter[object] = Counter()
        for occurrence, span in enumerate(spans):
            if not read.is_left_out(name, span[0]):
                yield read.mutant(name, occurrence, span, ways[span])
                ways[span] += 1


def mutated(mutant: Mutant) -> str:
    """Return the source of its module with the change."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    source = (SOURCE / mutant.module).read_text(encoding="utf-8")
    changed = mutate_code(source, get_operator(mutant.operator)(), mutant.occurrence)
    assert isinstance(changed, str)
    return changed


def is_python(mutant: Mutant) -> bool:
    """Say whether the change leaves something that can be compiled."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            compile(mutated(mutant), mutant.module, "exec", dont_inherit=True)
        except SyntaxError:
            return False
    return True


class Reading:
    """What stands where in a module."""

    def __init__(self, path: Path) -> None:
        self.module = path.relative_to(SOURCE).as_posix()
        text = path.read_text(encoding="utf-8")
        self.lines, self.tree = text.splitlines(), ast.parse(text)
        self.functions: list[tuple[int, int, str]] = []
        self.statements: dict[int, tuple[int, int]] = {}
        self.annotations: list[Span] = []
        self.between = [
            (span_of(node.left)[1], span_of(node.right)[0])
            for node in ast.walk(self.tree)
            if isinstance(node, ast.BinOp)
        ]
        self._walk(self.tree, "")
        self._seen: dict[str, dict[tuple[int, int], int]] = {}

    def _walk(self, node: ast.AST, inside: str) -> None:
        for child in ast.iter_child_nodes(node):
            name = inside
            if isinstance(child, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
                name = f"{inside}.{child.name}".lstrip(".")
                if not isinstance(child, ast.ClassDef):
                    self.functions.append((*lines_of(child), name))
            if isinstance(child, ast.stmt):
                first, last = own_lines(child)
                self.statements.update(dict.fromkeys(range(first, last + 1), (first, last)))
            notes = [getattr(child, "returns", None), getattr(child, "annotation", None)]
            self.annotations += [span_of(note) for note in notes if note is not None]
            self._walk(child, name)

    def is_left_out(self, operator: str, start: tuple[int, int]) -> bool:
        """Say whether a change there could not matter."""
        if any(first <= start < last for first, last in self.annotations):
            return True
        if self.lines[start[0] - 1][: start[1]].endswith(UNSEEN):
            return True
        if "BinaryOperator" in operator and not self._is_between_two(start):
            return True  # a star before arguments, or between those by place and those by name
        decorator = self.lines[start[0] - 1].strip().removeprefix("@").split("(")[0]
        return operator.endswith("RemoveDecorator") and decorator.split(".")[-1] in REMEMBERS

    def _is_between_two(self, start: tuple[int, int]) -> bool:
        """Whether an operator stands between two operands."""
        return any(left <= start < right for left, right in self.between)

    def mutant(self, operator: str, occurrence: int, span: Span, way: int) -> Mutant:
        """Name a change and its place."""
        start, end = span
        function, source = self.function_at(start[0]), self.lines[start[0] - 1].strip()
        size = (end[0] - start[0], end[1] - start[1])
        equal = self._seen.setdefault(f"{function}|{source}|{size}", {})
        nth = equal.setdefault(start, len(equal))
        at = (self.module, operator, occurrence, *start, (end[0], end[1]))
        return Mutant(*at, function, source, nth, way)

    def function_at(self, line: int) -> str:
        """Qualified name of the innermost function at a line; "" at the top of the module."""
        around = [one for one in self.functions if one[0] <= line <= one[1]]
        return max(around)[2] if around else ""

    def statement_at(self, line: int) -> range:
        """Lines of the statement that a line belongs to, without the statements inside it."""
        first, last = self.statements.get(line, (line, line))
        return range(first, last + 1)


def lines_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> tuple[int, int]:
    """First and last line of the body of a function: what stands above runs when it is defined."""
    return function.body[0].lineno, function.end_lineno or function.lineno


def own_lines(statement: ast.stmt) -> tuple[int, int]:
    """Lines of a statement itself: of a loop, a branch or a function only its head."""
    inner = [
        part.lineno
        for field in ("body", "orelse", "finalbody", "handlers", "cases")
        for part in getattr(statement, field, ())
        if isinstance(part, (ast.stmt, ast.ExceptHandler))
    ]
    last = min(inner) - 1 if inner else statement.end_lineno or statement.lineno
    return statement.lineno, max(statement.lineno, last)


def span_of(node: ast.expr) -> Span:
    """Where an expression begins and ends."""
    end = (node.end_lineno or node.lineno, node.end_col_offset or node.col_offset)
    return (node.lineno, node.col_offset), end

"""Every class a user gets says what each of its fields means, and of each number its unit."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import re
import typing
from collections.abc import Iterator
from datetime import date
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from pydantic import BaseModel

import foldspan
from foldspan.pages import document

# a count says by its words what is counted
UNIT = re.compile(r"\[[^\]]+\]|^(Expected n|N)umber of |^How many ")
SECTION = re.compile(r"(?:Attributes|Parameters)\n-{5,}\n(.*)", re.DOTALL)
NUMBERS = (int, float)


def plain(hint: Any) -> Iterator[Any]:
    """Every type that a hint names, also inside others."""
    inner = typing.get_args(hint)
    if not inner and inspect.isclass(hint):
        yield hint
    for part in inner:
        yield from (
            [x for each in part for x in plain(each)] if isinstance(part, list) else plain(part)
        )


@cache
def names_of(module: str) -> dict[str, Any]:
    """What a hint of this module may name, also where it is imported for type checking only."""
    found: dict[str, Any] = dict(vars(inspect.importlib.import_module(module)))  # type: ignore[attr-defined]
    for node in ast.walk(ast.parse(Path(found["__file__"]).read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            home = inspect.importlib.import_module(node.module)  # type: ignore[attr-defined]
            found |= {
                name.asname or name.name: getattr(home, name.name)
                for name in node.names
                if hasattr(home, name.name)
            }
        if isinstance(node, ast.Import):
            found |= {
                name.asname: inspect.importlib.import_module(name.name)  # type: ignore[attr-defined]
                for name in node.names
                if name.asname
            }
    return found


def hints_of(thing: Any) -> dict[str, Any]:
    return typing.get_type_hints(thing, names_of(thing.__module__))


def has_fields(known: type) -> bool:
    return dataclasses.is_dataclass(known) or issubclass(known, BaseModel)


def fields_of(known: type) -> dict[str, Any]:
    """Public fields with their types."""
    hints = hints_of(known)
    own = (
        known.model_fields
        if issubclass(known, BaseModel)
        else [field.name for field in dataclasses.fields(known)]  # type: ignore[arg-type]
    )
    return {name: hints[name] for name in own if not name.startswith("_")}


def reached(known: type) -> Iterator[Any]:
    """Types of the fields and properties of a class, and of what its methods return."""
    if has_fields(known):
        yield from fields_of(known).values()
    for name, member in vars(known).items():
        if name.startswith("_"):
            continue
        if isinstance(member, cached_property):
            member = member.func
        if isinstance(member, property):
            member = member.fget
        if isinstance(member, (classmethod, staticmethod)):
            member = member.__func__
        if inspect.isfunction(member):
            yield hints_of(member).get("return")


@cache
def public_classes() -> tuple[type, ...]:
    """Classes of the public name space, what public functions return, and what these lead to."""
    waiting: list[Any] = [getattr(foldspan, name) for name in foldspan.__all__]
    waiting = [
        hints_of(item).get("return") if inspect.isfunction(item) else item for item in waiting
    ]
    found: dict[type, None] = {}
    while waiting:
        for known in plain(waiting.pop()):
            if known.__module__.startswith("foldspan.") and known not in found:
                found[known] = None
                waiting += reached(known)
    return tuple(known for known in found if has_fields(known))


def descriptions(known: type) -> dict[str, str]:
    """Field → what is said of it: in the text below it, or in a section of the class."""
    source = ast.parse(Path(inspect.getfile(known)).read_text(encoding="utf-8"))
    (node,) = (
        statement
        for statement in source.body
        if isinstance(statement, ast.ClassDef) and statement.name == known.__name__
    )
    return described(node)


def described(node: ast.ClassDef) -> dict[str, str]:
    found: dict[str, str] = {}
    section = SECTION.search(ast.get_docstring(node) or "")
    if section:
        parts = re.split(r"^(\w+(?:, \w+)*) : .*\n", section.group(1), flags=re.MULTILINE)
        for names, text in zip(parts[1::2], parts[2::2], strict=True):
            found |= dict.fromkeys(names.split(", "), text.strip())
    for line, below in zip(node.body, node.body[1:], strict=False):
        if (
            isinstance(line, ast.AnnAssign)
            and isinstance(line.target, ast.Name)
            and isinstance(below, ast.Expr)
            and isinstance(below.value, ast.Constant)
        ):
            found[line.target.id] = str(below.value.value)
    return found


def wanting(fields: dict[str, Any], described: dict[str, str]) -> list[str]:
    """Fields without a description, and numbers without a unit."""
    bare = [name for name in fields if len(described.get(name, "")) < 5]
    return bare + [
        f"{name}: no unit"
        for name, hint in fields.items()
        if name not in bare
        and any(type_ in NUMBERS for type_ in plain(hint))
        and not UNIT.search(described[name])
    ]


def test_every_field_has_its_meaning_and_unit() -> None:
    found = {
        class_.__name__: wanting(fields_of(class_), descriptions(class_))
        for class_ in public_classes()
    }
    assert {name: fields for name, fields in found.items() if fields} == {}


def test_the_walk_reaches_what_users_get() -> None:
    names = {known.__name__ for known in public_classes()}
    assert names >= {
        "Result", "Spread", "EquationResult", "MethodResult", "Misfit", "Health", "SpokenBand",
        "SpokenFlag", "Visit", "Client", "Site", "Intake", "HowTaken", "OutsideResult", "Sheet",
        "Accepted", "OwnError", "Screening", "Share", "Referred", "Report", "Material", "Explanation",
        "Pair", "Reason", "Suspect", "ChangeResult", "Change", "Difference", "Trend", "Problem",
        "PrecisionResult", "SitePrecision", "Precision", "Digits", "Calibration", "Judgement",
        "LearntCorrection", "LocalCorrection", "BookVisit", "Correction", "Equation",
    }  # fmt: skip
    assert {arg.__name__ for arg in typing.get_args(document.Part)} <= names
    assert date not in public_classes()


@dataclasses.dataclass
class Planted:
    """One field of each kind of fault.

    Attributes
    ----------
    in_section, there_too : float
        In the section [kg].
    """

    in_section: float
    there_too: int
    bare: str
    unit_left_out: tuple[float, ...] | None
    """Its meaning, and no more."""
    sound: float
    """Its meaning [cm]."""
    is_mark: bool
    """A mark needs no unit."""


def test_each_kind_of_fault_is_found() -> None:
    assert wanting(fields_of(Planted), descriptions(Planted)) == [
        "bare",
        "unit_left_out: no unit",
    ]

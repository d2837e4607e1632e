"""The page docs/json.md: what each key of the JSON holds, made from the examples and the field docs.

``python -m foldspan.cli.doc_pages.json_page docs/json.md``. Every command is run on the examples beside
the page; each key that turns up is looked up in ``json_shapes`` and ``json_parts``, and one that nobody
has explained stops the work.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
import textwrap
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import foldspan
from foldspan.api.cards.tree import tree
from foldspan.api.cards.value import equation_value
from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.cli.doc_pages.json_parts import SHAPES
from foldspan.cli.doc_pages.json_shapes import Shape
from foldspan.external.consistency import Sheet, check_sheet
from foldspan.files.output import renew_page
from foldspan.results.explanation import sheet_tree
from foldspan.visit.model import Visit

OPENING = """\
# JSON

Made by `python -m foldspan.cli.doc_pages.json_page docs/json.md`; do not edit.

`--json` prints one JSON object on standard output and nothing else; messages go to standard error.
Numbers are in the units of this page whatever `--units` says. `null` means that there is no value.
Input that could not be read is never included, and clients appear only by their code.

| command | prints |
|---|---|
{commands}

The [value of one equation](#value) is in the API only ([browser](browser.md#for-programs)).
`measure --json` prints the same as `reconcile --json`. In Python, `to_dict()` of each result
returns the same tree ([Python](python.md)). `records export` writes [visit files](visit-file.md)
with every event of the session; `report -o page.fhir.json` is FHIR, explained under
[pages](pages.md#fhir).

`schema_version` is 2. New keys may be added under the same version; if one is renamed or removed,
the version goes up, and the [changelog](CHANGELOG.md) lists it.
"""
COMMANDS = {
    "reconcile": "foldspan reconcile VISIT --json",
    "explain": "foldspan explain VISIT --json",
    "sheet": "foldspan explain --sheet --fat-percent 27 --fat-mass 21.6 --weight 80 --json",
    "change": "foldspan change EARLIER LATER --json",
    "precision": "foldspan precision TABLE --json",
    "calibrate": "foldspan calibrate TABLE --json",
    "screen": "foldspan screen TABLE -o OUT --json",
    "equations": "foldspan equations --json",
    "report": "foldspan report VISIT -o page.json",
}
BY_CODE = ("", "by key: ", "by two keys: ", "by three keys: ")
Tree = dict[str, Any]


def page(examples: Path) -> str:
    """Return the whole page as Markdown.

    Raises
    ------
    KeyError
        If a key turns up that neither a field nor ``json_shapes`` explains, or one that is never met.
    """
    found: dict[str, dict[str, Any]] = {}
    for name, given in trees(examples):
        _gather(name, given, found)
    commands = "\n".join(
        f"| `{command}` | [{_first_lower(SHAPES[name].title)}](#{name}) |"
        for name, command in COMMANDS.items()
    )
    parts = [OPENING.format(commands=commands)]
    for name in SHAPES:
        if name not in found:
            raise KeyError(f"no example has the shape {name}")
        parts.append(_section(name, found[name]))
    return "\n".join(parts)


def trees(examples: Path) -> Iterator[tuple[str, Tree]]:
    """Yield a command's name and a tree that it prints, often enough that every key turns up."""
    import numpy as np
    import pandas as pd

    def visit(name: str) -> Visit:
        return Visit.from_file(str(examples / f"{name}.toml"))

    first, later = visit("visit"), visit("visit_later")
    tall = {"mass_height": {"weight_kg": 80.0, "height_cm": 178.0}}
    open_sex = Visit.from_dict(tall | {"client": {"sex": "both", "age_years": 40}})
    young = Visit.from_dict(tall | {"client": {"sex": "male", "age_years": 16}})
    last = later.to_dict()
    last["visit"]["date"] = "2026-08-19"
    slip = first.to_dict()
    slip["skinfolds_mm"]["triceps"] = [12.0, 12.0]  # digits of 21 exchanged
    people = pd.DataFrame({
        "sex": "male", "age_years": 40, "weight_kg": np.linspace(65, 95, 40), "height_cm": 178.0,
        "reference_fat_percent": np.linspace(13, 33, 40), "reference_method": "dxa",
    })  # fmt: skip
    learnt = foldspan.learn_correction(people).correction
    yield "reconcile", foldspan.reconcile(first, reference_method="dxa", local=learnt).to_dict()
    for client in (first, visit("told_at_intake"), open_sex, young):
        yield "reconcile", foldspan.reconcile(client).to_dict()
    for client in (visit("outside_results"), visit("disagreement"), young, Visit.from_dict(slip)):
        yield "explain", foldspan.explain(client).to_dict()
    yield "sheet", sheet_tree(check_sheet(Sheet(27.0, 21.6, 57.4, 80.0)))
    yield "change", foldspan.change(first, later).to_dict()
    yield "change", foldspan.change(first, later, Visit.from_dict(last)).to_dict()
    yield "precision", foldspan.precision(str(examples / "repeats.csv")).to_dict()
    yield "calibrate", foldspan.calibrate(people).to_dict()
    yield "screen", _screened(examples)
    for card in (EQUATIONS[0], CONVERSIONS[0]):
        yield "equations", tree(card)
    card = equation_by_key("durnin_womersley1974_female_4site")
    older = Visit.from_dict({**first.to_dict(), "client": {"sex": "female", "age_years": 70}})
    for client in (older, young):
        yield "value", equation_value(card, client).to_dict()
    for reader in ("client", "trainer", "clinician"):
        yield "report", foldspan.report(first, later, reader=reader).to_dict()


def _screened(examples: Path) -> Tree:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        table, before = (str(examples / f"clinic_day{end}.csv") for end in ("", "_before"))
        return foldspan.screen_table(table, f"{folder}/screened.csv", before=before).to_dict()


def _gather(name: str, given: Tree, found: dict[str, dict[str, Any]]) -> None:
    """Note every key of a shape with a value that it had, those of the shapes inside it too."""
    keys = found.setdefault(name, {})
    for key, value in given.items():
        if keys.get(key) in (None, [], {}):
            keys[key] = value
        shape, depth = SHAPES[name].holds.get(key, ("", 0))
        for inner in _inside(value, depth) if shape else ():
            if isinstance(inner, Mapping):
                _gather(shape, dict(inner), found)


def _inside(value: Any, depth: int) -> Iterator[Any]:
    """The mappings below so many mappings by a code; those of a list each."""
    if isinstance(value, list):
        yield from value
    elif isinstance(value, Mapping) and depth:
        for inner in value.values():
            yield from _inside(inner, depth - 1)
    else:
        yield value


def _section(name: str, keys: dict[str, Any]) -> str:
    shape = SHAPES[name]
    known = _documented(shape)
    unknown = [key for key in keys if key not in known]
    if unknown:
        raise KeyError(f"{name}: nobody says what these keys hold: {', '.join(unknown)}")
    rows = [
        f"| `{key}` | {_kind(key, value, shape)} | {known[key]} |" for key, value in keys.items()
    ]
    head = f'<a id="{name}"></a>\n\n## {shape.title}\n\n'
    command = f"`{COMMANDS[name]}`\n\n" if name in COMMANDS else ""
    return f"{head}{command}| key | type | meaning |\n|---|---|---|\n" + "\n".join(rows) + "\n"


def _documented(shape: Shape) -> dict[str, str]:
    """Return key → what it holds; words of our own before those of a field, the first class first."""
    known: dict[str, str] = {}
    for class_ in reversed(shape.classes):
        known |= _fields(class_)
    return {key: _plain(words) for key, words in (known | dict(shape.own)).items()}


def _fields(class_: type) -> dict[str, str]:
    """Return field or property → its documentation, from below the field or from the class's list."""
    known: dict[str, str] = {}
    listed = re.findall(
        r"^(\w+(?:, \w+)*) : .*\n((?: {4}.*\n?)+)", inspect.getdoc(class_) or "", re.M
    )
    for names, words in listed:
        known |= dict.fromkeys(names.split(", "), words)
    (body,) = ast.parse(textwrap.dedent(inspect.getsource(class_))).body
    assert isinstance(body, ast.ClassDef)
    for line, below in zip(body.body, body.body[1:], strict=False):
        if isinstance(line, ast.AnnAssign) and isinstance(below, ast.Expr):
            assert isinstance(line.target, ast.Name)
            known[line.target.id] = str(ast.literal_eval(below.value))
    for name, member in vars(class_).items():
        if isinstance(member, property):
            known[name] = (inspect.getdoc(member) or "").split("\n\n")[0]
    return known


def _plain(words: str) -> str:
    """Return documentation as a cell: one line, JSON's own names, no stroke that parts cells."""
    words = re.sub(r"``(.*?)``", r"`\1`", " ".join(words.split()))
    words = re.sub(r"\bNone\b", "null", words).replace("|", "\\|")
    words = re.sub(r"(?<=\d) %", "%", words)
    words = re.sub(r"\bdocs/([a-z-]+)\.md", r"[\1](\1.md)", words)
    return words if words.endswith((".", "`")) else f"{words}."


def _kind(key: str, value: Any, shape: Shape) -> str:
    """Return what a value is: a number, a text, …, or the shape inside it with a link."""
    inner, depth = shape.holds.get(key, ("", 0))
    if inner:
        link = f"[{_first_lower(SHAPES[inner].title)}](#{inner})"
        return f"list of: {link}" if isinstance(value, list) else BY_CODE[depth] + link
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "text"
    if isinstance(value, int | float):
        return "number"
    if isinstance(value, list):
        first = next(iter(value), "")
        number, lists = isinstance(first, int | float), isinstance(first, list)
        return f"list of {'lists' if lists else 'numbers' if number else 'texts'}"
    return "null or a value" if value is None else "by key"


def _first_lower(title: str) -> str:
    return title[0].lower() + title[1:]


if __name__ == "__main__":
    renew_page(sys.argv[1], page(Path(sys.argv[1]).resolve().parents[1] / "examples"))

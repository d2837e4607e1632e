"""The page docs/json.md, and the JSON Schemas beside it: what each key of the JSON holds.

``python -m foldspan.cli.doc_pages.json_page docs/json.md`` writes the page, and with ``docs/schemas``
the schemas. Keys and kinds come from ``foldspan.api.schemas``, words from the documentation of the
fields and from ``json_shapes``; a key that nobody has explained stops the work.
"""

from __future__ import annotations

import ast
import inspect
import json
import re
import sys
import textwrap
from pathlib import Path

from foldspan.api.schemas.notation import in_words
from foldspan.api.schemas.published import RESULTS, SHAPES, whole
from foldspan.cli.doc_pages.json_parts import WORDS
from foldspan.cli.doc_pages.json_shapes import Words
from foldspan.files.output import renew_page

OPENING = """\
# JSON

Made by `python -m foldspan.cli.doc_pages.json_page docs/json.md`; do not edit.

`--json` prints one JSON object on standard output and nothing else; messages go to standard error.
Numbers are in the units of this page whatever `--units` says. `null` means that there is no value.
Input that could not be read is never included, and clients appear only by their code.

| command | prints | JSON Schema |
|---|---|---|
{commands}

The [value of one equation](#value) is in the API only ([browser](browser.md#for-programs)), and
[what it means for health](#health) alone in Python only. `equations` prints a list, or one object
if a key is given. What holds for every output of a command is stated in its JSON Schema (draft
2020-12); which keys may be added later is stated under [versions](versions.md).

`measure --json` prints the same as `reconcile --json`. In Python, `to_dict()` of each result
returns the same tree ([Python](python.md)). `records export` writes [visit files](visit-file.md)
with every event of the session; `report -o page.fhir.json` is FHIR, explained under
[pages](pages.md#fhir).

`schema_version` is 2. New keys may be added under the same version; if one is renamed or removed,
the version goes up, and the [changelog](CHANGELOG.md) lists it ([versions](versions.md)).
"""
COMMANDS = {
    "reconcile": "foldspan reconcile VISIT --json",
    "explain": "foldspan explain VISIT --json",
    "sheet": "foldspan explain --sheet --fat-percent 27 --fat-mass 21.6 --weight 80 --json",
    "change": "foldspan change EARLIER LATER --json",
    "precision": "foldspan precision TABLE --json",
    "calibrate": "foldspan calibrate TABLE --json",
    "screen": "foldspan screen TABLE -o OUT --json",
    "group": "foldspan screen TABLE -o OUT --group-summary group.json",
    "equations": "foldspan equations --json",
    "conversion": "foldspan equations --conversions --json",
    "clients": "foldspan records list --json",
    "client": "foldspan records show CODE --json",
    "report": "foldspan report VISIT -o page.json",
}


def page() -> str:
    """Return the whole page as Markdown.

    Raises
    ------
    KeyError
        If a key has no words, or words have no key.
    """
    commands = "\n".join(
        f"| `{command}` | [{_first_lower(WORDS[name].title)}](#{name})"
        f" | [{name}](schemas/{name}.json) |"
        for name, command in COMMANDS.items()
    )
    return "\n".join([OPENING.format(commands=commands), *(_section(name) for name in SHAPES)])


def schemas() -> dict[str, str]:
    """Return the file name of each published schema and its text."""
    titles = {name: words.title for name, words in WORDS.items()}
    words = {name: {key: _unlinked(said) for key, said in keys_of(name).items()} for name in SHAPES}
    return {
        f"{name}.json": json.dumps(whole(name, titles, words), indent=2, ensure_ascii=False) + "\n"
        for name in RESULTS
    }


def keys_of(name: str) -> dict[str, str]:
    """Return key → what it holds, for every key of a shape.

    Raises
    ------
    KeyError
        If a key has no words, or words of our own have no key.
    """
    known = _documented(WORDS[name])
    keys = [key.rstrip("?") for key in SHAPES[name]]
    unknown = [key for key in keys if key not in known]
    unused = set(WORDS[name].own) - set(keys)
    if unknown or unused:
        raise KeyError(f"{name}: without words: {unknown}; without a key: {sorted(unused)}")
    return {key: known[key] for key in keys}


def _section(name: str) -> str:
    words = keys_of(name)
    rows = [
        f"| `{key.rstrip('?')}` | {in_words(held, _link)} | {words[key.rstrip('?')]} |"
        for key, held in SHAPES[name].items()
    ]
    head = f'<a id="{name}"></a>\n\n## {WORDS[name].title}\n\n'
    command = f"`{COMMANDS[name]}`" if name in COMMANDS else ""
    if name in RESULTS:
        command += f"{' · ' if command else ''}[JSON Schema](schemas/{name}.json)\n\n"
    return f"{head}{command}| key | type | meaning |\n|---|---|---|\n" + "\n".join(rows) + "\n"


def _link(name: str) -> str:
    return f"[{_first_lower(WORDS[name].title)}](#{name})"


def _documented(shape: Words) -> dict[str, str]:
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


def _unlinked(words: str) -> str:
    """Return a cell as it reads outside the page."""
    return re.sub(r"\[(.*?)\]\((.*?)\)", r"docs/\2", words).replace("\\|", "|")


def _first_lower(title: str) -> str:
    return title[0].lower() + title[1:]


def main(place: str) -> None:
    """Write the page, or the schemas into their folder."""
    if place.endswith(".md"):
        renew_page(place, page())
        return
    for name, text in schemas().items():
        renew_page(str(Path(place, name)), text)


if __name__ == "__main__":
    main(sys.argv[1])

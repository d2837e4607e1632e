"""The style of sentences: what docs/style.md keeps out stands in no sentence of the program."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
STYLE = (ROOT / "docs" / "style.md").read_text(encoding="utf-8")
FORBIDDEN = re.findall(r"```text\n(.*?)```", STYLE, re.DOTALL)[0].split("\n")[:-1]
# rooms whose strings people read; other languages keep their own style
ROOMS = (
    "text", "cli", "pages", "screening", "session", "visit", "export", "protocol", "browser", "files",
    "tables", "measuring", "measurement", "intake", "practice", "records", "api", "explanation",
    "validation", "figures",
)  # fmt: skip


def helps(tree: ast.AST) -> Iterator[ast.expr]:
    """Docstrings of commands, which --help prints."""
    for node in ast.walk(tree):
        is_command = isinstance(node, ast.FunctionDef) and any(
            "command" in ast.unparse(decorator) for decorator in node.decorator_list
        )
        if is_command and isinstance(first := node.body[0], ast.Expr):
            yield first.value


def sentences(rooms: tuple[str, ...] = ROOMS) -> Iterator[tuple[str, str]]:
    """Every string of these rooms that is no docstring, with where it stands."""
    for room in rooms:
        for path in sorted((ROOT / "src" / "foldspan" / room).rglob("*.py")):
            # older names of sites are still read, and shown nowhere
            if (
                path.name == "site_names.py"
                or {"de", "es", "fr"} & set(path.parts)
                or "doc_pages" in path.parts
            ):
                continue
            tree = ast.parse(path.read_text(encoding="utf-8"))
            docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
            docs -= {id(text) for text in helps(tree)}
            for node in ast.walk(tree):
                is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
                if is_text and id(node) not in docs:
                    yield f"{path.name}:{node.lineno}", node.value


def test_what_the_style_forbids_stands_in_no_sentence() -> None:
    assert len(FORBIDDEN) > 40
    found = [
        (where, phrase)
        for where, text in sentences()
        for phrase in FORBIDDEN
        if phrase in text.lower()
    ]
    assert found == []


def browser_lines() -> Iterator[tuple[str, str]]:
    """Every line of a browser page that somebody may read: its text and labels, and the script's."""
    folder = ROOT / "src" / "foldspan" / "browser"
    for path in sorted([*folder.rglob("*.html"), *folder.rglob("*.js")]):
        text = re.sub(r"{#.*?#}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        for number, line in enumerate(text.splitlines(), 1):
            yield f"{path.name}:{number}", line.partition("// ")[0]


def test_what_the_style_forbids_stands_on_no_browser_page() -> None:
    lines = list(browser_lines())
    assert sum("<label" in line for _, line in lines) > 20  # pages were found
    found = [
        (where, phrase) for where, text in lines for phrase in FORBIDDEN if phrase in text.lower()
    ]
    assert found == []


def test_percent_signs_stand_without_a_blank() -> None:
    spaced = re.compile(r"\d %")
    assert [where for where, text in sentences() if spaced.search(text)] == []


def test_what_the_style_forbids_stands_on_no_page() -> None:
    """Prose and tables of the pages; the changelog quotes words of old, codes are no prose."""
    pages = {*(ROOT / "docs").glob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"}
    found = []
    for page in sorted(pages - {ROOT / "docs" / "style.md", ROOT / "docs" / "CHANGELOG.md"}):
        prose = re.sub(r"```.*?```|`[^`]*`", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
        text = " ".join(prose.lower().split())
        found += [
            (page.name, phrase)
            for phrase in FORBIDDEN
            if re.search(rf"\b{re.escape(phrase)}", text)
        ]
    assert found == []


def test_a_blank_stands_behind_every_comma_colon_and_semicolon() -> None:
    joined = re.compile(r"[a-zA-Z0-9)][,;:][a-z]{5,}")
    found = [
        (where, text)
        for where, text in sentences((*ROOMS, "catalogue", "standards"))
        if " " in text and joined.search(text)
    ]
    assert found == []


def test_the_page_shows_five_pairs() -> None:
    rows = [line for line in STYLE.splitlines() if line.startswith("| ")]
    assert len(rows) == 6  # the head and five

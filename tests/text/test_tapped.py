"""A page says what to press or enter, where a terminal says what to type."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from pathlib import Path

import pytest

from foldspan.session.checks import IF_RIGHT
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.text.measure import CHANGES, NEITHER, SITE_CARE_SENTENCE, UNSTEADY
from foldspan.text.tapped import tapped

PACKAGE = Path(__file__).parents[2] / "src" / "foldspan"
SESSION = PACKAGE / "session"
# whose problems come to a page beside those of a session
RECORDS = (
    *(PACKAGE / "records").glob("*.py"), *(PACKAGE / "practice").glob("*.py"),
    *(PACKAGE / "measuring").glob("*.py"), *(PACKAGE / "browser" / "views").glob("*.py"),
    PACKAGE / "validation" / "correction_file.py",
)  # fmt: skip
# a command with its options; how the pages themselves are started may be told
COMMAND = re.compile(
    r"foldspan (measure|records|reconcile|explain|change|precision|report|screen|calibrate|equations)"
    r"|(?<!\w)--[a-z]"
)
# what only a terminal can mean: a command, a letter, a key
TERMINAL = re.compile(
    r"\b[Tt]ype:? (back|undo|where|later|help|cannot|note|withdraw|it again|y\b|n\b|words|only|one)"
    r"|Press Enter|or Enter|, or help|answer y\b|, or none\.|, none,"
)


def remedies(paths: Iterable[Path] = SESSION.glob("*.py")) -> list[str]:
    """Every sentence of a session that tells what to type; what is filled in is left as a name."""
    found = [IF_RIGHT, *CHANGES.values(), NEITHER, SITE_CARE_SENTENCE, UNSTEADY]
    for path in sorted(paths):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        passed = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        strings = [node for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)]
        passed |= {id(part) for string in strings for part in string.values}
        for node in ast.walk(tree):
            if id(node) in passed:
                continue
            if isinstance(node, ast.JoinedStr):
                text = "".join(
                    str(part.value) if isinstance(part, ast.Constant) else "NAME"
                    for part in node.values
                )
                found.append(
                    text.replace("NAME", IF_RIGHT) if "IF_RIGHT" in ast.unparse(node) else text
                )
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.append(node.value)
    return [text for text in found if re.match(r"[A-Z].*\w", text) and "\n" not in text]


def test_a_page_tells_nobody_what_to_type_at_a_terminal() -> None:
    before = [text for text in remedies() if TERMINAL.search(text)]
    assert len(before) > 15  # the sentences were found
    # said at a terminal only: the page has no blind round to switch, its consents are a list
    spared = ("Type blind on", "Type withdraw")
    left = [tapped(text) for text in before if not text.startswith(spared)]
    assert [text for text in left if TERMINAL.search(text)] == []


def test_no_page_tells_anybody_to_type_a_command() -> None:
    """Before, a book that could not be opened, say, was told to be given by an option of a command."""
    before = [text for text in remedies(RECORDS) if COMMAND.search(text) and "  " not in text]
    assert len(before) > 8, before
    assert [text for text in before if COMMAND.search(tapped(text))] == []
    templates = (PACKAGE / "browser" / "templates").rglob("*.html")
    advising = {
        f"{path.name}: {found}"
        for path in templates
        for found in (
            match.group()
            for match in COMMAND.finditer(
                re.sub(r"<[^>]*>|\{[^}]*\}", " ", path.read_text("utf-8"))
            )
        )
    }
    assert advising == {
        "pair.html: --t",
        "devices.html: --t",
    }  # how foldspan is started for tablets


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        (
            "Check it; if the mark is wrong, type back thigh and mark it again. " + IF_RIGHT,
            "Check it; if the mark is wrong, go back to thigh (under More) and mark it again.",
        ),
        ("Type the number in mm, or later, cannot or undo; help shows more.", "Enter the number in mm."),
        ("Wipe the skin dry, then type undo and answer y; or continue with girths only.",
         "Wipe the skin dry, then press Undo and answer yes; or continue with girths only."),
        ("A sentence of any other kind stays.", "A sentence of any other kind stays."),
    ],
)  # fmt: skip
def test_words_fit_the_face(typed: str, shown: str) -> None:
    assert tapped(typed) == shown


def test_a_session_names_no_option_of_a_command() -> None:
    """What a file would be given to accept an unusual value is typed again here."""
    state = State().after("begun", {"repeat_rule": "2mm", "day": "2026-03-04"})
    answers = {"code": "K-061", "sex": "female", "age_years": 41.0, "consent.store": True}
    for key, value in answers.items():
        state = state.after("answer", {"key": key, "value": value})
    while state.prompt.kind != "reading":
        said = {"plan": "quick", "words": "none", "those": "none", "permit": "y", "yes_no": "n"}
        line = said.get(state.prompt.kind, "")
        parsed = parse_line(state, line)
        assert parsed.moves is not None, (state.prompt.key, parsed.problem)
        state = state.after(parsed.moves.kind, parsed.moves.body())
    problem = parse_line(state, "380").problem
    assert problem is not None
    assert problem.code == "E103"
    assert IF_RIGHT in problem.advice()
    assert "--" not in problem.advice()

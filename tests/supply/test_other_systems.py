"""Rules that hold on every system: encodings are stated, newlines too, and texts know no separators."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest
from house_rooms import PACKAGE, syntax_of

TEXT_CALLS = {"open", "fdopen", "read_text", "write_text", "TextIOWrapper", "NamedTemporaryFile",
              "TemporaryFile"}  # fmt: skip
# functions of foldspan's own, and others that are no files in spite of their names
NO_FILE = {"Book.open", "os.open", "archive.open", "gzip.open"}
WRITES = re.compile("[wax+]")
ANY_CALL = re.compile(rf"({'|'.join(sorted(TEXT_CALLS))})\(")


def mode_of(call: ast.Call, name: str) -> str:
    """The mode of a call that opens a file; "r" where none is stated, "rb" where it is no constant."""
    is_method = isinstance(call.func, ast.Attribute) and name == "open"
    place = 0 if is_method or name in ("NamedTemporaryFile", "TemporaryFile") else 1
    stated = [word.value for word in call.keywords if word.arg == "mode"] + call.args[place:][:1]
    if not stated:
        return "w+b" if "Temporary" in name else "r"
    return str(stated[0].value) if isinstance(stated[0], ast.Constant) else "rb"


def faults_in(tree: ast.AST) -> Iterator[str]:
    """Every call that leaves the encoding, or the newlines of what it writes, to the system."""
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
        name = getattr(call.func, "id", getattr(call.func, "attr", ""))
        if name not in TEXT_CALLS or ast.unparse(call.func) in NO_FILE:
            continue
        words = {word.arg for word in call.keywords}
        line = f"{call.lineno}: {ast.unparse(call)}"
        if name in ("read_text", "write_text"):
            mode, is_encoded = name[0], "encoding" in words or len(call.args) > (name[0] == "w")
            # foldspan.files.input.read_text reads UTF-8 and takes a path
            is_encoded |= name == "read_text" and isinstance(call.func, ast.Name)
        elif name == "TextIOWrapper":
            mode, is_encoded = "w", "encoding" in words or len(call.args) > 1
        else:
            mode, is_encoded = mode_of(call, name), "encoding" in words
        if "b" in mode:
            continue
        if not is_encoded:
            yield f"{line}: no encoding"
        if WRITES.search(mode) and "newline" not in words:
            yield f"{line}: no newline"


def test_encodings_and_newlines_are_stated() -> None:
    faults = [
        f"{path.relative_to(PACKAGE)}:{fault}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if ANY_CALL.search(path.read_text(encoding="utf-8"))
        for fault in faults_in(syntax_of(path))
    ]
    assert faults == []


FAULTY = [
    ("open(place)", 1),
    ("open(place, encoding='utf-8')", 0),
    ("open(place, 'w', encoding='utf-8')", 1),
    ("open(place, 'w', encoding='utf-8', newline='')", 0),
    ("open(place, mode='a')", 2),
    ("open(place, 'rb')", 0),
    ("place.open('rb')", 0),
    ("place.open('w')", 2),
    ("place.open()", 1),
    ("place.read_text()", 1),
    ("place.read_text('utf-8')", 0),
    ("place.write_text(words)", 2),
    ("place.write_text(words, encoding='utf-8', newline='\\n')", 0),
    ("os.fdopen(handle, 'w')", 2),
    ("io.TextIOWrapper(raw, 'utf-8', newline='')", 0),
    ("io.TextIOWrapper(raw)", 2),
    ("tempfile.TemporaryFile()", 0),
    ("tempfile.NamedTemporaryFile('w')", 2),
]


@pytest.mark.parametrize(("line", "faults"), FAULTY)
def test_a_call_that_leaves_it_to_the_system_is_found(line: str, faults: int) -> None:
    assert len(list(faults_in(ast.parse(line)))) == faults


def test_programs_that_are_started_are_read_as_bytes_or_in_an_encoding() -> None:
    faults = []
    for path in PACKAGE.rglob("*.py"):
        if "subprocess" not in path.read_text(encoding="utf-8"):
            continue
        for call in (node for node in ast.walk(syntax_of(path)) if isinstance(node, ast.Call)):
            words = {word.arg for word in call.keywords}
            if words & {"text", "universal_newlines"} and words & {"stdout", "capture_output"}:
                faults += [f"{path.name}:{call.lineno}"] * ("encoding" not in words)
    assert faults == []


BY_HAND = re.compile(
    r"""\b\w*(path|folder|place|file)\w*\.r?(split|partition)\(["'][/\\]|\bos\.(sep|linesep|altsep)\b"""
)


def test_no_path_is_taken_apart_by_one_separator() -> None:
    """Names of files go through ``os.path`` and ``pathlib``, which know those of every system."""
    assert BY_HAND.search('path.rsplit("/")')
    assert BY_HAND.search("folder + os.sep")
    faults = [
        str(path.relative_to(PACKAGE))
        for path in PACKAGE.rglob("*.py")
        if BY_HAND.search(path.read_text(encoding="utf-8"))
    ]
    assert faults == []

"""Input: read a text file or standard input, with a clear problem for whatever can go wrong."""

from __future__ import annotations

import json
import re
import sys
import tomllib
from codecs import BOM_UTF8
from pathlib import Path
from typing import Any

from foldspan.problems import WRITE_A_DAY, FoldspanError, Problem

# a visit has a few kilobytes; a parser must not be led to use up the memory
LARGEST = 200_000
ENDINGS = {".toml": "toml", ".json": "json"}


def _stop(code: str, where: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem(code, where, what, remedy)])


def read_text(path: str, largest: int | None = LARGEST) -> str:
    """Return the UTF-8 text of a file, or of standard input for ``-``; ``largest`` in bytes.

    Raises
    ------
    FoldspanError
        E301 not found, E302 not a file, E303 unreadable, E304 not UTF-8, E306 empty.
    """
    where = "standard input" if path == "-" else path
    try:
        raw = _standard_input() if path == "-" else Path(path).read_bytes()
    except FileNotFoundError:
        raise _stop("E301", where, "there is no such file", "Check the name and folder.") from None
    except (IsADirectoryError, NotADirectoryError):
        raise _stop("E302", where, "not a file", "Give the file itself, not its folder.") from None
    except (OSError, ValueError):
        raise _stop("E303", where, "cannot be read", "Check its permissions.") from None
    if largest is not None and len(raw) > largest:
        what = f"larger than {largest // 1000} kB, too large for a visit file"
        raise _stop("E303", where, what, "Give a visit file; for a table use foldspan screen.")
    if not raw.removeprefix(BOM_UTF8).strip():
        raise _stop("E306", where, "empty", "Start from examples/visit.toml.")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"not UTF-8 text (first at line {line})"
        raise _stop("E304", where, what, "Save it as UTF-8 and try again.") from None


def _standard_input() -> bytes:
    """Everything on standard input; nothing where the caller closed it."""
    return b"" if sys.stdin is None else sys.stdin.buffer.read()


def is_file(path: str | Path) -> bool:
    """Return whether there is such a file; a path that no disk can have is none."""
    try:
        return Path(path).is_file()
    except (OSError, ValueError):
        return False  # reading it will say what is wrong


def read_tree(path: str) -> dict[str, Any]:
    """Return the tree of a TOML or JSON file; the ending decides, standard input is looked at.

    Raises
    ------
    FoldspanError
        As ``read_text``, and E305 syntax with its line, E307 ending, E121 not a table.
    """
    kind = ENDINGS.get(Path(path).suffix.lower(), "") if path != "-" else ""
    if path != "-" and not kind and is_file(path):
        raise _stop("E307", path, "unknown file extension", "Use .toml or .json.")
    text = read_text(path)
    kind = kind or ("json" if text.lstrip().startswith("{") else "toml")
    return parse_tree(text, kind, "standard input" if path == "-" else path)


def parse_tree(text: str, kind: str, where: str) -> dict[str, Any]:
    """Parse TOML or JSON text; see ``read_tree`` for errors."""
    remedy = "Correct that line: text needs quotes, lists need square brackets and commas."
    try:
        tree = tomllib.loads(text) if kind == "toml" else json.loads(text, object_pairs_hook=_once)
    except _GivenTwice:
        raise _stop("E122", where, "a name is given twice in one section", "Keep one.") from None
    except tomllib.TOMLDecodeError as error:
        remedy = _toml_remedy(text, str(error)) or remedy
        raise _stop("E305", where, f"not valid TOML: {_first_line(error)}", remedy) from None
    except json.JSONDecodeError as error:
        what = f"not valid JSON: {error.msg} (at line {error.lineno}, column {error.colno})"
        raise _stop("E305", where, what, remedy) from None
    except ValueError:  # a number of thousands of digits
        raise _stop("E305", where, "a number is too long", remedy) from None
    except RecursionError:
        raise _stop(
            "E305",
            where,
            "nested too deeply",
            ("A visit file has sections only, with no deeper levels."),
        ) from None
    if not isinstance(tree, dict):
        raise _stop("E121", where, "not a table of sections", "Start from examples/visit.toml.")
    return tree


def _toml_remedy(text: str, words: str) -> str:
    """What to do about the line a TOML parser stopped at, or "" for the general advice."""
    found = re.search(r"at line (\d+)", words)
    lines = text.splitlines()
    line = lines[int(found.group(1)) - 1] if found and int(found.group(1)) <= len(lines) else ""
    bare = line.split("#")[0].strip()
    if "overwrite" in words or "twice" in words or "mutate" in words:
        return "That name or section is given twice: keep one."
    if re.search(r"=\s*[-+]?\d+,\d", bare):
        return "Write the number with a point, as in 82.4."
    if re.search(r"=\s*\d{4}-\d", bare):
        return f"No such date, or it is written in another form. {WRITE_A_DAY}"
    if re.search(r"=\s*\d{1,2}[/.]\d{1,2}[/.]\d{2,4}", bare):
        return WRITE_A_DAY
    if re.match(r"[A-Za-z_]+\s*:", bare):
        return "Write = between the name and the value."
    if bare.count('"') % 2 == 1:
        return "Text needs a quotation mark at both ends."
    if text.count("[") > text.count("]"):
        return "A list or a section name above is not closed: add the square bracket."
    return ""


class _GivenTwice(Exception):
    """A JSON object with one name twice; the standard reader would keep the last in silence."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    tree = dict(pairs)
    if len(tree) < len(pairs):
        raise _GivenTwice
    return tree


def _first_line(error: Exception) -> str:
    """The parser's own words, without the text it choked on."""
    words = str(error).splitlines()[0]
    return words if "(at " in words else "see the end of the file"

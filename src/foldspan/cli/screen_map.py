"""What ``--map``, ``--unit`` and ``--map-file`` say of a table's columns and words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldspan.files.input import parse_tree, read_text
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.columns import Wanted

SECTIONS = {"columns": "--map", "units": "--unit"}


def mapping_of(names: Sequence[str], units: Sequence[str], path: str, sheet: str = "") -> Wanted:
    """Return what the caller says of columns; what is typed wins over what a file says.

    Raises
    ------
    FoldspanError
        E501 for a pair without ``=`` or one thing given two meanings; as ``read_text``, E305 and
        E121 for the file.
    """
    names_given, words = _from_file(path) if path else ({name: {} for name in SECTIONS}, {})
    return Wanted(
        names_given["columns"] | _pairs("--map", names, "THEIR=OURS"),
        names_given["units"] | _pairs("--unit", units, "COLUMN=UNIT"),
        words,
        sheet,
    )


def _pairs(option: str, given: Sequence[str], shape: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for pair in given:
        left, mark, right = pair.rpartition("=")
        if not (mark and left.strip() and right.strip()):
            problem = Problem(
                "E501", option, "not in the form THEIRS=OURS", f"Write {option} {shape}.", pair
            )
            raise FoldspanError([problem])
        name, meant = left.strip(), right.strip()
        if found.setdefault(name, meant) != meant:
            what, remedy = "given twice, with different values", "Keep the one that is right."
            raise FoldspanError([Problem("E501", f"{option} {name}", what, remedy)])
    return found


def _from_file(path: str) -> tuple[dict[str, dict[str, str]], dict[str, Any]]:
    tree = parse_tree(read_text(path), "toml", path)
    found: dict[str, dict[str, str]] = {name: {} for name in SECTIONS}
    words = tree.pop("words", {})
    if not isinstance(words, dict):
        remedy = 'Write [words] with lines "their word" = "our_word".'
        raise FoldspanError([Problem("E121", f"{path}: words", "not a section", remedy)])
    for name, section in tree.items():
        if name not in SECTIONS or not isinstance(section, dict):
            remedy = 'Write [columns] with lines "their name" = "our_name", [units] and [words].'
            raise FoldspanError([Problem("E121", f"{path}: [{name}]", "not expected", remedy)])
        found[name] = {str(key): _text(path, name, key, value) for key, value in section.items()}
    return found, words


def _text(path: str, section: str, key: str, value: Any) -> str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    remedy = f'Write "{key}" = "…".'
    raise FoldspanError([Problem("E121", f"{path}: [{section}] {key}", "not a text", remedy)])

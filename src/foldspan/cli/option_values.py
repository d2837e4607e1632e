"""Values of options: as many words as an option takes, and numbers where it takes a number."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from foldspan.problems import FoldspanError, Problem


def check_values(params: Sequence[Any], words: Sequence[str]) -> None:
    """Raise E501 for every option with too few words after it, or no number where it needs one.

    ``params`` are the options of a command, ``words`` what was typed after it.
    """
    by_name = {name: param for param in params for name in param.opts}
    found: list[Problem] = []
    for place, word in enumerate(words):
        if word == "--":
            break
        name, mark, joined = word.partition("=")
        param = by_name.get(name)
        if param is None or getattr(param, "is_flag", False):
            continue
        rest = [joined, *words[place + 1 :]] if mark else list(words[place + 1 :])
        given = rest[: param.nargs]
        if param.nargs > 1:
            found += _too_few(name, given, param.nargs, by_name)
        elif given and _takes_a_number(param) and not _is_number(given[0], type(param.default)):
            kind = "whole number" if isinstance(param.default, int) else "number"
            example = "2" if isinstance(param.default, int) else "0.5"
            remedy = f"Write a {kind}, such as {name} {example}."
            found.append(Problem("E501", name, f"not a {kind}", remedy, given[0]))
    if found:
        raise FoldspanError(found)


def _too_few(
    name: str, given: Sequence[str], wanted: int, by_name: Mapping[str, Any]
) -> list[Problem]:
    end = next((place for place, word in enumerate(given) if word in by_name), len(given))
    said = [part for word in given[:end] for part in word.split(",") if part]
    if end >= wanted and not any("," in word for word in given):
        return []
    what = f"needs {wanted} values"
    if len(said) == wanted:
        remedy = f"Put a space between them, not a comma: {name} {' '.join(said)}."
    else:
        remedy = f"Write {name} FIRST SECOND, separated by a space."
    return [Problem("E501", name, what, remedy)]


def _takes_a_number(param: Any) -> bool:
    return isinstance(param.default, int | float) and not isinstance(param.default, bool)


def _is_number(text: str, kind: type) -> bool:
    try:
        kind(text)
    except ValueError:
        return False
    return True

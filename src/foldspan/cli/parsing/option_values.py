"""Values of options: as many words as an option takes, and numbers where it takes a number."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import Any, NamedTuple

from foldspan.problems import FoldspanError, Problem


class GivenOption(NamedTuple):
    """One option among the words of a command, by the name it was given by."""

    name: str
    param: Any
    words: list[str]
    """What stands after it, as many words as it takes if there are so many; of a flag yes or no."""


def given_options(params: Sequence[Any], words: Sequence[str]) -> list[GivenOption]:
    """Return every option of a command among the ``words`` typed after it, in their order."""
    by_name = {name: param for param in params for name in (*param.opts, *param.secondary_opts)}
    found: list[GivenOption] = []
    rest = deque(words)
    while rest and rest[0] != "--":
        name, mark, joined = _parted(rest.popleft())
        param = by_name.get(name)
        if param is None:
            continue
        said = [joined] if mark or joined else []
        if is_flag(param):
            said = ["yes" if name in param.opts else "no"]
        # a value is taken whatever it looks like; where several are wanted, an option is none of them
        while rest and len(said) < param.nargs:
            if param.nargs > 1 and (rest[0] == "--" or _parted(rest[0])[0] in by_name):
                break
            said.append(rest.popleft())
        found.append(GivenOption(name, param, said))
    return found


def _parted(word: str) -> tuple[str, str, str]:
    """Return the option in a word, the mark between and what is joined to it; "" where none is."""
    if not word.startswith("-"):
        return "", "", ""
    return word.partition("=") if word.startswith("--") else (word[:2], "", word[2:])


def is_flag(param: Any) -> bool:
    """Whether an option stands alone, without a value."""
    return bool(getattr(param, "is_flag", False))


def check_values(given: Sequence[GivenOption]) -> None:
    """Raise E501 for every option with too few words after it, or no number where it needs one."""
    found: list[Problem] = []
    for name, param, words in given:
        if is_flag(param):
            continue
        if param.nargs > 1:
            found += _too_few(name, words, param.nargs)
        elif words and _takes_a_number(param) and not _is_number(words[0], type(param.default)):
            kind = "whole number" if isinstance(param.default, int) else "number"
            example = "2" if isinstance(param.default, int) else "0.5"
            remedy = f"Write a {kind}, such as {name} {example}."
            found.append(Problem("E501", name, f"not a {kind}", remedy, words[0]))
    if found:
        raise FoldspanError(found)


def _too_few(name: str, given: Sequence[str], wanted: int) -> list[Problem]:
    said = [part for word in given for part in word.split(",") if part]
    if len(given) >= wanted and not any("," in word for word in given):
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

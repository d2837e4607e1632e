"""Options given once: the same option with two values is refused; the last would win in silence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from typer.core import TyperCommand

from foldspan.cli.option_values import check_values
from foldspan.problems import FoldspanError, Problem

# what options were called before schema version 2: scripts that say so still run
EARLIER_NAMES = {"--scale": "--reference-method", "--family": "--method"}


class OnceCommand(TyperCommand):
    """A command whose options of one value are given once, and with what they take.

    Raises
    ------
    FoldspanError
        E501 for an option with two values, one said and unsaid, one with nothing or too little in it,
        or with no number where it takes one.
    """

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Look at the words before they are taken apart."""
        args = [_by_its_name(word) for word in args]
        check_given_once(self.params, args)
        check_values(self.params, args)
        return super().parse_args(ctx, args)


def _by_its_name(word: str) -> str:
    """Return a word with the option in it, if any, by the name that it has now."""
    name, mark, value = word.partition("=")
    return EARLIER_NAMES.get(name, name) + mark + value


def check_given_once(params: Sequence[Any], words: Sequence[str]) -> None:
    """Raise E501 where words give an option twice with different values, or with nothing in it."""
    by_name = {name: param for param in params for name in (*param.opts, *param.secondary_opts)}
    seen: dict[str, tuple[str, str]] = {}
    found: list[Problem] = []
    for name, value in _options(by_name, words):
        param = by_name[name]
        if param.multiple:
            continue
        if value == "":
            remedy = "Add a value, or leave the option out."
            found.append(Problem("E501", name, "is empty", remedy))
        before, earlier = seen.setdefault(param.name, (name, value))
        if earlier != value:
            both = name if name == before else f"{before} and {name}"
            what = "given twice, with different values"
            if param.is_flag:
                what = "contradict each other"
            found.append(Problem("E501", both, what, "Give one of them."))
    if found:
        raise FoldspanError(found)


def _options(by_name: dict[str, Any], words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Yield every option among words with its value; of a flag, whether it is said or unsaid."""
    rest = iter(words)
    for word in rest:
        if word == "--":
            return
        name, mark, value = (
            word.partition("=") if word.startswith("--") else (word[:2], "", word[2:])
        )
        param = by_name.get(name)
        if param is None or not word.startswith("-"):
            continue
        if getattr(param, "is_flag", False):
            yield name, "yes" if name in param.opts else "no"
        elif mark or value:
            yield name, value
        elif (following := next(rest, None)) is not None:
            yield name, following

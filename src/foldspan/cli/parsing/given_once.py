"""Options given once: the same option with two values is refused; the last would win in silence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from typer.core import TyperCommand

from foldspan.cli.parsing.option_values import GivenOption, check_values, given_options, is_flag
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
        if not ctx.resilient_parsing:  # half a line, which the shell asks to complete
            given = given_options(self.params, args)
            check_given_once(given)
            check_values(given)
        return super().parse_args(ctx, args)


def _by_its_name(word: str) -> str:
    """Return a word with the option in it, if any, by the name that it has now."""
    name, mark, value = word.partition("=")
    return EARLIER_NAMES.get(name, name) + mark + value


def check_given_once(given: Sequence[GivenOption]) -> None:
    """Raise E501 where an option is given twice with different values, or with nothing in it."""
    seen: dict[str, tuple[str, str]] = {}
    found: list[Problem] = []
    for name, param, words in given:
        if param.multiple or not words:
            continue
        value = " ".join(words)
        if value == "":
            remedy = "Add a value, or leave the option out."
            found.append(Problem("E501", name, "is empty", remedy))
        before, earlier = seen.setdefault(param.name, (name, value))
        if earlier != value:
            both = name if name == before else f"{before} and {name}"
            what = "given twice, with different values"
            if is_flag(param):
                what = "contradict each other"
            found.append(Problem("E501", both, what, "Give one of them."))
    if found:
        raise FoldspanError(found)

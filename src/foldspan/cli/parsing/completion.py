"""Completion: what the shell proposes when the Tab key is pressed.

Commands, options and the words that an option takes; never the codes of clients, which a screen that
somebody else can see would show.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Proposal:
    """A word that may come next, in the form in which the library of commands hands it to the shell."""

    value: str
    type: str = "plain"
    help: str | None = None


HELP = {
    "--install-completion": "Let the Tab key complete commands and options in this shell.",
    "--show-completion": "Print what makes the shell do so, to keep it yourself.",
}


def completed(commands: Any) -> Any:
    """Return a group of commands that completes the words of its options, with help in our words."""
    for param in commands.params:
        param.help = HELP.get(param.opts[0], param.help)
    for command in _all(commands):
        for param in command.params:
            words = _words_of(param)
            if words:
                param._custom_shell_complete = _proposing(words)
    return commands


def _all(group: Any) -> Iterator[Any]:
    """Yield every command of a group, and of groups in it."""
    for command in group.commands.values():
        yield command
        if hasattr(command, "commands"):
            yield from _all(command)


def _words_of(param: Any) -> tuple[str, ...]:
    """Return the words that an option takes, as its help lists them: ``density|dxa``."""
    words = tuple((param.metavar or "").split("|"))
    return tuple(word for word in words if word.islower() or word.isdigit()) if words[1:] else ()


def _proposing(words: tuple[str, ...]) -> Callable[[Any, Any, str], list[Proposal]]:
    def propose(ctx: Any, param: Any, incomplete: str) -> list[Proposal]:
        return [Proposal(word) for word in words if word.startswith(incomplete)]

    return propose

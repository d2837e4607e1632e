"""Options that take one of a few words, and the exit code that all commands share."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.problems import FoldspanError, Problem

# ended by the keyboard, as shells count it
EXIT_INTERRUPTED = 130


def one_of(option: str, given: str, words: Sequence[str]) -> str:
    """Return ``given`` if it is one of ``words``.

    Raises
    ------
    FoldspanError
        E501 with the words.
    """
    if given not in words:
        remedy = f"Use {', '.join(words[:-1])} or {words[-1]}."
        raise FoldspanError([Problem("E501", option, "unknown value", remedy, given)])
    return given

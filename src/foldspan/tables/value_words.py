"""Value words: what the caller says that the words of a table mean."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.intake.rules import LISTS, MARKS
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import ANCESTRIES, SEXES
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.standards.intake_vocabulary import ALL_WORDS, OWN_LINES
from foldspan.tables.columns import WORD_COLUMNS

# a word that says nothing: an empty cell, or a no
NOTHING = "none"
_TRUTHS = ("pregnant", "weeks_pregnant", "athlete", "loss_wanted", *MARKS, *WORD_COLUMNS)
_KNOWN: dict[str, frozenset[str]] = {
    "sex": frozenset({*SEXES, "both"}),
    "ancestry": frozenset(ANCESTRIES),
    "family_background": frozenset(BACKGROUNDS),
    **dict.fromkeys(_TRUTHS, frozenset({"yes", "no", "true", "false"})),
    **{name: frozenset({*ALL_WORDS, *OWN_LINES}) for name in LISTS},
}
WordMeanings = dict[str, dict[str, str]]


def meanings(words: Mapping[str, Any]) -> WordMeanings:
    """Return column → typed word → what it means, from what the caller says.

    Parameters
    ----------
    words : mapping
        Typed word → word here, for every column that knows the word; or the name of a column → such a
        mapping for it alone. ``none`` is known everywhere.

    Raises
    ------
    FoldspanError
        E501 for a word that no column knows, E121 for another shape; all at once.
    """
    found: WordMeanings = {}
    problems: list[Problem] = []
    flat = {key: word for key, word in words.items() if not isinstance(word, Mapping)}
    for column, some in (("", flat), *((k, v) for k, v in words.items() if isinstance(v, Mapping))):
        if column and column not in _KNOWN:
            remedy = "Give a column of words, such as [words.sex] or [words.conditions]."
            problems.append(Problem("E501", f"words {column}", "not a column of words", remedy))
            continue
        for typed, meant in some.items():
            homes = _homes(column, meant)
            if isinstance(homes, Problem):
                problems.append(homes)
                continue
            for home in homes:
                found.setdefault(home, {})[str(typed).strip().lower()] = _word(meant)
    if problems:
        raise FoldspanError(problems)
    return found


def _word(meant: Any) -> str:
    word = str(meant).strip().lower()
    return "" if word == NOTHING else word.replace(" ", "_").replace("-", "_")


def _homes(column: str, meant: Any) -> list[str] | Problem:
    """The columns that know a word, or what is wrong with it."""
    where = f"words {column}".strip()
    if isinstance(meant, bool):
        meant = "yes" if meant else "no"
    if not isinstance(meant, str):
        return Problem("E121", where, "not a text", 'Write "their word" = "our_word".')
    columns = [column] if column else list(_KNOWN)
    word = _word(meant)
    homes = [name for name in columns if not word or word in _KNOWN[name]]
    if homes:
        return homes
    known = f"Known in {column}: {', '.join(sorted(_KNOWN[column]))}." if column else ""
    remedy = (
        known
        or "Use female or male, yes or no, a word of the intake (docs/health-tables.md), or none."
    )
    return Problem("E501", where, f"{word} is not a known word", remedy)

"""Intake words: cells of lists and of yes or no as words of the intake.

What is understood counts, in whatever list it stands; a no is no yes; what is not understood is marked,
and where it may mean a refusal it costs the row its range (``refusals.GATES``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake.rules import LISTS
from foldspan.intake.word_search import names_an_old_word, says_nothing, words_in
from foldspan.standards.answer_words import NO_MATTER
from foldspan.tables.columns import WORD_COLUMNS
from foldspan.tables.rows import Rows

# no cell of words is longer; what is longer is not looked through
LONGEST_CELL = 2000
_NO_MATTER = frozenset(NO_MATTER)
_NO = frozenset(
    ("no", "not", "denies", "without", "kein", "keine", "keinen", "ohne", "aucun", "sans")
)  # fmt: skip


@dataclass(frozen=True, slots=True, repr=False)
class Understood:
    """What one cell says: words of the intake, whether there is more in it, and any word of old."""

    words: frozenset[str] = frozenset()
    has_more: bool = False
    has_old: bool = False


@lru_cache(maxsize=4096)
def understood(text: str, known: frozenset[str]) -> Understood:
    """Return what a text says of some words of the intake.

    Parameters
    ----------
    text : str
        In lower case: words with semicolons, commas, bars or line breaks between them, or a sentence.
    known : frozenset of str
        The words of the list in which it stands; those of other lists are understood as well.
    """
    if len(text) > LONGEST_CELL:
        return Understood(has_more=True)
    words: set[str] = set()
    has_more = has_old = False
    for part in re.split(r"[;|\n]", text):
        # what says nothing here is taken out first: hay fever is no fever
        pieces = map(str.strip, part.replace("/", ",").split(","))
        content = ",".join(kept for kept in pieces if kept and not _says_nothing_here(kept))
        if not content:
            continue
        read = words_in(content, known)
        words |= {*read.words, *read.elsewhere}
        has_old |= names_an_old_word(content, known)
        has_more |= any(piece.lower().strip(" .") not in _NO_MATTER for piece in read.rest)
    return Understood(frozenset(words), has_more, has_old)


def _says_nothing_here(text: str) -> bool:
    if text in _NO_MATTER or says_nothing(text):
        return True
    read = words_in(text)
    return _denies_more(text) and not (read.words or read.elsewhere or read.denied)


def _denies_more(text: str) -> bool:
    """Whether a text says no to one thing that is no word here, as "no dizziness": nothing follows."""
    words = text.split()
    return 1 < len(words) <= 3 and words[0] in _NO and words[-1] not in ("idea", "sure", "answer")


def self_reported_words(rows: Rows) -> dict[str, Array]:
    """Return which rows tell each word of the intake, in a list or in a column of its own."""
    found: dict[str, Array] = {}
    for name, known in LISTS.items():
        if rows.has(name):
            _read_list(rows, name, frozenset(known), found)
    for word in WORD_COLUMNS:
        if rows.has(word):
            yes, in_doubt = rows.truths(word)
            answered_no = ~yes & ~in_doubt & ~rows.words(word).are("")
            if word in found:
                rows.mark(found[word] & answered_no, "E125", word)
            _add(found, word, yes)
    return found


def _read_list(rows: Rows, name: str, known: frozenset[str], found: dict[str, Array]) -> None:
    """Read one column of words, each different cell once."""
    cells = rows.words(name)
    read = [_cell(cell, name, known, rows.cells.rules.word_meanings) for cell in cells.different]
    more = np.array([cell.has_more for cell in read])
    rows.mark(more[cells.places], "E113", name)
    old = np.array([cell.has_old for cell in read])
    rows.mark(old[cells.places], "W128", name)
    for word in sorted(frozenset[str]().union(*(cell.words for cell in read))):
        holds = np.array([word in cell.words for cell in read])
        _add(found, word, holds[cells.places])


def _cell(
    cell: str, name: str, known: frozenset[str], words_of: Mapping[str, Mapping[str, str]]
) -> Understood:
    """What a cell says, its parts taken for what the caller says that they mean."""
    if meanings := words_of.get(name):
        parts = (piece.strip() for piece in re.split(r"[;,|\n]", cell))
        cell = ";".join(meanings.get(part, part) for part in parts)
    return understood(cell, known)


def _add(found: dict[str, Array], word: str, here: Array) -> None:
    found[word] = found[word] | here if word in found else here

"""Findings: what was found about every row, kept as patterns so that nothing loops over rows.

Rows with the same findings share one pattern; a row holds the number of its pattern only. A table of
ten million rows has a few hundred patterns, and each is turned into words once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from typing import Generic, NamedTuple, TypeVar

import numpy as np

from foldspan.catalogue.card import Array


class Mark(NamedTuple):
    """One problem of one row: its code, the column it concerns and the unit a value looks like.

    A tuple, because marks are looked up by the thousand and tuples are found the fastest.
    """

    code: str
    name: str = ""
    looks_like: str = ""

    @property
    def short(self) -> str:
        """Code and column, as they stand in the column ``problems``."""
        return f"{self.code} {self.name}".strip()


Found = TypeVar("Found")


class RowMarks(Generic[Found]):
    """The findings of N rows, in the order in which they were added.

    ``places`` (N,) holds the number of each row's pattern, ``patterns`` the findings of each.
    """

    def __init__(self, length: int) -> None:
        self.places: Array = np.zeros(length, dtype=np.int32)
        self.patterns: list[tuple[Found, ...]] = [()]
        self._known: dict[tuple[Found, ...], int] = {(): 0}

    def add(self, rows: Array, found: Found) -> None:
        """Add a finding to rows, given as a mask or by their numbers."""
        hit = np.flatnonzero(rows) if rows.dtype == bool else rows
        self.add_each(hit, np.zeros(hit.size, dtype=np.int64), (found,))

    def add_each(self, rows: Array, places: Array, findings: Sequence[Found]) -> None:
        """Add to each of some rows, by their different numbers, one of several findings.

        ``places`` says which; patterns are numbered as if the findings were added one after the other.
        """
        if not rows.size:
            return
        several = len(self.patterns)
        pairs = places * several + self.places[rows]
        moved = np.zeros(len(findings) * several, dtype=np.int32)
        for pair in np.flatnonzero(np.bincount(pairs)).tolist():
            place, pattern = divmod(pair, several)
            moved[pair] = self._number((*self.patterns[pattern], findings[place]))
        self.places[rows] = moved[pairs]

    def _number(self, pattern: tuple[Found, ...]) -> int:
        if pattern not in self._known:
            self._known[pattern] = len(self.patterns)
            self.patterns.append(pattern)
        return self._known[pattern]

    def only(self, rows: Array, found: Found) -> None:
        """Make a finding the only one of rows, given as a mask."""
        if rows.any():
            self.places[rows] = self._number((found,))

    def put(self, rows: Array, places: Array, patterns: Sequence[tuple[Found, ...]]) -> None:
        """Give some different rows, by their numbers, each all of one pattern; ``places`` says which."""
        numbers = np.array([self._number(pattern) for pattern in patterns], dtype=np.int32)
        self.places[rows] = numbers[places]

    def rows_where(self, test: Callable[[Found], bool]) -> Array:
        """Return which rows hold a finding of a kind, bool (N,)."""
        # findings are few and the patterns they make are many
        found = {mark for mark in set(chain.from_iterable(self.patterns)) if test(mark)}
        holds = np.array([not found.isdisjoint(pattern) for pattern in self.patterns])
        return np.asarray(holds.take(self.places))

    def rows_by(self, keys: Callable[[Found], Iterable[str]]) -> dict[str, Array]:
        """Return, by every key of a finding, which rows hold one of that key, bool (N,)."""
        by_finding: dict[Found, tuple[str, ...]] = {}
        holding: dict[str, list[int]] = {}
        for number, pattern in enumerate(self.patterns):
            for found in pattern:
                if found not in by_finding:
                    by_finding[found] = tuple(keys(found))
                for key in by_finding[found]:
                    holding.setdefault(key, []).append(number)
        rows = {}
        for key, numbers in holding.items():
            holds = np.zeros(len(self.patterns), dtype=bool)
            holds[numbers] = True
            rows[key] = holds.take(self.places)
        return rows

    def subset(self, rows: Array) -> RowMarks[Found]:
        """Return the findings of some rows, given as a mask or by their numbers."""
        part: RowMarks[Found] = RowMarks(0)
        part.places, part.patterns, part._known = self.places[rows], self.patterns, self._known
        return part

    def counts(self) -> dict[tuple[Found, ...], int]:
        """Return how many rows hold each pattern."""
        number = np.bincount(self.places, minlength=len(self.patterns))
        return {pattern: int(n) for pattern, n in zip(self.patterns, number, strict=True) if n}

    def texts(self, words: Callable[[tuple[Found, ...]], str]) -> Array:
        """Return a text a row, object (N,), from the words of its pattern."""
        return np.asarray(
            np.array([words(pattern) for pattern in self.patterns], dtype=object)[self.places]
        )


def short_texts(marks: tuple[Mark, ...]) -> str:
    """Return problems as codes with their columns: ``E102 triceps_mm; E203``."""
    return "; ".join(mark.short for mark in marks)

"""Chosen columns: some rows of many columns, each column taken when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from foldspan.catalogue.card import Array


class ChosenColumns(Mapping[str, Array]):
    """Columns (N,) by name, cut to the rows of some people: few of many columns are ever read."""

    def __init__(self, columns: Mapping[str, Array], rows: Array) -> None:
        self._columns, self._rows = columns, rows
        self._taken: dict[str, Array] = {}

    def __getitem__(self, name: str) -> Array:
        if name not in self._taken:
            self._taken[name] = self._columns[name].take(self._rows)
        return self._taken[name]

    def __contains__(self, name: object) -> bool:
        return name in self._columns

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)

"""Given: the earlier table of a screening, as the caller names it."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from foldspan.tables.columns import Wanted


@dataclass(frozen=True, slots=True)
class EarlierTable:
    """An earlier table to compare with, such as that of the year before; read as ``screen_table`` reads.

    What is said of the columns of the new table holds for columns of the same name here, unless it is
    said otherwise.
    """

    path: str | os.PathLike[str]
    """The file, or a folder of ``.parquet`` parts."""
    names: Mapping[str, str] = field(default_factory=dict)
    """Column in the earlier table → name used here."""
    units: Mapping[str, str] = field(default_factory=dict)
    """Column in the earlier table → unit of its bare numbers."""
    words: Mapping[str, Any] = field(default_factory=dict)
    """Word in the earlier table → word used here."""
    sheet: str = ""
    """The sheet of a workbook, where there are several."""


def wanted_of(given: EarlierTable, names: Sequence[str], of_new: Wanted) -> Wanted:
    """Return what is said of the columns of an earlier table, by their names.

    ``of_new`` is what is said of those of the new table.
    """
    return Wanted(
        {**_of(names, of_new.names), **given.names},
        {**_of(names, of_new.units), **given.units},
        {**of_new.words, **given.words},
        given.sheet,
    )


def _of(names: Sequence[str], said: Mapping[str, str]) -> dict[str, str]:
    return {name: meant for name, meant in said.items() if name in names}


def as_earlier(given: str | os.PathLike[str] | EarlierTable | None) -> EarlierTable | None:
    """Return an earlier table however it is named; None for none."""
    if given is None or isinstance(given, EarlierTable):
        return given
    return EarlierTable(given) if os.fspath(given) else None

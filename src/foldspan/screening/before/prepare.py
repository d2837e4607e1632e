"""Prepare: both tables looked through before the work, so that every part knows whom it may compare.

The earlier table is read once, its records to a file. Of the new one only the codes are read: a
code that stands twice in it means nobody for sure, wherever its rows stand.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.estimation.settings import Settings
from foldspan.files.output import are_same
from foldspan.files.waiting import no_room, waiting_folder
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.before.codes import codes_in, keys_of, loosely
from foldspan.screening.before.earlier import (
    KEYS,
    ORDER,
    RECORDS,
    TWICE_NOW,
    Earlier,
    EarlierPlan,
    codes_of,
    forget,
    read_earlier,
    save,
)
from foldspan.screening.before.given import EarlierTable, wanted_of
from foldspan.screening.before.reading import (
    columns_of,
    lost_in,
    said_of_earlier,
    table_in_parts,
)
from foldspan.screening.before.summary import Matching
from foldspan.screening.notes import columns_read
from foldspan.screening.result_columns import names_of
from foldspan.screening.run.processes import in_order
from foldspan.screening.run.single import layout_for
from foldspan.tables.columns import Layout, Wanted, layout_of
from foldspan.tables.parquet import readable_parts
from foldspan.tables.paths import TablePaths, parts_of
from foldspan.tables.value_words import meanings

# so many rows are named where a code stands twice
NAMED = 5


@contextmanager
def prepared(
    given: EarlierTable, paths: TablePaths, wanted: Wanted, settings: Settings, *, workers: int
) -> Iterator[tuple[Earlier, Matching]]:
    """Lend the earlier table, ready to be compared with.

    Raises
    ------
    FoldspanError
        E501 for a new table on standard input, which can be read once only, or for the same table
        twice; E401 where one of them has no codes; and as for any table, by the name of the earlier one.
    """
    path = os.fspath(given.path)
    _check(path, given, paths, wanted)
    name = "standard input" if path == "-" else path
    with waiting_folder() as folder:
        now, loose_now = _codes_now(paths, wanted)
        with said_of_earlier(name):
            plan, before, loose = _read(given, wanted, settings, folder, workers)
        order = np.argsort(before, kind="stable")
        save(folder, KEYS, before[order])
        save(folder, ORDER, order)
        twice = _given_twice(now)
        save(folder, TWICE_NOW, twice)
        found = (
            Earlier(folder, plan.sites, _stamp(given, twice)),
            _matching(name, plan.layout, (now, loose_now), (before, loose)),
        )
        try:
            yield found
        finally:
            forget()


def _check(path: str, given: EarlierTable, paths: TablePaths, wanted: Wanted) -> None:
    if paths.source == "-":
        remedy = "Save the table as a file, and name that."
        what = "cannot be used with a table on standard input, which is read only once"
        raise FoldspanError([Problem("E501", "--before", what, remedy)])
    is_same_sheet = given.sheet.strip().casefold() == wanted.sheet.strip().casefold()
    if is_same_sheet and are_same(path, paths.source):
        remedy = "Name the earlier table; another sheet of the same workbook is --before-sheet."
        raise FoldspanError([Problem("E501", "--before", "is the same table", remedy)])


def _read(
    given: EarlierTable, of_new: Wanted, settings: Settings, folder: str, workers: int
) -> tuple[EarlierPlan, Array, Array]:
    """Read the earlier table into the folder; return how it was read, and both keys of every row."""
    path = os.fspath(given.path)
    firsts, looses = [np.zeros(0, dtype=np.uint64)], [np.zeros(0, dtype=np.uint64)]
    with table_in_parts(path, given.sheet) as table:
        wanted = wanted_of(given, table.names, of_new)
        plan = EarlierPlan(
            layout_of(table.names, wanted), settings, table.dialect, meanings(wanted.words)
        )
        if "code" not in plan.layout.columns:
            raise _no_codes(
                "The clients of both tables are matched by it: name it with --map THEIRS=code."
            )
        try:
            with open(os.path.join(folder, RECORDS), "wb") as out:
                for records, loose in in_order(partial(read_earlier, plan), table.parts, workers):
                    out.write(records.tobytes())
                    firsts.append(records["code"].copy())
                    looses.append(loose)
        except OSError:
            raise no_room() from None
    first = np.concatenate(firsts)
    if not first.size:
        raise FoldspanError([Problem("E306", path, "no rows", "Add one row per client.")])
    return plan, first, np.concatenate(looses)


def _no_codes(remedy: str) -> FoldspanError:
    return FoldspanError([Problem("E401", "column code", "missing", remedy)])


def _codes_now(paths: TablePaths, wanted: Wanted) -> tuple[Array, Array]:
    """Return both keys of every code of the new table, in the order of its rows."""
    keys = [
        np.stack([keys_of(codes).first, keys_of(loosely(codes)).first])
        for codes in _code_columns(paths, wanted)
    ]
    first, loose = np.concatenate([np.zeros((2, 0), dtype=np.uint64), *keys], axis=1)
    return first, loose


def _code_columns(paths: TablePaths, wanted: Wanted) -> Iterator[pa.Array]:
    remedy = "--before matches clients by their code: name the column with --map THEIRS=code."
    if paths.source_kind in ("parts", "parquet"):
        yield from _of_parquet(paths, wanted, remedy)
        return
    with table_in_parts(paths.source, wanted.sheet) as table:
        layout = layout_for(table.names, wanted, with_change=True)
        if "code" not in layout.columns:
            raise _no_codes(remedy)
        for part in table.parts:
            columns, block = columns_of(part, len(table.names), table.dialect)
            yield codes_of(layout, columns, lost_in(block, len(columns[0])))


def _of_parquet(paths: TablePaths, wanted: Wanted, remedy: str) -> Iterator[pa.Array]:
    """Only the codes are read; a part that has none, or cannot be read, is told when it is screened."""
    from foldspan.tables.parquet import ParquetSource

    is_single_file = paths.source_kind == "parquet"
    files = (
        iter([ParquetSource(paths.source)]) if is_single_file else readable_parts(paths.source, [])
    )
    name = ""
    for file in files:
        if not name:
            layout = layout_for(file.names, wanted, with_change=True)
            if "code" not in layout.columns:
                raise _no_codes(remedy)
            name = layout.columns["code"][0].given
        if name in file.names:
            for batch in file.batches([name]):
                yield codes_in(batch.column(0))
        file.close()


def _given_twice(keys: Array) -> Array:
    """Return the keys that are given more than once, rising."""
    different, times = np.unique(keys, return_counts=True)
    return np.asarray(different[(times > 1) & (different != 0)])


def _rows_of(keys: Array, wanted: Array) -> tuple[int, tuple[int, ...]]:
    """How many rows have one of some keys, and the numbers of the first of them, from 1."""
    rows = np.flatnonzero(np.isin(keys, wanted))
    return int(rows.size), tuple((rows[:NAMED] + 1).tolist())


def _matching(
    path: str, layout: Layout, now: tuple[Array, Array], before: tuple[Array, Array]
) -> Matching:
    (codes_now, loose_now), (codes, loose) = now, before
    only_now = ~np.isin(codes_now, codes) & (codes_now != 0)
    only_before = ~np.isin(codes, codes_now) & (codes != 0)
    twice_before, twice_before_rows = _rows_of(codes, _given_twice(codes))
    _, twice_now_rows = _rows_of(codes_now, _given_twice(codes_now))
    return Matching(
        table=path,
        rows=int(codes.size),
        only_before=int(np.unique(codes[only_before]).size),
        no_code_before=int(np.count_nonzero(codes == 0)),
        twice_before=twice_before,
        twice_before_rows=twice_before_rows,
        twice_now_rows=twice_now_rows,
        nearly=int(np.intersect1d(loose_now[only_now], loose[only_before]).size),
        read=columns_read(layout),
        # of a table that is a result itself, what was said of it then is no measurement
        unused=tuple(name for name in layout.unused if name not in names_of(with_change=True)),
    )


def _stamp(given: EarlierTable, twice: Array) -> str:
    """What another table, or another way to read it, would change."""
    path = Path(os.fspath(given.path))
    files = parts_of(str(path)) if path.is_dir() else [path]
    state = [
        (file.name, file.stat().st_size, file.stat().st_mtime_ns) for file in files if file.exists()
    ]
    how = (
        state,
        dict(given.names),
        dict(given.units),
        dict(given.words),
        given.sheet,
        twice.tolist(),
    )
    return hashlib.sha256(repr(how).encode()).hexdigest()

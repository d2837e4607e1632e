"""Single: one table from one place to another, in parts that pass through the workers in order."""

from __future__ import annotations

from codecs import BOM_UTF8
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING, Any, BinaryIO, Protocol

import pyarrow as pa

from foldspan.problems import FoldspanError, Problem
from foldspan.screening.batch import PartResult, Plan, work_on_columns, work_on_csv
from foldspan.screening.collect import SHOWN, ReferralList, Repeats
from foldspan.screening.counts import Tally
from foldspan.screening.letters import LetterFor
from foldspan.screening.result_columns import names_of, schema_of, taken_names
from foldspan.screening.run.processes import in_order
from foldspan.tables.columns import Layout, Wanted, layout_of
from foldspan.tables.csv.blocks import CsvSource
from foldspan.tables.csv.writer import header_line
from foldspan.tables.parquet import ParquetSink, TableSource, batches_of
from foldspan.tables.paths import TablePaths, opened, written

if TYPE_CHECKING:
    from foldspan.screening.workbook import ResultWorkbook

# rows done, and the share of the table that has been read, None where that cannot be known
Progress = Callable[[int, float | None], None]
# what a workbook gets beside its rows, once all of them are in it
Ended = Callable[["ResultWorkbook"], None]


class LetterWriter(Protocol):
    """Who writes the letters to clinicians."""

    folder: str
    written: int
    without_referral: int

    def for_a_part(self) -> LetterWriter:
        """Return a writer into the same folder that counts by itself."""

    def count(self, part: LetterWriter) -> None:
        """Add the counts of a part."""

    def write(self, letters: Sequence[LetterFor], base: int, part: str) -> None:
        """Write a letter for each row; rows are counted from ``base``."""


class Sink(Protocol):
    """Where worked parts go."""

    def write(self, worked: PartResult, given: tuple[pa.Array, ...]) -> None:
        """Write the rows of one part."""


@dataclass(slots=True)
class Gathered:
    """What comes of a table beside its rows."""

    referrals: ReferralList
    letters: LetterWriter | None = None
    part: str = ""
    unread: list[int] = field(default_factory=list)
    tally: Tally = field(default_factory=Tally)
    repeats: Repeats = field(default_factory=Repeats)
    most_problems: int = 0
    problem_rows: list[tuple[int, str, str]] = field(default_factory=list)

    def take(self, worked: PartResult) -> None:
        """Take in one part of the table, in the order of its rows."""
        base = self.tally.rows
        self.tally += worked.tally
        self.repeats.add(worked.hashes)
        self.unread += [base + row + 1 for row in worked.unread[: SHOWN - len(self.unread)]]
        room = self.most_problems - len(self.problem_rows)
        self.problem_rows += [
            (base + row + 1, code, text) for row, code, text in worked.problem_rows[:room]
        ]
        listed = worked.referrals
        self.referrals.add(listed, base, self.part, more=worked.referred - len(listed))
        if self.letters is not None:
            self.letters.write(worked.letters, base, self.part)

    def count_repeats(self) -> tuple[int, ...]:
        """Count the repeats; return the numbers of the first rows that repeat an earlier one."""
        count, rows = self.repeats.found()
        if count:
            self.tally.counters["repeats"]["rows"] = count
        return tuple(rows)

    def close(self) -> None:
        """Forget the lists."""
        self.repeats.close()
        self.referrals.close()


def layout_for(names: list[str], wanted: Wanted, *, with_change: bool = False) -> Layout:
    """Return what the columns mean; ``with_change`` where the result says what changed.

    Raises
    ------
    FoldspanError
        As ``layout_of``, and E403 where a column has a name that the result needs.
    """
    taken = taken_names(names, with_change=with_change)
    if taken:
        remedy = "The results add a column of this name: rename yours, or leave it out."
        raise FoldspanError(
            [
                Problem("E403", f"column {name}", "is the name of a result column", remedy)
                for name in taken
            ]
        )
    return layout_of(names, wanted)


class _CsvSink:
    def __init__(self, out: BinaryIO, plan: Plan) -> None:
        self._out = out
        delimiter, newline = plan.dialect.delimiter, plan.dialect.newline
        names = names_of(with_change=plan.earlier is not None)
        out.write(BOM_UTF8 if plan.dialect.has_mark else b"")
        out.write(header_line([*plan.layout.names, *names], delimiter, newline))

    def write(self, worked: PartResult, given: tuple[pa.Array, ...]) -> None:
        self._out.write(worked.lines)


class _ColumnSink:
    def __init__(self, sink: ParquetSink) -> None:
        self._sink = sink

    def write(self, worked: PartResult, given: tuple[pa.Array, ...]) -> None:
        assert worked.answer_columns is not None
        self._sink.write(worked.given or given, worked.answer_columns)


@contextmanager
def _sink(
    paths: TablePaths,
    plan: Plan,
    given: pa.Schema,
    *,
    replace: bool,
    ended: Ended | None = None,
    kept: Callable[[], dict[str, Any]] | None = None,
) -> Iterator[Sink]:
    """Open the result; it gets its name once everything is in it."""
    with_change = plan.earlier is not None
    with written(paths.out, replace=replace) as out:
        if plan.as_text:
            yield _CsvSink(out, plan)
            return
        if paths.out_kind == "sheet":
            from foldspan.screening.workbook import ResultWorkbook

            with ResultWorkbook(out, plan.layout, with_change=with_change) as book:
                yield book
                if ended is not None:
                    ended(book)
            return
        with ParquetSink(out, given, schema_of(with_change=with_change)) as sink:
            yield _ColumnSink(sink)
            sink.keep(None if kept is None else kept())


def run_csv(
    paths: TablePaths,
    plan_of: Callable[[Layout, CsvSource], Plan],
    wanted: Wanted,
    gathered: Gathered,
    *,
    workers: int,
    replace: bool,
    progress: Progress,
    ended: Ended | None = None,
) -> None:
    """Screen a CSV table."""
    with opened(paths.source) as (stream, raw):
        where = "standard input" if paths.source == "-" else paths.source
        source = CsvSource(stream, where)
        plan = plan_of(layout_for(source.names, wanted), source)
        blocks = source.blocks()
        first = next(blocks, None)
        if first is None:
            raise FoldspanError(
                [
                    Problem(
                        "E306", where, "no rows below the column names", "Add one row per client."
                    )
                ]
            )
        size, parts = paths.size, chain([first], blocks)
        given = pa.schema([(name, pa.string()) for name in source.names])
        with _sink(paths, plan, given, replace=replace, ended=ended) as sink:
            for worked in in_order(partial(work_on_csv, plan), parts, workers):
                sink.write(worked, ())
                gathered.take(worked)
                progress(gathered.tally.rows, raw.tell() / size if raw and size else None)


def run_columns(
    paths: TablePaths,
    sources: Iterator[TableSource],
    plan_of: Callable[[Layout, TableSource], Plan],
    wanted: Wanted,
    gathered: Gathered,
    *,
    workers: int,
    replace: bool,
    progress: Progress,
    ended: Ended | None = None,
    kept: Callable[[], dict[str, Any]] | None = None,
) -> None:
    """Screen Parquet files as one table, all with the columns of the first, or a sheet."""
    first = next(sources, None)
    if first is None:
        remedy = "Check the parts one by one."
        raise FoldspanError(
            [Problem("E303", paths.source, "none of the parts can be read", remedy)]
        )
    if not first.rows and paths.source_kind != "parts" and kept is None:
        raise FoldspanError([Problem("E306", first.where, "no rows", "Add one row per client.")])
    plan = plan_of(layout_for(first.names, wanted), first)
    known = set(plan.layout.places)
    waiting: deque[tuple[pa.Array, ...]] = deque()

    def parts() -> Iterator[tuple[pa.Array | None, ...]]:
        for batch in batches_of(first, sources):
            columns = tuple(batch.columns)
            waiting.append(() if plan.as_text else columns)
            # the rest need not travel to a worker and back
            yield (
                columns
                if plan.as_text
                else tuple(
                    column if place in known else None for place, column in enumerate(columns)
                )
            )

    with _sink(paths, plan, first.schema, replace=replace, ended=ended, kept=kept) as sink:
        for worked in in_order(partial(work_on_columns, plan), parts(), workers):
            sink.write(worked, waiting.popleft())
            gathered.take(worked)
            done = gathered.tally.rows
            progress(done, None if paths.source_kind == "parts" else done / first.rows)

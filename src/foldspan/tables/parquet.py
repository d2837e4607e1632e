"""Parquet tables: a file read in batches, and one written with its counts in its own metadata.

Both go on in a thread of their own, one batch ahead of the work or behind it: while numbers are worked
out another processor packs and unpacks them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import nullcontext, suppress
from pathlib import Path
from typing import Any, BinaryIO, Protocol, Self

import pyarrow as pa
import pyarrow.parquet as pq

from foldspan.problems import FoldspanError, Problem
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.paths import parts_of
from foldspan.tables.sheets.notes import SheetNote

# rows read at a time; a group of rows in the file that is written
BATCH = 5 << 12
PIECE = 1 << 18
KEY = b"foldspan"


def _stop(where: str, what: str) -> FoldspanError:
    remedy = "Create it again, or leave it out."
    return FoldspanError([Problem("E303", where, what, remedy)])


class TableSource(Protocol):
    """A table whose rows come as columns: a Parquet file, or a sheet of a workbook."""

    where: str
    names: list[str]
    schema: pa.Schema
    rows: int
    dialect: Dialect
    notes: tuple[SheetNote, ...]

    def batches(self) -> Iterator[pa.RecordBatch]:
        """Yield the rows in batches."""

    def close(self) -> None:
        """Close it."""


class ParquetSource:
    """A Parquet file opened for reading."""

    def __init__(self, path: str) -> None:
        self.where, self.dialect = path, Dialect()
        self.notes: tuple[SheetNote, ...] = ()
        try:
            # read piece by piece: a group of a million rows must not stand in memory as a whole
            self._file = pq.ParquetFile(path, pre_buffer=False, buffer_size=PIECE)
        except FileNotFoundError:
            remedy = "Check the name and folder."
            raise FoldspanError([Problem("E301", path, "there is no such file", remedy)]) from None
        except (OSError, pa.ArrowException):
            raise _stop(path, "not a Parquet file, or damaged") from None
        self.schema = self._file.schema_arrow
        self.names = list(self.schema.names)
        self.rows = self._file.metadata.num_rows

    def batches(self, columns: list[str] | None = None) -> Iterator[pa.RecordBatch]:
        """Yield the rows in batches, with some of the columns or with all."""
        batches = self._file.iter_batches(BATCH, columns=columns)
        with ThreadPoolExecutor(1) as reader:
            coming = reader.submit(next, batches, None)
            while (batch := self._read(coming)) is not None:
                coming = reader.submit(next, batches, None)
                yield batch

    def _read(self, coming: Future[pa.RecordBatch | None]) -> pa.RecordBatch | None:
        try:
            return coming.result()
        except (OSError, pa.ArrowException):
            raise _stop(self.where, "cannot be read any further: damaged or cut short") from None

    def close(self) -> None:
        """Close the file."""
        self._file.close()


class ParquetSink:
    """A Parquet file being written, batch by batch.

    What goes wrong with a batch is raised when the next one comes, or at the end.
    """

    def __init__(self, out: BinaryIO, given: pa.Schema, answers: pa.Schema) -> None:
        fields = [*given, *answers]
        self.schema = pa.schema(fields, metadata=given.metadata)
        self._writer = pq.ParquetWriter(out, self.schema)
        self._thread = ThreadPoolExecutor(1)
        self._pending: Future[None] | None = None

    def write(
        self, given: Iterator[pa.Array] | tuple[pa.Array, ...], answers: pa.RecordBatch
    ) -> None:
        """Write rows: the columns given, then those said of them."""
        columns = [*given, *answers.columns]
        table = pa.Table.from_arrays(columns, schema=self.schema)
        self._catch_up()
        self._pending = self._thread.submit(self._writer.write_table, table)

    def _catch_up(self) -> None:
        """Wait for the batch that is being written."""
        pending, self._pending = self._pending, None
        if pending is not None:
            pending.result()

    def keep(self, kept: dict[str, Any] | None) -> None:
        """Keep plain values in the metadata of the file."""
        if kept is not None:
            self._catch_up()
            text = json.dumps(kept, sort_keys=True)
            self._writer.add_key_value_metadata({KEY: text.encode()})

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        """End the file; where writing failed the rest cannot be written either."""
        try:
            with suppress(OSError, pa.ArrowException) if error[0] else nullcontext():
                self._catch_up()
        finally:
            self._thread.shutdown()
            with suppress(OSError) if error[0] else nullcontext():
                self._writer.close()


def kept_in(path: Path) -> dict[str, Any] | None:
    """Return what ``ParquetSink.keep`` kept in a file, None where there is nothing to be read."""
    try:
        found = pq.read_metadata(path).metadata or {}
        kept = json.loads(found[KEY])
    except (OSError, pa.ArrowException, KeyError, ValueError):
        return None
    return kept if isinstance(kept, dict) else None


def is_from_elsewhere(path: Path) -> bool:
    """Whether a file is a whole Parquet file that ``ParquetSink`` did not write."""
    try:
        return KEY not in (pq.read_metadata(path).metadata or {})
    except (OSError, pa.ArrowException):
        return False


def _alike(batch: pa.RecordBatch, first: TableSource, source: TableSource) -> pa.RecordBatch:
    """Rows of another part in the kinds of the first part's columns."""
    try:
        if batch.schema.names == first.names:
            return batch.cast(first.schema.remove_metadata())
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        pass
    remedy = "Give all parts the same columns, in the same order and of the same types."
    what = f"its columns differ from those of {first.where}"
    raise FoldspanError([Problem("E404", source.where, what, remedy)])


def batches_of(first: TableSource, more: Iterator[TableSource]) -> Iterator[pa.RecordBatch]:
    """Yield the rows of several parts as those of one table; E404 for one of other columns."""
    yield from first.batches()
    first.close()
    for source in more:
        yield from (_alike(batch, first, source) for batch in source.batches())
        source.close()


def readable_parts(folder: str, left_out: list[str]) -> Iterator[ParquetSource]:
    """Yield the parts of a folder; those that cannot be opened are told in ``left_out``."""
    for path in parts_of(folder):
        try:
            source = ParquetSource(str(path))
        except FoldspanError as error:
            left_out.append(str(error))
            continue
        yield source

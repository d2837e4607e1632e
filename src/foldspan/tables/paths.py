"""Paths: what a path means as a table to read, and where the result goes."""

from __future__ import annotations

import gzip
import io
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal, cast

from foldspan.files.output import check_apart, check_outputs, private_file
from foldspan.problems import FoldspanError, Problem

Kind = Literal["csv", "parquet", "parts", "sheet"]
ENDINGS: dict[str, Kind] = {
    ".csv": "csv", ".csv.gz": "csv", ".tsv": "csv", ".tsv.gz": "csv", ".parquet": "parquet",
    ".xlsx": "sheet", ".xlsm": "sheet", ".ods": "sheet",
}  # fmt: skip
# the kind of workbook that is written
WORKBOOK = ".xlsx"
PART = "*.parquet"
REMEDY = (
    "Use .csv, .tsv, .csv.gz, .xlsx, .ods, .parquet, - for the standard streams, or a folder of"
    " .parquet files."
)


def _stop(code: str, where: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem(code, where, what, remedy)])


@dataclass(frozen=True, slots=True)
class TablePaths:
    """Where a table comes from and where its result goes: paths, or - for the standard streams."""

    source: str
    source_kind: Kind
    out: str
    out_kind: Kind

    @property
    def size(self) -> int:
        """Bytes of the source, 0 where that cannot be known."""
        return 0 if self.source == "-" else os.path.getsize(self.source)


def paths_of(source: str, out: str, *, replace: bool = False) -> TablePaths:
    """Return what two paths mean.

    Raises
    ------
    FoldspanError
        E301, E303, E307 for a source or a result of no known kind, E308 where the result is the source
        or is there already, E302 where a file stands in the way of a folder.
    """
    kind = source_kind(source)
    out_kind = _out_kind(out, kind)
    if out_kind == "parts":
        check_apart([(out, source)])
    else:
        check_outputs([out], [source], replace=replace)
    if out_kind == "parts" and os.path.lexists(out) and not os.path.isdir(out):
        raise _stop("E302", out, "already exists and is not a folder", "Choose a new folder name.")
    if out_kind == "parquet" and _is_part_of(out, source):
        raise _stop("E308", out, "is in the table's folder", "Choose a file elsewhere.")
    if out_kind == "parts" and Path(source).resolve() in Path(out).resolve().parents:
        remedy = (
            "Choose a folder beside it: otherwise its parts would be read as part of the table."
        )
        raise _stop("E308", out, "is inside the table's folder", remedy)
    return TablePaths(source, kind, out, out_kind)


def _is_part_of(path: str, folder: str) -> bool:
    return os.path.isdir(folder) and Path(path).resolve().parent == Path(folder).resolve()


def check_list(path: str) -> None:
    """Raise E307 where the list of those to be referred is asked for under another ending than CSV."""
    if path and not path.lower().endswith(".csv"):
        raise _stop("E307", path, "the list is a CSV file", "Give it a name that ends in .csv.")


def make_folder(path: str) -> None:
    """Make a folder that only its owner can look into; E303 where that cannot be."""
    if os.path.isfile(path):
        raise _stop("E302", path, "is a file, not a folder", "Give a folder.")
    try:
        os.makedirs(path, mode=0o700, exist_ok=True)
    except (OSError, ValueError):
        remedy = "Choose a folder that can be created."
        raise _stop("E303", path, "the folder cannot be created", remedy) from None


def _ending(path: str) -> str:
    lower = path.lower()
    return next(
        (ending for ending in sorted(ENDINGS, key=len, reverse=True) if lower.endswith(ending)), ""
    )


def source_kind(path: str) -> Kind:
    """Return what a path means as a table to read; E301, E306 or E307 where it means none."""
    if path == "-":
        return "csv"
    try:
        is_folder, is_there = os.path.isdir(path), os.path.exists(path)
    except ValueError:  # a NUL in a name
        is_folder, is_there = False, False
    if is_folder:
        if not any(Path(path).glob(PART)):
            remedy = "Give another folder; for a CSV file, give the file itself."
            raise _stop("E306", path, "no .parquet file in this folder", remedy)
        return "parts"
    if not is_there:
        raise _stop("E301", path, "there is no such file", "Check the name and folder.")
    if kind := ENDINGS.get(_ending(path)):
        return kind
    if path.lower().endswith((".xls", ".xlsb", ".numbers")):
        raise _stop("E307", path, "a workbook of another kind", "Save it as .xlsx.")
    raise _stop("E307", path, "unknown file extension", REMEDY)


def check_sheet(kind: Kind, sheet: str) -> None:
    """Raise E501 where a sheet is named of a table that has none."""
    if sheet and kind != "sheet":
        remedy = "Leave it out: only a workbook has sheets."
        raise _stop("E501", "--sheet", "this table is not a workbook", remedy)


def _out_kind(path: str, source: Kind) -> Kind:
    if path == "-":
        return "csv"
    if kind := ENDINGS.get(_ending(path)):
        if kind == "sheet" and not path.lower().endswith(WORKBOOK):
            raise _stop(
                "E307", path, "this kind of workbook can be read, but not written", "Use .xlsx."
            )
        return kind
    if source == "parts" and not Path(path).suffix:
        return "parts"
    raise _stop("E307", path, "unknown file extension", REMEDY)


@contextmanager
def opened(path: str) -> Iterator[tuple[BinaryIO, BinaryIO | None]]:
    """Open a CSV for reading, packed or not; yield it and the file whose place tells the progress."""
    if path == "-":
        stream = cast(BinaryIO, io.BytesIO() if sys.stdin is None else sys.stdin.buffer)
        start = stream.read(2)
        rest = _Joined(start, stream)
        unpacked = gzip.GzipFile(fileobj=rest) if start == b"\x1f\x8b" else rest
        yield cast(BinaryIO, unpacked), None
        return
    try:
        raw = open(path, "rb")  # noqa: SIM115
    except OSError:
        raise _stop("E303", path, "cannot be read", "Check its permissions.") from None
    with raw:
        start = raw.read(2)
        place = raw if raw.seekable() else None  # a pipe tells no place
        if place is not None:
            raw.seek(0)
        whole: BinaryIO = raw if place is not None else cast(BinaryIO, _Joined(start, raw))
        is_packed = start == b"\x1f\x8b"  # by its first bytes, whatever its name says
        yield cast(BinaryIO, gzip.GzipFile(fileobj=whole) if is_packed else whole), place


class _Joined(io.RawIOBase):
    """Some bytes that were read already, then the stream they came from."""

    def __init__(self, start: bytes, stream: BinaryIO) -> None:
        self._start, self._stream = start, stream

    def readable(self) -> bool:
        """Whether it can be read: always."""
        return True

    def read(self, size: int | None = -1, /) -> bytes:
        """Return the next bytes."""
        start, self._start = self._start, b""
        return start + self._stream.read(-1 if size is None else max(size - len(start), 0))


@contextmanager
def written(path: str, *, replace: bool = False) -> Iterator[BinaryIO]:
    """Open a result for writing: a private file that gets its name once it is whole, or stdout."""
    if path == "-":
        try:
            yield sys.stdout.buffer
            sys.stdout.buffer.flush()
        except OSError:
            remedy = "Write to a file instead: -o FILE."
            raise _stop("E303", "standard output", "was closed, or is full", remedy) from None
        return
    with private_file(path, replace=replace) as out:
        if path.lower().endswith(".gz"):
            # no name and no time inside: the same rows give the same bytes
            with gzip.GzipFile(
                filename="", mode="wb", fileobj=out, mtime=0, compresslevel=6
            ) as packed:
                yield cast(BinaryIO, packed)
        else:
            yield out


def parts_of(folder: str) -> Sequence[Path]:
    """Return the parts of a folder in the order of their names."""
    return sorted(Path(folder).glob(PART))

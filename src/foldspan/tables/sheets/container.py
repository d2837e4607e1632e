"""Container: a workbook as the archive it is, bounded before anything of it is unpacked.

A workbook is a zip archive of XML. What it says of its size is held against limits first: a file of a
few kilobytes may unpack to terabytes.
"""

from __future__ import annotations

import lzma
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import IO
from xml.parsers import expat

from foldspan.problems import FoldspanError, Problem
from foldspan.tables.sheets.extent import reaches_too_far

# bytes of the file, and of all that it holds once it is unpacked (ours; a million rows need a tenth)
LARGEST_FILE, LARGEST_UNPACKED = 1 << 29, 1 << 32
# bytes of a part that is not a sheet
LARGEST_PART = 1 << 25
ENDINGS = (".xlsx", ".ods")
_CHUNK = 1 << 16
# whatever an archive with other bytes in it may raise while it is read
_DAMAGED = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, NotImplementedError, RuntimeError,
    expat.ExpatError,
)  # fmt: skip
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

Start = Callable[[str, Mapping[str, str]], None]
End = Callable[[str], None]
Text = Callable[[str], None]


def stop(where: str, what: str, remedy: str, code: str = "E304") -> FoldspanError:
    """Return the error for a workbook that cannot be read as a table."""
    return FoldspanError([Problem(code, where, what, remedy)])


@contextmanager
def opened(path: str) -> Iterator[zipfile.ZipFile]:
    """Open the archive of a workbook.

    Raises
    ------
    FoldspanError
        E303 for a file that cannot be read or is damaged, E304 for what is no workbook of a kind that is
        read here, is locked by a password, or unpacks to more than it may.
    """
    try:
        with open(path, "rb") as file:
            start = file.read(len(_OLD))
            _check_start(path, start)
            file.seek(0, 2)
            if file.tell() > LARGEST_FILE:
                raise stop(path, "a workbook of more than 512 MB", "Save the sheet as CSV UTF-8.")
            file.seek(0)
            with zipfile.ZipFile(file) as archive:
                archive.filename = path
                _check_members(path, archive)
                yield archive
    except OSError:
        raise stop(path, "cannot be read", "Check its permissions.", "E303") from None
    except _DAMAGED:
        remedy = "Open it in a spreadsheet program and save it again."
        raise stop(path, "a damaged workbook", remedy, "E303") from None


def _check_start(path: str, start: bytes) -> None:
    if start == _OLD:
        remedy = "Save it as .xlsx without a password."
        raise stop(path, "an old or password-protected workbook", remedy)
    if not start:
        raise stop(path, "empty", "The first line names the columns.", "E306")
    if not start.startswith(b"PK"):
        remedy = "Save it as a workbook again, or give a CSV file a name that ends in .csv."
        raise stop(path, "not a workbook", remedy)


def _check_members(path: str, archive: zipfile.ZipFile) -> None:
    members = archive.infolist()
    if sum(member.file_size for member in members) > LARGEST_UNPACKED:
        raise stop(
            path, "a workbook that unpacks to more than 4 GB", "Save the sheet as CSV UTF-8."
        )
    is_locked = any(member.flag_bits & 1 for member in members)
    if "META-INF/manifest.xml" in archive.namelist():  # OpenDocument 1.3 part 2, 3.4
        is_locked |= b"encryption-data" in archive.read("META-INF/manifest.xml")
    if is_locked:
        raise stop(path, "a password-protected workbook", "Save it without a password.")
    if reaches_too_far(archive):
        remedy = "Delete all rows and columns beyond the table, or save the sheet as CSV UTF-8."
        raise stop(path, "a workbook with a cell far beyond its table", remedy)


def parse(
    archive: zipfile.ZipFile, name: str, start: Start, end: End | None = None,
    text: Text | None = None, *, is_sheet: bool = False,
) -> None:  # fmt: skip
    """Read a part of a workbook, element by element; names come without their namespace.

    Raises
    ------
    KeyError
        Where there is no such part.
    FoldspanError
        E304 for a part that is larger than it may be.
    """
    member = archive.getinfo(name)
    if not is_sheet and member.file_size > LARGEST_PART:
        raise stop(archive.filename or "workbook", "not a usual workbook", "Save it as CSV UTF-8.")
    reader = expat.ParserCreate(namespace_separator=" ")
    reader.buffer_text = True
    names = _Bare()
    reader.StartElementHandler = lambda tag, given: start(
        names[tag], {names[name]: value for name, value in given.items()}
    )
    if end is not None:
        reader.EndElementHandler = lambda tag: end(names[tag])
    if text is not None:
        reader.CharacterDataHandler = text
    with archive.open(member) as stream:
        _feed(reader, stream)


def _feed(reader: expat.XMLParserType, stream: IO[bytes]) -> None:
    while chunk := stream.read(_CHUNK):
        reader.Parse(chunk, False)
    reader.Parse(b"", True)


class _Bare(dict[str, str]):
    """Names without their namespace: few different ones, looked for at every cell."""

    def __missing__(self, name: str) -> str:
        bare = self[name] = name.rpartition(" ")[2]
        return bare

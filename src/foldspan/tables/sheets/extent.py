"""Extent: how far the cells of a workbook reach, held against a limit before they are laid out.

A sheet is laid out from its first cell to its last, whatever is between: one stray cell at its far end
would take all the memory there is, and end the program without a word.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator

# no sheet is longer or wider (ECMA-376 part 1, 18.3.1.73 and 18.3.1.13)
LONGEST, WIDEST = 1 << 20, 1 << 14
# cells that are laid out at most: a million rows of sixty columns
MOST_CELLS = 1 << 26
_CHUNK = 1 << 20
_OVERLAP = 64
# a cell in a column beyond ZZ, or in a row of seven digits: rare, and looked at more closely
_FAR = re.compile(rb"""r=["'](?:[A-Z]{3,}\d+|[A-Z]*\d{7,})["']""")
_PLACE = re.compile(rb"""\br=["']([A-Z]*)(\d+)["']""")
_REPEATED = re.compile(rb"""number-(columns|rows)-repeated=["'](\d+)["']""")


def reaches_too_far(archive: zipfile.ZipFile) -> bool:
    """Return whether a cell stands where none can be, or too many would be laid out."""
    for name in archive.namelist():
        if name == "content.xml" and any(map(_is_beyond, _found(archive, name, _REPEATED))):
            return True
        is_sheet = name.startswith("xl/worksheets/") and name.endswith(".xml")
        if is_sheet and any(True for _ in _found(archive, name, _FAR)) and _is_large(archive, name):
            return True
    return False


def _found(
    archive: zipfile.ZipFile, name: str, wanted: re.Pattern[bytes]
) -> Iterator[re.Match[bytes]]:
    """Whatever matches in a part; what stands where two pieces meet is found in either or both."""
    before = b""
    with archive.open(name) as stream:
        while piece := stream.read(_CHUNK):
            text = before + piece
            yield from wanted.finditer(text)
            before = text[-_OVERLAP:]


def _is_beyond(repeated: re.Match[bytes]) -> bool:
    """Whether a row or a cell is repeated more often than a sheet has room."""
    most = WIDEST if repeated[1] == b"columns" else LONGEST
    return len(repeated[2]) > 9 or int(repeated[2]) > most


def _is_large(archive: zipfile.ZipFile, name: str) -> bool:
    """Whether the cells of a sheet reach beyond it, or are too many from the first to the last."""
    rows = columns = 1
    for place in _found(archive, name, _PLACE):
        if len(place[1]) > 3 or len(place[2]) > 7:
            return True
        column = 0
        for letter in place[1]:
            column = 26 * column + letter - 64
        rows, columns = max(rows, int(place[2])), max(columns, column)
    return rows > LONGEST or columns > WIDEST or rows * columns > MOST_CELLS

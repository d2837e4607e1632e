"""Table files: CSV from a file or standard input, with a clear problem for whatever can go wrong."""

from __future__ import annotations

import io
from pathlib import Path

import pandas as pd

from foldspan.files import read_text
from foldspan.problems import FoldspanError, Problem


def read_table(path: str) -> pd.DataFrame:
    """Return the table in a CSV file, or on standard input for ``-``.

    Parameters
    ----------
    path : str
        Ends in ``.csv``, or ``-``. UTF-8, a comma between cells, names in the first line.

    Raises
    ------
    FoldspanError
        E301 to E306 as for a visit file, E307 for another ending, E404 if it is not a table.
    """
    where = "standard input" if path == "-" else path
    if path != "-" and Path(path).suffix.lower() != ".csv" and Path(path).is_file():
        raise FoldspanError([Problem("E307", path, "ending not known", "Use .csv.")])
    text = read_text(path, largest=None)
    try:
        # a code such as 007 is a text, whatever it looks like
        codes = {"code": str, "tester": str}
        frame = pd.read_csv(io.StringIO(text), skipinitialspace=True, dtype=codes)
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError):
        remedy = "Write one row a client, a comma between cells, the names in the first line."
        raise FoldspanError(
            [Problem("E404", where, "rows of different length, or not a table", remedy)]
        ) from None
    if frame.empty:
        raise FoldspanError([Problem("E306", where, "no rows", "Add one row a client.")])
    return frame

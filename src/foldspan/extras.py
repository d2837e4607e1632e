"""Extras: parts of foldspan that are installed on request, and the libraries that each of them needs.

Whoever only screens tables needs no drawing library, no typesetter and no web server. Whatever needs an
extra asks for it before it begins, so that nothing is half done when one is missing.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec

from foldspan.problems import FoldspanError, Problem

LIBRARIES: dict[str, tuple[str, ...]] = {
    "pages": ("jinja2", "matplotlib", "typst"),
    "sheets": ("python_calamine", "xlsxwriter"),
    "browser": ("cryptography", "jinja2", "matplotlib", "multipart", "python_calamine", "segno",
                "starlette", "typst", "uvicorn", "xlsxwriter"),
    "frames": ("pandas",),
    "cluster": ("dask", "distributed"),
}  # fmt: skip
"""Extra, as it is called in ``pip install 'foldspan[pages]'`` → names under which it is imported."""
FOR_WHAT = {
    "pages": "pages, letters and pictures",
    "sheets": "spreadsheets",
    "browser": "pages in a browser",
    "frames": "pandas data frames",
    "cluster": "parts shared among machines",
}


def require(extra: str) -> None:
    """Ask for an extra before what needs it begins.

    Parameters
    ----------
    extra : str
        Key of ``LIBRARIES``.

    Raises
    ------
    FoldspanError
        E309 where a library of it is not installed.
    """
    missing = [library for library in LIBRARIES[extra] if not _is_installed(library)]
    if missing:
        what = f"not installed ({', '.join(missing)} missing)"
        remedy = f"Install what they need: pip install 'foldspan[{extra}]'."
        raise FoldspanError([Problem("E309", FOR_WHAT[extra], what, remedy)])


@cache
def _is_installed(library: str) -> bool:
    return find_spec(library) is not None

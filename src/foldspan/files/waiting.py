"""Waiting: a folder for what waits while a command works, which only its owner can look into.

It goes when the work ends. What a process left behind that was ended before it could is removed by the
next one.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from foldspan.problems import FoldspanError, Problem

_NAME = "foldspan-"


def new_folder() -> str:
    """Return a new folder, to be removed by whoever asks for it; E303 where there is no room."""
    _sweep()
    try:
        return tempfile.mkdtemp(prefix=f"{_NAME}{os.getpid()}-")
    except OSError:
        raise no_room() from None


@contextmanager
def waiting_folder() -> Iterator[str]:
    """Lend a new folder; it is removed at the end, whatever comes."""
    folder = new_folder()
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def no_room() -> FoldspanError:
    """Return the error for a disk that has no room for what has to wait."""
    remedy = "Free some space there, or set TMPDIR to a folder with more."
    what = "no space left for temporary files"
    return FoldspanError([Problem("E303", tempfile.gettempdir(), what, remedy)])


def _sweep() -> None:
    """Remove what a process of ours left behind that was ended before it could."""
    for folder in Path(tempfile.gettempdir()).glob(f"{_NAME}*-*"):
        number = folder.name.removeprefix(_NAME).partition("-")[0]
        if number.isdigit() and not _runs(int(number)):
            shutil.rmtree(folder, ignore_errors=True)


def _runs(number: int) -> bool:
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True

"""Folder: where tables lie while the pages work on them; it goes when the server goes, however it ends.

A small process watches the server: killed or not, the folder is gone a moment later. Where both were
ended at once, by a power failure perhaps, the next start removes what is left.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from foldspan.problems import FoldspanError, Problem

try:
    import fcntl
except ImportError:  # a system without such locks: there a file that is open cannot be removed
    fcntl = None  # type: ignore[assignment]

PREFIX = "foldspan-tables-"
_LOCK = "in-use"
# a folder without a lock is that of a server that starts, for so long [s]
_STARTING = 60.0
# what the small process runs: it waits for its input to end, which it does with the server; a worker
# that still writes then is ending too, so it looks again
_LONGEST_WATCH = 5.0
_WATCH = """
import os, shutil, sys, time
while os.read(0, 4096):
    pass
for pause in (0.0, 0.1, 0.2, 0.4, 0.8, 1.6):
    time.sleep(pause)
    if pause and not os.path.exists(sys.argv[1]):
        break
    shutil.rmtree(sys.argv[1], ignore_errors=True)
"""


class TablesFolder:
    """A folder for its owner only, until ``close`` or the end of this process.

    Raises
    ------
    FoldspanError
        E303 where it cannot be made.
    """

    def __init__(self) -> None:
        remove_left_over()
        try:
            self.path = Path(tempfile.mkdtemp(prefix=PREFIX))
            self._lock = open(self.path / _LOCK, "wb")  # noqa: SIM115
        except OSError:
            raise no_room() from None
        if fcntl is not None:
            fcntl.flock(self._lock, fcntl.LOCK_EX)
        self._watch = subprocess.Popen(
            [sys.executable, "-I", "-S", "-c", _WATCH, str(self.path)],
            stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            cwd=tempfile.gettempdir(), start_new_session=True,
        )  # fmt: skip

    def close(self) -> None:
        """Remove it with everything in it."""
        self._lock.close()
        shutil.rmtree(self.path, ignore_errors=True)
        with contextlib.suppress(OSError):
            assert self._watch.stdin is not None
            self._watch.stdin.close()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._watch.wait(timeout=_LONGEST_WATCH)


def remove_left_over() -> None:
    """Remove folders of this kind whose server is gone; those of other people are left alone."""
    with contextlib.suppress(OSError):
        for found in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
            if _is_mine(found) and not _is_in_use(found / _LOCK):
                shutil.rmtree(found, ignore_errors=True)


def _is_mine(folder: Path) -> bool:
    try:
        owner = folder.lstat().st_uid
    except OSError:
        return False
    return folder.is_dir() and not folder.is_symlink() and owner == getattr(os, "getuid", int)()


def _is_in_use(lock: Path) -> bool:
    try:
        if fcntl is None:
            lock.unlink()
            return False
        with open(lock, "rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except FileNotFoundError:  # of a server that is just starting, or one that was being removed
        return time.time() - lock.parent.stat().st_mtime < _STARTING
    except OSError:
        return True
    return False


def no_room() -> FoldspanError:
    """Return the error for a disk that takes no more."""
    what, remedy = "no space left for temporary files", "Free some space, and try again."
    return FoldspanError([Problem("E303", "Temporary folder", what, remedy)])

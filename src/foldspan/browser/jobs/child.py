"""Child: a process that works on one table, for a server that can end it at any time.

It reads one line of JSON, what to do, and writes lines of JSON: how far it is, then what came of it.
It ends with its server, and with it every process that it started. No value leaves it but in the files
of the table's own folder; what goes wrong is told by its place in the code.
"""

from __future__ import annotations

import errno
import json
import os
import signal
import sqlite3
import sys
import threading
import time
from collections.abc import Callable
from importlib import import_module
from typing import Any

from foldspan.browser.access.refusals import place_of
from foldspan.browser.jobs.folder import no_room
from foldspan.problems import FoldspanError, Problem
from foldspan.results.result import problem_list
from foldspan.screening.run.lazy_pyarrow import forgo_pandas

# what can be asked for → the module that does it, with a function ``work``
ACTIONS = {
    "look": "looked", "screen": "screened", "letters": "lettered", "row": "one_row",
    "group": "grouped",
}  # fmt: skip
# progress is told so often [s]
_EVERY = 0.2
Say = Callable[..., None]


def main() -> None:
    """Do what is asked for on standard input."""
    request = json.loads(_line())
    threading.Thread(target=_end_with_server, daemon=True).start()
    sys.path[:] = [os.path.abspath(part) for part in sys.path]
    os.chdir(request["folder"])
    os.umask(0o077)
    forgo_pandas()  # before anything makes an array
    try:
        work = import_module(f"foldspan.browser.jobs.{ACTIONS[request['do']]}").work
        say(**work(request, say), kind="done")
    except Exception as error:
        if problems := problems_of(error, request["source"]):
            say(kind="problems", problems=problem_list(problems))
        else:
            say(kind="failed", place=place_of(error))
    sys.stdout.flush()
    os._exit(0)  # nothing waits for the thread that reads, or for workers that are idle


def problems_of(error: Exception, source: str) -> tuple[Problem, ...]:
    """Return what is to be put right by whoever sent the table; nothing for a fault of foldspan."""
    if isinstance(error, FoldspanError):
        return tuple(error.problems)
    if isinstance(error, MemoryError):
        what, remedy = "needs more memory than there is", "Divide the table, and screen its parts."
        return (Problem("E304", source, what, remedy),)
    is_full = isinstance(error, OSError) and error.errno in (errno.ENOSPC, errno.EDQUOT)
    # SQLite has a code of its own for it
    is_full |= getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL
    return tuple(no_room().problems) if is_full else ()


def say(**what: Any) -> None:
    """Tell the server something."""
    sys.stdout.write(json.dumps(what, ensure_ascii=False) + "\n")
    sys.stdout.flush()


class Progress:
    """How far a table is read, told a few times a second, and a bound on its rows.

    Raises
    ------
    FoldspanError
        E304 for more rows than ``most``.
    """

    def __init__(self, source: str, most: int) -> None:
        self._source, self._most, self._said_at = source, most, 0.0

    def step(self, rows: int, share: float | None) -> None:
        """Take in how many rows are done, and which share of the table."""
        if rows > self._most:
            what = f"more than {self._most:,} rows"
            remedy = "Divide the table, and screen its parts."
            raise FoldspanError([Problem("E304", self._source, what, remedy)])
        now = time.monotonic()
        if now - self._said_at >= _EVERY:
            self._said_at = now
            say(kind="progress", rows=rows, share=share)


def _line() -> bytes:
    """The first line of standard input, by single bytes: nothing may be read ahead."""
    found = bytearray()
    while (byte := os.read(0, 1)) not in (b"", b"\n"):
        found += byte
    return bytes(found)


def _end_with_server() -> None:
    """End, with all that was started here, once the server's end of the pipe is closed."""
    while os.read(0, 4096):
        pass
    if hasattr(os, "killpg"):
        os.killpg(os.getpgid(0), signal.SIGKILL)
    os._exit(1)


if __name__ == "__main__":
    main()

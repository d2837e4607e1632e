"""The program loaded once and begun many times: what ``program_starts`` runs in a process of its own.

It imports what a session uses and nothing else, or what any command does, works out what the program
keeps once it was needed, then waits. For every message it forks: the copy gets the words, the folder,
the environment and the three streams that a start would have, and goes on where the installed script
begins, in ``foldspan.cli.main``, or where a process of the pages for tables does. No test library is in
this process, nothing in it is patched, and no session has run in it before.
"""

from __future__ import annotations

import array
import fcntl
import gc
import importlib
import io
import json
import os
import socket
import sys
import tempfile
import termios
from collections.abc import Sequence
from typing import Any, NoReturn

import foldspan.cli  # noqa: F401 - a session loads it, and most of what is below it

# what a measuring session loads while it runs
LATER = (
    "foldspan.cli.measuring.loop",
    "foldspan.cli.measuring.results",
    "foldspan.cli.measuring.screen",
    "foldspan.measuring.conducted",
    "foldspan.records.book",
    "foldspan.records.journal",
    "foldspan.records.visits",
    "foldspan.api.reconcile",
    "foldspan.api.health",
    "foldspan.session.parse_input",
)
# what any command loads: for those who run all of them, on whom no library may be lost
EVERYTHING = (
    *LATER,
    *("pandas", "pyarrow.compute", "pyarrow.csv", "pyarrow.parquet", "pydantic", "jinja2", "typst"),
    *("matplotlib.figure", "matplotlib.backends.backend_svg", "scipy.optimize"),
    *(
        f"foldspan.api.{name}"
        for name in ("change", "explain", "reconcile_table", "report", "screen")
    ),
    *("foldspan.pages.html_page", "foldspan.pages.pdf_page"),
)
# what the pages have processes of their own do with tables, which know no pandas
JOBS = (
    "foldspan.browser.jobs.child",
    *(f"foldspan.browser.jobs.{name}" for name in ("looked", "screened", "one_row", "grouped")),
    *("foldspan.browser.jobs.lettered", "foldspan.api.letters", "foldspan.screening.workbook"),
    *("pyarrow.compute", "pyarrow.csv", "pyarrow.parquet", "foldspan.api.screen"),
)
LOADED = {"everything": EVERYTHING, "jobs": JOBS}
# an invented visit with folds and girths
VISITS = tuple(
    {
        "client": {"sex": sex, "age_years": 41},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "skinfolds_mm": {"triceps": [21.0, 21.5], "thigh": [28.0, 27.0], "chest": [14.0, 14.5]},
        "girths_cm": {"waist_midpoint": [82.6, 82.9], "hip": 101.5, "neck": 35.1},
    }
    for sex in ("female", "male")
)
MOST_BYTES = 1 << 18
STREAMS = 3


def _stream(place: int) -> io.TextIOWrapper:
    """A standard stream as Python opens it in its UTF-8 mode."""
    raw = io.FileIO(place, "r" if place == 0 else "w", closefd=False)
    return io.TextIOWrapper(
        io.BufferedReader(raw) if place == 0 else io.BufferedWriter(raw),
        encoding="utf-8",
        errors="backslashreplace" if place == 2 else "surrogateescape",
        line_buffering=place == 2 or (place == 1 and raw.isatty()),
    )


def begin(request: dict[str, Any], streams: Sequence[int]) -> NoReturn:
    """Become the program as if it had just been started, and end with its exit code."""
    if request["terminal"]:
        fcntl.ioctl(streams[0], termios.TIOCSCTTY, 0)
    for place, stream in enumerate(streams):
        os.dup2(stream, place)
        os.close(stream)
    os.chdir(request["folder"])
    os.environ.clear()
    os.environ.update(request["environment"])
    tempfile.tempdir = None  # asked of the environment anew
    sys.argv = request["words"]
    for place, name in enumerate(("stdin", "stdout", "stderr")):
        stream = _stream(place)
        setattr(sys, name, stream)
        setattr(sys, f"__{name}__", stream)
    code = 1
    try:
        importlib.import_module(request["module"]).main()
        code = 0
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except BaseException:
        sys.excepthook(*sys.exc_info())
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except OSError:
        code = 120  # as Python ends where nobody takes what is left
    os._exit(code)


def watch(request: dict[str, Any], streams: Sequence[int], answer: socket.socket) -> NoReturn:
    """Begin the program in a child; tell its number, and in the end how it ended."""
    child = os.fork()
    if not child:
        if request["terminal"] or request["session"]:
            os.setsid()
        answer.sendall(array.array("q", [os.getpid()]))
        answer.close()
        begin(request, streams)
    for stream in streams:
        os.close(stream)
    _, status = os.waitpid(child, 0)
    answer.sendall(array.array("q", [status]))
    os._exit(0)


def remember(loaded: Sequence[str]) -> None:
    """Have what never changes at hand: tables of the catalogue, reference people, the page's template.

    No PDF is set and no table is read here: both leave threads behind, which a copy does not have.
    """
    import foldspan

    everything = "foldspan.pages.html_page" in loaded
    for tree in VISITS:
        visit = foldspan.Visit.from_dict(tree)
        for reference_method in ("density", "dxa"):
            foldspan.reconcile(visit, reference_method=reference_method)
        if everything:
            foldspan.report(visit).html()
            foldspan.report(visit, reader="client").html()


def serve(asked: socket.socket, loaded: Sequence[str] = LATER) -> None:
    """Begin the program as often as it is asked for, until nobody is there to ask."""
    if loaded is JOBS:
        from foldspan.screening.run.lazy_pyarrow import forgo_pandas  # brings pyarrow

        forgo_pandas()
    for name in loaded:
        importlib.import_module(name)
    remember(loaded)
    gc.collect()
    gc.freeze()
    watchers: set[int] = set()
    while True:
        message, given, _, _ = socket.recv_fds(asked, MOST_BYTES, STREAMS + 1)
        if not message:
            return
        watchers -= {process for process in watchers if os.waitpid(process, os.WNOHANG)[0]}
        if watcher := os.fork():
            watchers.add(watcher)
        else:
            asked.close()
            watch(json.loads(message), given[:STREAMS], socket.socket(fileno=given[STREAMS]))
        for number in given:
            os.close(number)


if __name__ == "__main__":
    serve(socket.socket(fileno=int(sys.argv[1])), LOADED.get(sys.argv[-1], LATER))

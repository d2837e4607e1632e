"""Job: one table that was sent here, what is known of it, and the process that works on it."""

from __future__ import annotations

import contextlib
import filecmp
import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, get_args

from foldspan.browser.jobs.folder import no_room
from foldspan.problems import FoldspanError, Problem

# ``looking`` at its columns, ``choosing`` what they mean, ``running``, ``done``; ``refused`` as it
# cannot be read; ``stopped`` by hand; ``failed`` in foldspan itself
State = Literal["looking", "choosing", "running", "done", "refused", "stopped", "failed"]
STATES: tuple[State, ...] = get_args(State)
AT_WORK: tuple[State, ...] = ("looking", "running")
MADE = "made"
LETTERS = "letters.zip"
# time after which the seconds that are left can be told [s], and the share that has to be read by then
_ENOUGH, _SOME = 1.0, 0.02


@dataclass(slots=True, repr=False)
class Job:
    """One table.

    Attributes
    ----------
    key : str
        What its pages are asked for by.
    owner : str
        Digest of the device that sent it: no other one sees it.
    name : str
        Name of the file as it was sent.
    folder : Path
        Where it lies, with ``made/`` for what comes of it.
    settings : str
        Settings of every answer, packed for its processes.
    state : str
        Where it stands.
    doing : str
        What its process does or did last: an action of ``child``.
    problems : tuple of Problem
        Why it was refused.
    place : str
        Where foldspan itself failed, without a value.
    looked, chosen, found : mapping
        What is known of its columns, what was chosen of them, and what came of the screening.
    main : str
        Key of the table that this one is compared with, where it is an earlier one; else "".
    before : mapping
        The earlier table, as ``screen_table`` takes it; empty for none.
    rows, share
        Rows done, and the share of the table that is read [0 to 1], None where that is not known.
    """

    key: str
    owner: str
    name: str
    folder: Path
    settings: str = ""
    state: State = "looking"
    doing: str = ""
    problems: tuple[Problem, ...] = ()
    place: str = ""
    looked: Mapping[str, Any] = field(default_factory=dict)
    found: Mapping[str, Any] = field(default_factory=dict)
    chosen: Mapping[str, Any] = field(default_factory=dict)
    main: str = ""
    before: Mapping[str, Any] = field(default_factory=dict)
    rows: int = 0
    share: float | None = None
    touched: float = field(default_factory=time.monotonic)
    _began: float = 0.0
    _process: subprocess.Popen[bytes] | None = None

    @property
    def made(self) -> Path:
        """Where what comes of it lies."""
        return self.folder / MADE

    @property
    def files(self) -> list[str]:
        """Names of what can be taken away."""
        letters = [LETTERS] if "letters" in self.found else []
        return [*self.found.get("files", ()), *letters]

    @property
    def is_at_work(self) -> bool:
        """Whether a process works on it."""
        return self.state in AT_WORK

    @property
    def seconds_left(self) -> float | None:
        """How long it still takes, judged by what is done; None where that cannot be told yet."""
        taken = time.monotonic() - self._began
        if not self.share or self.share < _SOME or taken < _ENOUGH:
            return None
        return taken * (1.0 - self.share) / self.share

    def start(self, action: str, **request: Any) -> None:
        """Have a process of its own do something; returns at once."""
        self.stop()
        self.doing, self.problems, self.place, self.rows, self.share = action, (), "", 0, None
        self.state = "looking" if action == "look" else "running"
        self._began = time.monotonic()
        process = self._process = started(self, action, request)
        threading.Thread(target=self._follow, args=(process,), daemon=True).start()

    def screen(self, chosen: Mapping[str, Any]) -> None:
        """Have it screened with its columns as chosen; what came of it before is gone."""
        self.stop()
        self.chosen, self.found = chosen, {}
        shutil.rmtree(self.made, ignore_errors=True)
        self.made.mkdir(mode=0o700)
        self.start("screen")

    def compare_with(self, earlier: Job, chosen: Mapping[str, Any]) -> None:
        """Have an earlier table compared with; E501 for the same table, E303 where there is no room."""
        table, other = self.folder / self.name, earlier.folder / earlier.name
        # of a workbook with several sheets, each may be of another year
        if len(self.looked.get("sheets", ())) < 2 and filecmp.cmp(table, other, shallow=False):
            remedy = "Send the earlier table, or leave it out."
            raise FoldspanError([Problem("E501", "Earlier table", "is the same table", remedy)])
        self.leave_earlier()
        # its name is said on pages and in files, so it lies beside the table and not in a folder
        is_alike = earlier.name.casefold() == self.name.casefold()
        name = f"earlier {earlier.name}" if is_alike else earlier.name
        try:
            shutil.copyfile(other, self.folder / name)
            (self.folder / name).chmod(0o600)
        except OSError:
            (self.folder / name).unlink(missing_ok=True)
            raise no_room() from None
        said = {name: chosen.get(name, {}) for name in ("names", "units", "words")}
        sheet = chosen.get("sheet", "")
        self.before = {"path": name, "sheet": sheet, **said}

    def leave_earlier(self) -> None:
        """Have no earlier table compared with."""
        if self.before:
            (self.folder / self.before["path"]).unlink(missing_ok=True)
        self.before = {}

    def aside(self, action: str, **request: Any) -> dict[str, Any]:
        """Have something done while its page stays as it is, and wait for that.

        Raises
        ------
        FoldspanError
            As told by the process; E904 where it failed.
        """
        process = started(self, action, request)
        assert process.stdout is not None
        try:
            lines = process.stdout.read().splitlines()
        finally:
            end(process)
            close(process)
        message: dict[str, Any] = (
            json.loads(lines[-1]) if lines else {"kind": "failed", "place": ""}
        )
        if message["kind"] == "done":
            return message
        problems = [Problem(**problem) for problem in message.get("problems", ())]
        raise FoldspanError(problems or [_failed(message["place"])])

    def stop(self) -> None:
        """End its process, where one works."""
        process, self._process = self._process, None
        if process is not None:
            end(process)
            if self.is_at_work:
                self.state = "done" if self.doing == "letters" else "stopped"

    def forget(self) -> None:
        """End its process and remove everything of it."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _follow(self, process: subprocess.Popen[bytes]) -> None:
        """Take in what its process tells, until it ends."""
        assert process.stdout is not None
        has_ended = False
        for line in process.stdout:
            with contextlib.suppress(ValueError):  # half a line, of a process that was ended
                message = json.loads(line)
                if self._process is process:
                    has_ended |= self._take(message)
        end(process)
        close(process)
        if self._process is process:
            self._process = None
            if not has_ended:
                self.state, self.place = "failed", "the process was ended from outside"

    def _take(self, message: dict[str, Any]) -> bool:
        """Take in one thing; return whether it is the last."""
        kind = message.pop("kind")
        if kind == "progress":
            self.rows, self.share = message["rows"], message["share"]
            return False
        if kind == "problems":
            self.problems = tuple(Problem(**problem) for problem in message["problems"])
            # what was chosen may be chosen otherwise
            self.state = "refused" if self.doing == "look" else self._before()
        elif kind == "failed":
            self.state, self.place = "failed", message["place"]
        elif self.doing == "look":
            self.looked, self.state = message, "choosing"
        else:
            self.found, self.state = {**self.found, **message}, "done"
        return True

    def _before(self) -> State:
        return "done" if self.doing == "letters" else "choosing"


def _failed(place: str) -> Problem:
    remedy = "Please report this; it contains no client data."
    return Problem("E904", "foldspan", f"failed here ({place or 'ended from outside'})", remedy)


def started(job: Job, action: str, request: Mapping[str, Any]) -> subprocess.Popen[bytes]:
    """Start a process that does something with a table, and tell it what."""
    message = {
        "do": action, "folder": str(job.folder), "source": job.name, "settings": job.settings,
        "chosen": job.chosen, "before": job.before, **request,
    }  # fmt: skip
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", "foldspan.browser.jobs.child"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        env={**os.environ, "TMPDIR": str(job.folder), "PYTHONUTF8": "1"},
        start_new_session=True,
    )  # fmt: skip
    assert process.stdin is not None
    with contextlib.suppress(OSError):  # it ended at once: that is told by its end
        process.stdin.write(json.dumps(message).encode() + b"\n")
        process.stdin.flush()
    return process


def end(process: subprocess.Popen[bytes]) -> None:
    """End a process with all that it started, and wait for it."""
    if process.returncode is None:  # once it was waited for, its number may be that of another
        with contextlib.suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
        process.wait()


def close(process: subprocess.Popen[bytes]) -> None:
    """Close the pipes of a process that has ended, by whoever reads them."""
    for pipe in (process.stdin, process.stdout):
        with contextlib.suppress(OSError):
            if pipe is not None:
                pipe.close()

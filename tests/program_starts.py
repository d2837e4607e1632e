"""Starts of the installed program: from nothing, or quickly from a process that has it loaded.

Most of a start is Python loading libraries. Tests that start the program many times take it from
``loaded_program``; each such file also starts the installed script, so that both are the same program.
"""

from __future__ import annotations

import array
import contextlib
import fcntl
import json
import os
import re
import select
import signal
import socket
import struct
import subprocess
import sys
import termios
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import IO, Any

import pexpect
import ptyprocess

PROGRAM = str(Path(sys.executable).with_name("foldspan"))
CAN_BE_LOADED = sys.platform == "linux"
_EACH = array.array("q").itemsize


@cache
def _loaded(*more: str) -> socket.socket:
    """The way to the process that has the program loaded; it ends with this process.

    ``more`` is ``everything`` where any command may be asked for, ``jobs`` where a process for a table
    is, nothing for a session.
    """
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    script = str(Path(__file__).with_name("loaded_program.py"))
    subprocess.Popen(
        [sys.executable, script, str(theirs.fileno()), *more], pass_fds=[theirs.fileno()],
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, start_new_session=True,
    ).returncode = 0  # fmt: skip # it outlives every test, and nobody waits for it
    theirs.close()
    return ours


class Begun:
    """The program, begun by forking; ``status`` is what the system says of its end, None before."""

    def __init__(
        self,
        words: Sequence[str],
        streams: Sequence[int],
        *,
        folder: str,
        environment: Mapping[str, str],
        terminal: bool,
        more: Sequence[str] = (),
        module: str = "foldspan.cli",
        session: bool = False,
    ) -> None:
        self._answer, theirs = socket.socketpair()
        request = {
            "words": list(words), "folder": folder, "environment": dict(environment),
            "terminal": terminal, "module": module, "session": session,
        }  # fmt: skip
        socket.send_fds(_loaded(*more), [json.dumps(request).encode()], [*streams, theirs.fileno()])
        theirs.close()
        self.pid = self._next()
        self.status: int | None = None

    def _next(self) -> int:
        data = self._answer.recv(_EACH, socket.MSG_WAITALL)
        assert len(data) == _EACH, "the loaded program is gone"
        return array.array("q", data)[0]

    def is_running(self) -> bool:
        """Whether it has not ended yet."""
        return self.status is None and not select.select([self._answer], [], [], 0.0)[0]

    def wait(self) -> int:
        """Wait for the end; return the status."""
        if self.status is None:
            self.status = self._next()
            self._answer.close()
        return self.status

    def kill(self) -> None:
        """End it as a power cut would."""
        os.kill(self.pid, signal.SIGKILL)


class JobBegun:
    """A process of the pages for a table, as ``subprocess.Popen`` gives one, from where it is loaded."""

    def __init__(
        self, line: Sequence[str], *, env: Mapping[str, str], start_new_session: bool, **_: int
    ) -> None:
        theirs, keyboard = os.pipe()
        out, printed = os.pipe()
        nothing = os.open(os.devnull, os.O_WRONLY)
        streams = [theirs, printed, nothing]
        self._begun = Begun(
            line, streams, folder=os.getcwd(), environment=env, terminal=False, more=("jobs",),
            module=line[-1], session=start_new_session,
        )  # fmt: skip
        for stream in streams:
            os.close(stream)
        self.pid = self._begun.pid
        self.stdin = os.fdopen(keyboard, "wb")
        self.stdout = os.fdopen(out, "rb")
        self.returncode: int | None = None
        self._ending = threading.Lock()

    def wait(self) -> int:
        """Wait for the end; return the code."""
        with self._ending:
            self.returncode = os.waitstatus_to_exitcode(self._begun.wait())
        return self.returncode


# what ``foldspan.browser.jobs.job`` uses of the library that starts processes
QUICK_JOBS = SimpleNamespace(
    Popen=JobBegun, PIPE=subprocess.PIPE, DEVNULL=subprocess.DEVNULL
)  # fmt: skip


class _BegunAtTerminal(ptyprocess.PtyProcess):
    """What pexpect holds on to, for a program that is the child of another process."""

    begun: Begun

    def isalive(self) -> bool:
        if not self.terminated and (self.flag_eof or not self.begun.is_running()):
            self.wait()
        return not self.terminated

    def wait(self) -> int | None:
        self.status = self.begun.wait()
        self.terminated = True
        is_exit = os.WIFEXITED(self.status)
        self.exitstatus = os.WEXITSTATUS(self.status) if is_exit else None
        self.signalstatus = None if is_exit else os.WTERMSIG(self.status)
        return self.exitstatus


class _LoadedSpawn(pexpect.spawn):
    """The program at a pseudo-terminal, taken from where it is loaded."""

    def _spawnpty(self, args: list[bytes], **options: Any) -> ptyprocess.PtyProcess:
        ours, theirs = os.openpty()
        rows, columns = options["dimensions"]
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        begun = Begun(
            [os.fsdecode(arg) for arg in args], [theirs] * 3,
            folder=options["cwd"], environment=options["env"], terminal=True,
        )  # fmt: skip
        os.close(theirs)
        process = _BegunAtTerminal(begun.pid, ours)
        process.begun = begun
        return process


def at_terminal(
    words: Sequence[str], *, folder: Path, environment: Mapping[str, str],
    dimensions: tuple[int, int], from_nothing: bool,
) -> pexpect.spawn:  # fmt: skip
    """Start the program at a pseudo-terminal of (rows, columns)."""
    kind = pexpect.spawn if from_nothing or not CAN_BE_LOADED else _LoadedSpawn
    return kind(
        PROGRAM, list(words), encoding="utf-8", timeout=10, dimensions=dimensions,
        env=dict(environment), cwd=str(folder),
    )  # fmt: skip


def _taken(stream: int, into: list[str]) -> None:
    with open(stream, encoding="utf-8") as text:
        into.append(text.read())


def run_to_its_end(
    words: Sequence[str], *, typed: str = "", folder: Path, environment: Mapping[str, str],
    from_nothing: bool = False, more: Sequence[str] = (),
) -> subprocess.CompletedProcess[str]:  # fmt: skip
    """Run the program over pipes, as ``subprocess.run`` does; ``more`` as for ``_loaded``."""
    if from_nothing or not CAN_BE_LOADED:
        return subprocess.run(
            [PROGRAM, *words], input=typed, text=True, capture_output=True, cwd=folder,
            env=dict(environment), timeout=60, check=False,
        )  # fmt: skip
    pipes = [os.pipe() for _ in range(3)]
    theirs = [pipes[0][0], pipes[1][1], pipes[2][1]]
    begun = Begun(
        [PROGRAM, *words], theirs, folder=str(folder), environment=environment, terminal=False,
        more=more,
    )  # fmt: skip
    for file in theirs:
        os.close(file)
    said: list[list[str]] = [[], []]
    readers = [
        threading.Thread(target=_taken, args=pair)
        for pair in zip((pipes[1][0], pipes[2][0]), said, strict=True)
    ]
    for reader in readers:
        reader.start()
    with contextlib.suppress(BrokenPipeError), open(pipes[0][1], "w", encoding="utf-8") as keyboard:
        keyboard.write(typed)
    for reader in readers:
        reader.join()
    code = os.waitstatus_to_exitcode(begun.wait())
    return subprocess.CompletedProcess([PROGRAM, *words], code, said[0][0], said[1][0])


def flooded(
    words: Sequence[str], *, typed: str, folder: Path, environment: Mapping[str, str],
    from_nothing: bool = False,
) -> Callable[[], None]:  # fmt: skip
    """Start the program with all its lines typed at once; what is returned kills it."""
    theirs, keyboard = os.pipe()
    nothing = os.open(os.devnull, os.O_WRONLY)
    line = [PROGRAM, *words]
    if from_nothing or not CAN_BE_LOADED:
        process = subprocess.Popen(
            line, stdin=theirs, stdout=nothing, stderr=nothing, cwd=folder, env=dict(environment)
        )
        kill, wait = process.kill, process.wait
    else:
        begun = Begun(
            line, [theirs, nothing, nothing], folder=str(folder), environment=environment,
            terminal=False,
        )  # fmt: skip
        kill, wait = begun.kill, begun.wait
    os.close(theirs)
    os.close(nothing)
    os.write(keyboard, typed.encode())  # a pipe holds more than a session

    def killed() -> None:
        kill()
        os.close(keyboard)
        wait()

    return killed


def surroundings(folder: Path, term: str = "xterm") -> dict[str, str]:
    """Environment in which nothing of the user's own can be reached."""
    kept = {
        key: value for key, value in os.environ.items() if key in ("PATH", "LANG", "PYTHONPATH")
    }
    home = {key: str(folder) for key in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME")}
    return {**kept, **home, "TERM": term, "PYTHONUTF8": "1"}


@dataclass
class Server:
    """A server that runs: the address that it printed, and what it prints after that."""

    address: str
    pid: int
    out: IO[str]
    wait: Callable[[], int]


@contextlib.contextmanager
def server_started(*words: str, folder: Path, **more: str) -> Iterator[Server]:
    """Start the program; it is ended whatever happens."""
    environment = {**surroundings(folder), **more}
    line = ["serve", "--no-open", *words]
    ours, theirs = os.pipe()
    if CAN_BE_LOADED:
        nothing = os.open(os.devnull, os.O_RDWR)
        begun = Begun(
            [PROGRAM, *line], [nothing, theirs, theirs], folder=str(folder),
            environment=environment, terminal=False,
        )  # fmt: skip
        os.close(nothing)
        pid, status = begun.pid, lambda: os.waitstatus_to_exitcode(begun.wait())
    else:
        process = subprocess.Popen(
            [PROGRAM, *line], stdout=theirs, stderr=theirs, cwd=folder, env=environment
        )
        pid, status = process.pid, process.wait
    os.close(theirs)
    with open(ours, encoding="utf-8") as out:
        found = re.search(r"foldspan runs at (http://\S+)", out.readline())
        assert found is not None
        try:
            yield Server(found[1], pid, out, status)
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)

"""Run tests in a child process that begins with every library loaded, but nothing of foldspan.

Loading numpy, pandas and the other libraries takes longer than most trials. The parent loads them
once, forgets foldspan and the modules of the tests, and forks; the child loads foldspan anew, with one
changed module if it is told one. Nothing is written into ``src``. A test that starts the program in
another process starts the unchanged one: it can miss a mutant, never kill one.
"""

from __future__ import annotations

import builtins
import gc
import importlib.abc
import importlib.machinery
import json
import os
import resource
import signal
import sys
import time
import traceback
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import CodeType
from typing import Any

import hypothesis
import pytest

from mutation.mutants import ROOT, SOURCE

MEMORY = 6 << 30  # bytes of address space of a child: a mutant may ask for anything
# hypothesis is loaded before pytest can rewrite its assertions
WORDS = (
    *("-n0", "-q", "-p", "no:cacheprovider", "-p", "no:schemathesis", "--no-header"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),
)
Done = Callable[[int, dict[str, Any]], None]


class Changed(importlib.abc.MetaPathFinder):
    """Loads one module from a changed source, under its own name and place."""

    def __init__(self, module: str, source: str) -> None:
        self.path = SOURCE / module
        parts = ("foldspan", *Path(module).with_suffix("").parts)
        self.name, self.source = ".".join(parts), source

    def find_spec(self, name: str, path: Any, target: Any = None) -> ModuleSpec | None:
        """Answer for the changed module only."""
        if name != self.name:
            return None
        loader = ChangedLoader(name, str(self.path), self.source)
        return importlib.machinery.ModuleSpec(name, loader, origin=str(self.path))


class ChangedLoader(importlib.machinery.SourceFileLoader):
    """Compiles the changed source and keeps no compiled file."""

    def __init__(self, name: str, path: str, source: str) -> None:
        super().__init__(name, path)
        self.source = source

    def get_code(self, fullname: str) -> CodeType:
        """Compile the changed source as if it stood in the file."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # such as "is" with a number
            return compile(self.source, self.path, "exec", dont_inherit=True)


def load_libraries() -> None:
    """Load what the tests load, and forget what is of this project."""
    os.environ["FOLDSPAN_SETTINGS"] = ""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
        os.environ[name] = "1"
    sys.path[:0] = [str(ROOT / "tests" / "house")]
    hypothesis.settings.register_profile(
        "mutation", derandomize=True, database=None, deadline=None, print_blob=False
    )
    before = set(sys.modules)
    import foldspan.api.report
    import foldspan.cli
    import foldspan.screening.run.single  # noqa: F401

    for name in set(sys.modules) - before:
        file = getattr(sys.modules[name], "__file__", None) or ""
        if name.split(".")[0] == "foldspan" or file.startswith(str(ROOT / "tests")):
            del sys.modules[name]
    gc.collect()
    gc.freeze()


@dataclass
class Child:
    """A process at work, and what it may use."""

    at: int
    answer: Path
    ends: float  # by the clock
    done: Done


class Children:
    """So many processes at a time; each writes its answer to a file."""

    def __init__(self, workers: int, folder: Path) -> None:
        self.workers, self.folder = workers, folder
        self.running: dict[int, Child] = {}
        self.started = 0
        folder.mkdir(parents=True, exist_ok=True)

    def start(self, work: Callable[[], dict[str, Any]], seconds: float, done: Done) -> None:
        """Begin a piece of work of at most so many processor seconds when there is room for it."""
        while len(self.running) >= self.workers:
            self.wait()
        self.started += 1
        answer = self.folder / f"{os.getpid()}_{self.started}.json"
        pid = os.fork()
        if not pid:
            inside(work, seconds, answer)
        ends = time.monotonic() + 60 + 4 * seconds
        self.running[pid] = Child(self.started, answer, ends, done)

    def finish(self) -> None:
        """Wait for all."""
        while self.running:
            self.wait()

    def wait(self) -> None:
        """Take the next answer; end a process that takes too long by the clock."""
        while True:
            pid, status, used = os.wait4(-1, os.WNOHANG)
            if pid in self.running:
                break
            for late in [pid for pid, one in self.running.items() if one.ends < time.monotonic()]:
                os.killpg(late, signal.SIGKILL)
                self.running[late].ends = float("inf")
            time.sleep(0.02)
        child = self.running.pop(pid)
        answer = {}
        if child.answer.exists():  # else the log stays and says why
            answer = json.loads(child.answer.read_text("utf-8"))
            child.answer.unlink()
            child.answer.with_suffix(".log").unlink()
        child.done(status, {**answer, "processor": round(used.ru_utime + used.ru_stime, 2)})


def inside(work: Callable[[], dict[str, Any]], seconds: float, answer: Path) -> None:
    """Do the work in the child; nothing of it goes on in the parent's code."""
    try:
        os.setsid()
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        log = os.open(answer.with_suffix(".log"), os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        for number in (1, 2):
            os.dup2(log, number)
        whole = int(seconds) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (whole, whole + 5))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        told = work()
        part = answer.with_suffix(".part")
        part.write_text(json.dumps(told), encoding="utf-8")
        part.rename(answer)
    except BaseException:
        traceback.print_exc()
        sys.stderr.flush()
    finally:
        os._exit(0)


def run_tests(files: list[str], plugin: object, changed: Changed | None = None) -> int:
    """Run test files under a plugin, with one module changed; the exit code of pytest."""
    hypothesis.settings.load_profile("mutation")
    os.chdir(ROOT)
    # cosmic-ray's exception replacer names it
    vars(builtins)["CosmicRayTestingException"] = type(
        "CosmicRayTestingException", (Exception,), {}
    )
    if changed is not None:
        sys.meta_path.insert(0, changed)
    return int(pytest.main([*WORDS, *files], plugins=[plugin]))


class Chosen:
    """Plugin: keep and order the chosen tests, stop at the first that fails, and name it."""

    def __init__(self, tests: list[str]) -> None:
        self.place = {test: n for n, test in enumerate(tests)}
        self.failed, self.passed = "", 0

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_collection_modifyitems(self, items: list[Any]) -> Iterator[None]:
        """Order the tests as told, after every other order; all others are left out."""
        yield
        items[:] = sorted(
            (item for item in items if item.nodeid in self.place),
            key=lambda item: self.place[item.nodeid],
        )

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Count, and remember the first failure."""
        if report.failed and not self.failed:
            self.failed = report.nodeid
        self.passed += report.when == "call" and report.passed

"""Which test runs which line of the modules, and how long it takes: a mutant meets its likely killers.

Kept beside the results, never committed: ``run.py`` learns it anew for files that are new or changed.
Answers that a room remembers (``functools.cache``) are worked out in the first test that asks: a later
test of the file is not seen to run those lines.
"""

from __future__ import annotations

import hashlib
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from mutation.forked import Children, run_tests
from mutation.mutants import ROOT, SOURCE, modules

TESTS = ROOT / "tests"
# Rooms whose tests work out answers of the modules in their own process: those of pages, commands and
# browsers take long and see little more; those that read sources see no changed module.
ROOMS = (
    *("estimation", "followup", "interpretation", "measuring", "records", "results", "session"),
    *("standards", "tables", "screening/before"),
)
FILES = ("screening/test_group_summary.py",)
LONGEST = 25  # seconds of processor time in which a file is mapped; what comes later is not used
IMPORTED = "imported"  # lines that run while a file is collected
Trace = Any


@dataclass
class Mapped:
    """What a test file runs: by test the seconds it takes, and by module its lines as bits."""

    digest: str
    loading: float = 0.0
    tests: dict[str, dict[str, Any]] = field(default_factory=dict)

    def runs(self, test: str, module: str, lines: range) -> bool:
        """Say whether a test runs one of the lines of a module."""
        wanted = (1 << len(lines)) - 1 << lines.start
        return bool(bits_of(self.tests[test]["lines"].get(module, "0")) & wanted)


@cache
def bits_of(text: str) -> int:
    """Lines as they are kept."""
    return int(text, 16)


class Tracer:
    """Notes every line of the modules that runs; other code is not followed."""

    def __init__(self) -> None:
        self.names = {str(path): path.relative_to(SOURCE).as_posix() for path in modules()}
        self.seen: dict[str, set[int]] = {}
        self.local = {path: self._of(name) for path, name in self.names.items()}

    def _of(self, name: str) -> Trace:
        def line(frame: FrameType, event: str, arg: object) -> Trace:
            self.seen.setdefault(name, set()).add(frame.f_lineno)
            return line

        return line

    def __call__(self, frame: FrameType, event: str, arg: object) -> Trace:
        return self.local.get(frame.f_code.co_filename)

    def taken(self) -> dict[str, str]:
        """Return the lines seen since the last time, as bits."""
        seen, self.seen = self.seen, {}
        return {
            name: hex(sum(1 << line for line in lines))[2:] for name, lines in sorted(seen.items())
        }


class Mapping:
    """Plugin: follow every test on its own."""

    def __init__(self) -> None:
        self.tracer, self.started = Tracer(), time.process_time()
        self.tests: dict[str, dict[str, Any]] = {}
        self.failed: set[str] = set()
        self.loading = 0.0
        sys.settrace(self.tracer)

    def pytest_collection_finish(self) -> None:
        """What ran so far ran while files were imported."""
        sys.settrace(None)
        self.loading = time.process_time() - self.started
        self.tests[IMPORTED] = {"seconds": 0.0, "lines": self.tracer.taken()}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: Any) -> Iterator[None]:
        """Follow one test with what it sets up."""
        if time.process_time() - self.started > LONGEST:
            item.session.shouldstop = "enough"
        begun = time.process_time()
        sys.settrace(self.tracer)
        try:
            return (yield)
        finally:
            sys.settrace(None)
            seconds = round(time.process_time() - begun, 3)
            self.tests[item.nodeid] = {"seconds": seconds, "lines": self.tracer.taken()}

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Leave out tests that fail or are skipped without any change."""
        if not report.passed:
            self.failed.add(report.nodeid)

    def told(self) -> dict[str, Any]:
        """What the file runs, without tests that come to no line of the modules."""
        tests = {
            name: one
            for name, one in self.tests.items()
            if one["lines"] and name not in self.failed
        }
        return {"loading": round(self.loading, 2), "tests": tests}


def files() -> list[Path]:
    """The test files that can be chosen from."""
    found = {path for room in ROOMS for path in (TESTS / room).rglob("test_*.py")}
    return sorted(found | {TESTS / name for name in FILES})


def digest_of(path: Path) -> str:
    """Tell a file from its next version."""
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


class Covering:
    """The map of all files, kept in a folder."""

    def __init__(self, folder: Path) -> None:
        self.place = folder / "covering.json"
        kept = json.loads(self.place.read_text("utf-8")) if self.place.exists() else {}
        self.files = {name: Mapped(**one) for name, one in kept.items()}

    def stale(self) -> list[Path]:
        """Files that are new or changed."""
        return [
            path
            for path in files()
            if (known := self.files.get(path.relative_to(ROOT).as_posix())) is None
            or known.digest != digest_of(path)
        ]

    def learn(self, children: Children, paths: list[Path], ends: float) -> None:
        """Map files until the time is over."""
        for path in paths:
            if time.monotonic() > ends:
                break
            children.start(
                lambda p=path: mapped(p), 3 * LONGEST, lambda s, t, p=path: self.add(p, t)
            )
        children.finish()
        self.save()

    def add(self, path: Path, told: dict[str, Any]) -> None:
        """Keep what a child told of a file."""
        name = path.relative_to(ROOT).as_posix()
        print(f"{name}: {len(told.get('tests', ()))} tests, {told['processor']:.1f} s", flush=True)
        self.files[name] = Mapped(digest_of(path), told.get("loading", 0.0), told.get("tests", {}))

    def save(self) -> None:
        """Write all that is known of files that are still there."""
        names = {path.relative_to(ROOT).as_posix() for path in files()}
        kept = {name: vars(one) for name, one in self.files.items() if name in names}
        self.place.write_text(json.dumps(kept), encoding="utf-8")


def mapped(path: Path) -> dict[str, Any]:
    """Map one file, in the child."""
    plugin = Mapping()
    run_tests([str(path)], plugin)
    return plugin.told()

"""Mutation testing of the kernel and the session: ``PYTHON tests/mutation/run.py --minutes 8``.

Small changes are made to the source, one at a time; a test should notice each. cosmic-ray makes them. It
is no library of foldspan, its extras or its tests: have it in an environment of its own, from the top::

    python3 -m venv build/mutation/venv
    build/mutation/venv/bin/pip install -e '.[test]' 'cosmic-ray==8.7.0'
    build/mutation/venv/bin/python tests/mutation/run.py --minutes 8

First it learns which test runs which line (``covering.py``). Then it draws the mutants and tries each
against the tests that run its line: a few seconds of them, and up to a minute where the mutant survives.
After the time given it stops and keeps what it has; the next run goes on. ``--survivors`` tries again
those that survived. A mutant that takes far longer than its tests is killed by time. Results are kept
as long as the line and the function of a mutant stay as they are; delete the folder to begin anew.
docs/mutation.md says what came out, ``survivors.toml`` why some were left alive.
"""

from __future__ import annotations

import argparse
import json
import pickle
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(HERE.parent)]

from mutation.choosing import Selection, chosen  # noqa: E402
from mutation.covering import Covering, digest_of  # noqa: E402
from mutation.forked import Changed, Children, Chosen, load_libraries, run_tests  # noqa: E402
from mutation.mutants import (  # noqa: E402
    Mutant,
    digest,
    drawn,
    is_python,
    modules,
    mutants_of,
    mutated,
)
from mutation.survivors import difference, listed  # noqa: E402

SEED, NUMBER = 20261130, 300
KILLED = ("killed", "killed by time")


def trial(mutant: Mutant | None, selection: Selection) -> dict[str, Any]:
    """Try a mutant, or the unchanged source, against a selection; runs in a child."""
    changed = Changed(mutant.module, mutated(mutant)) if mutant else None
    plugin = Chosen(selection.tests)
    code = run_tests(["-x", *selection.files], plugin, changed)
    if code > 2 or (not code and plugin.passed == 0):
        raise RuntimeError("no test was run")  # told as a child without an answer
    return {"code": code, "by": plugin.failed, "passed": plugin.passed}


class Run:
    """All trials of a run, and what they came to."""

    def __init__(self, given: argparse.Namespace) -> None:
        self.given, self.folder = given, given.folder
        self.children = Children(given.workers, self.folder / "answers")
        self.covering = Covering(self.folder)
        self.place = self.folder / "results.json"
        self.results: dict[str, dict[str, Any]] = (
            json.loads(self.place.read_text("utf-8")) if self.place.exists() else {}
        )
        self.ends = time.monotonic() + 60 * given.minutes

    def go(self) -> int:
        """Learn the map, try what is not yet tried, and tell."""
        sample = self.sample()
        load_libraries()
        if stale := self.covering.stale():
            self.covering.learn(self.children, stale, self.ends)
        if not self.covering.stale():
            for mutant in sample:
                if time.monotonic() > self.ends:
                    break
                if self.is_wanted(mutant):
                    self.first(mutant)
            self.children.finish()
        self.save()
        known = {one.name for one in listed()}
        for mutant in sample:
            came = self.results.get(mutant.name, {}).get("came", "not tried")
            if came not in (*KILLED, "not tried"):
                words = "listed" if mutant.name in known else came
                print(f"\n{mutant.name} {mutant.module}:{mutant.line} {mutant.function}: {words}")
                print(difference(mutant))
        print(summary([self.results.get(one.name, {}) for one in sample]))
        return 0

    def sample(self) -> list[Mutant]:
        """The mutants drawn, kept while the modules and this folder stay as they are."""
        digests = [digest_of(path) for path in (*modules(), HERE / "mutants.py")]
        place = self.folder / f"sample_{digest(NUMBER, SEED, *digests)[:16]}.pickle"
        if not place.exists():
            every = [one for path in modules() for one in mutants_of(path)]
            place.write_bytes(pickle.dumps(drawn(every, NUMBER, SEED, is_python)))
        sample: list[Mutant] = pickle.loads(place.read_bytes())
        return sample

    def control(self) -> int:
        """Run every test that killed a mutant on the unchanged source: none may fail."""
        load_libraries()
        killers: dict[str, set[str]] = {}
        for one in self.results.values():
            if (ROOT / one["by"].split("::")[0]).is_file():
                killers.setdefault(one["module"], set()).add(one["by"])
        failed: list[str] = []
        for tests in map(sorted, killers.values()):
            files = sorted({test.split("::")[0] for test in tests})
            selection = Selection(tests, files)
            note = lambda s, t: failed.append(t.get("by", "?")) if t.get("code", 1) else None  # noqa: E731
            self.children.start(lambda one=selection: trial(None, one), 300, note)
        self.children.finish()
        print(f"{sum(map(len, killers.values()))} killers on the unchanged source: failed {failed}")
        return 1 if failed else 0

    def is_wanted(self, mutant: Mutant) -> bool:
        """Say whether a mutant is to be tried in this run."""
        if self.given.only and not mutant.module.startswith(tuple(self.given.only)):
            return False
        known = self.results.get(mutant.name)
        return known is None or (self.given.survivors and known["came"] not in KILLED)

    def first(self, mutant: Mutant) -> None:
        """Begin with the first selection."""
        tests = chosen(mutant, self.covering)
        if not tests.first.tests:
            self.note(mutant, "not reached", {"passed": 0}, 0)
            return

        rest = 0 if self.given.quick else len(tests.second.tests)
        left = tests.left + len(tests.second.tests) - rest

        def second(status: int, told: dict[str, Any]) -> None:
            if self.survived(mutant, status, told, left) and rest:
                more = lambda s, t: self.survived(mutant, s, t, left)  # noqa: E731
                self.begin(mutant, tests.second, more)

        self.begin(mutant, tests.first, second)

    def begin(self, mutant: Mutant, selection: Selection, done: Any) -> None:
        """Start a trial that may take some times what its tests take without a change."""
        self.children.start(lambda: trial(mutant, selection), 20 + 3 * selection.seconds, done)

    def survived(self, mutant: Mutant, status: int, told: dict[str, Any], left: int) -> bool:
        """Note what a trial came to; True if the mutant is alive."""
        if "code" not in told:
            came = "killed by time" if status & 0x7F else "no answer"
        else:
            came = "killed" if told["code"] else "survived"
        self.note(mutant, came, told, left)
        return came == "survived"

    def note(self, mutant: Mutant, came: str, told: dict[str, Any], left: int) -> None:
        """Keep one result, and write all now and then."""
        before = self.results.get(mutant.name, {}) if came == "survived" else {}
        self.results[mutant.name] = {
            **{"came": came, "module": mutant.module, "line": mutant.line},
            **{"operator": mutant.operator, "function": mutant.function, "source": mutant.source},
            **{"by": told.get("by", ""), "processor": told.get("processor", 0.0), "left": left},
            "passed": told.get("passed", 0) + before.get("passed", 0),
        }
        print(f"{mutant.name} {mutant.module}:{mutant.line} {mutant.operator} {came}", flush=True)
        if len(self.results) % 20 == 0:
            self.save()

    def save(self) -> None:
        """Write all results."""
        text = json.dumps(self.results, indent=1, ensure_ascii=False)
        self.place.write_text(text + "\n", encoding="utf-8")


def summary(results: list[dict[str, Any]]) -> str:
    """Count by module what became of the mutants."""
    ways = ("killed", "killed by time", "survived", "not reached", "no answer", "not tried")
    counts: dict[str, Counter[str]] = {}
    for one in results:
        came = one.get("came", "not tried")
        for row in (one.get("module", "?"), "all"):
            counts.setdefault(row, Counter())[came] += 1
    lines = ["".join((f"{'module':44}", *(f"{way:>16}" for way in ways)))]
    lines += [
        "".join((f"{row:44}", *(f"{counts[row][way]:16}" for way in ways)))
        for row in sorted(counts, key=lambda name: (name == "all", name))
    ]
    tried = counts["all"].total() - counts["all"]["not tried"]
    dead = sum(counts["all"][way] for way in KILLED)
    return "\n".join([*lines, f"{dead} of {tried} killed ({100 * dead / max(tried, 1):.1f}%)"])


def main() -> int:
    """Read the options, and run."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--minutes", type=float, default=8, help="of the clock; then it stops")
    parser.add_argument("--workers", type=int, default=2, help="processes")
    parser.add_argument("--quick", action="store_true", help="only the first few seconds of tests")
    parser.add_argument("--survivors", action="store_true", help="try again what survived")
    parser.add_argument(
        "--control", action="store_true", help="run what killed a mutant on the unchanged source"
    )
    parser.add_argument("--only", action="append", help="modules that begin so; can be repeated")
    parser.add_argument(
        "--folder", type=Path, default=ROOT / "build" / "mutation", help="where results are kept"
    )
    given = parser.parse_args()
    return Run(given).control() if given.control else Run(given).go()


if __name__ == "__main__":
    sys.exit(main())

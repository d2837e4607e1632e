"""Mutated inputs of six kinds for a given time: ``.venv/bin/python tests/fuzz/run.py --seconds 120``.

Time is shared fairly among the kinds. The seeds are kept (``seeds.toml``), so every run begins with the
same cases and comes as far as its time allows. What fails is written to a file beside what to do with
it; the run goes on, and ends with 1.
"""

from __future__ import annotations

import argparse
import faulthandler
import multiprocessing
import os
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import FrameType
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "house")]
# nobody's own settings may move a case, and one client needs no threads
os.environ["FOLDSPAN_SETTINGS"] = ""
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from fuzz.cases import (  # noqa: E402
    KINDS,
    Case,
    draw_for,
    in_memory,
    kind_of,
    nothing_aside,
    seeds,
    tried_alone,
)

LONGEST = 60  # seconds of processor time for one case
WAITING = 400  # cases that wait for others are answered after so many
TO_DO = """{kind}, seed {seed}, number {number}: {name}

Again:   .venv/bin/python tests/fuzz/run.py --kind {kind} --seed {seed} --number {number}
A file:  .venv/bin/python tests/fuzz/run.py --kind {kind} --file FILE

1. Make the input as small as it can be while it still fails, and look for the fault in the program.
2. Move it to tests/fuzz/corpus/{kind}/, with a line in tests/fuzz/corpus/index.toml on what went wrong.
3. Mend the program; tests/fuzz/test_corpus.py holds it from then on.

{trace}"""


@dataclass
class Share:
    """What a kind has come to in one process."""

    cases: int = 0
    came: Counter[str] = field(default_factory=Counter)
    seconds: float = 0.0
    last: int = -1
    faults: dict[str, str] = field(default_factory=dict)


@contextmanager
def limited() -> Iterator[None]:
    """A case that takes far too long fails; one that waits for ever ends the process by its name."""

    def late(signum: int, frame: FrameType | None) -> None:
        raise TimeoutError(f"more than {LONGEST} s of processor time")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    faulthandler.dump_traceback_later(20 * LONGEST, exit=True)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        faulthandler.cancel_dump_traceback_later()
        signal.signal(signal.SIGPROF, before)


class Worker:
    """Draws cases and tries them; the kind that had the least time so far comes next."""

    def __init__(self, kinds: Sequence[str], seed: int | None, found: Path, at: Any) -> None:
        kept = seeds()
        self.seed_of = {kind: kept[kind] if seed is None else seed for kind in kinds}
        self.shares = {kind: Share() for kind in kinds}
        self.found, self.at = found, at

    def run(self, place: int, workers: int, seconds: float) -> dict[str, Share]:
        """Go on until the time is over, each process from its own place on."""
        ends, turn = time.monotonic() + seconds, dict.fromkeys(self.shares, place)
        while time.monotonic() < ends:
            kind = min(self.shares, key=lambda kind: self.shares[kind].seconds)
            self.try_case(kind, turn[kind])
            turn[kind] += workers
        for kind in self.shares:
            self.finish(kind)
        return self.shares

    def try_case(self, kind: str, number: int) -> None:
        """Draw a case and try it."""
        share, module = self.shares[kind], kind_of(kind)
        self.at[0], self.at[1] = KINDS.index(kind), number
        start, case = time.process_time(), Case("not_drawn", b"", number=number)
        try:
            with tempfile.TemporaryDirectory(dir=in_memory()) as folder, limited(), nothing_aside():
                draw = draw_for(kind, self.seed_of[kind], number)
                case = replace(module.drawn(draw, number), number=number)
                share.came[module.tried(case, Path(folder))] += 1
        except Exception as error:
            self.fault(kind, case, error)
        share.cases, share.last = share.cases + 1, number
        if share.cases % WAITING == 0:
            self.finish(kind)
        share.seconds += time.process_time() - start

    def finish(self, kind: str) -> None:
        """Answer what waits."""
        with nothing_aside():
            for case, error in getattr(kind_of(kind), "finished", list)():
                self.fault(kind, case, error)

    def fault(self, kind: str, case: Case, error: Exception) -> None:
        """Write a case that failed to a file; another that fails at the same place only counts."""
        share = self.shares[kind]
        share.came["FAULT"] += 1
        where = place_of(error)
        if where not in share.faults:
            share.faults[where] = written(self.found, kind, self.seed_of[kind], case, error)


def place_of(error: BaseException) -> str:
    """Kind and place of a fault, the last two calls."""
    calls = traceback.extract_tb(error.__traceback__)[-2:]
    return f"{type(error).__name__} at " + ", ".join(
        f"{Path(c.filename).name}:{c.lineno}" for c in calls
    )


def written(found: Path, kind: str, seed: int, case: Case, error: BaseException | None) -> str:
    """Write a case beside what to do with it; returns where, and what went wrong."""
    folder = found / f"{kind}_{seed}_{case.number}"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / case.name).write_bytes(case.data)
    trace = "the process ended" if error is None else "".join(traceback.format_exception(error))
    details = {"kind": kind, "seed": seed, "number": case.number, "name": case.name, "trace": trace}
    (folder / "WHAT_TO_DO.txt").write_text(TO_DO.format(**details), encoding="utf-8")
    why = "the process ended" if error is None else f"{place_of(error)}: {str(error)[:160]!r}"
    return f"{kind}, seed {seed}, number {case.number}: {why}\n  {folder / case.name}"


def process(place: int, given: argparse.Namespace, at: Any, answers: Any) -> None:
    """One process of a run."""
    os.fsync = lambda file: None
    worker = Worker(given.kind or KINDS, given.seed, given.found, at)
    answers.put(worker.run(place, given.workers, given.seconds))


def run_all(given: argparse.Namespace) -> int:
    """Run for the time given in several processes; prints a line a kind, and every fault."""
    context = multiprocessing.get_context("spawn")
    answers, shares, faults = context.Queue(), [], []
    places = [context.Array("q", [0, 0]) for _ in range(given.workers)]
    running = [
        context.Process(target=process, args=(n, given, at, answers)) for n, at in enumerate(places)
    ]
    for worker in running:
        worker.start()
    waiting = set(range(len(running)))
    while waiting:
        while not answers.empty():
            shares.append(answers.get())
        for n in sorted(waiting):
            running[n].join(0.2)
            if running[n].exitcode is None:
                continue
            waiting.discard(n)
            if running[n].exitcode:
                faults.append(broken_off(given, *places[n]))
    while len(shares) + len(faults) < len(running):
        shares.append(answers.get(timeout=60))
    for kind in given.kind or KINDS:
        of_kind = [share[kind] for share in shares]
        print(line_of(kind, of_kind))
        faults += list(
            {where: said for share in of_kind for where, said in share.faults.items()}.values()
        )
    for said in faults:
        print(f"FAULT {said}")
    return 1 if faults else 0


def broken_off(given: argparse.Namespace, kind_at: int, number: int) -> str:
    """Write the case at which a process ended without a word."""
    kind = KINDS[kind_at]
    seed = seeds()[kind] if given.seed is None else given.seed
    case = replace(kind_of(kind).drawn(draw_for(kind, seed, number), number), number=number)
    return written(given.found, kind, seed, case, None)


def line_of(kind: str, shares: Sequence[Share]) -> str:
    """What a kind came to in all processes; every case up to the last number was tried."""
    came = sum((share.came for share in shares), Counter[str]())
    seconds, cases = sum(share.seconds for share in shares), sum(share.cases for share in shares)
    last = min((share.last for share in shares), default=-1)
    failed = f", {came['FAULT']} FAILED" if came["FAULT"] else ""
    return (
        f"{kind:9}{cases:7} cases, {came['refused']:6} refused, {came['read']:6} read{failed},"
        f" {seconds:6.1f} s, last number {last}"
    )


def run_single_case(given: argparse.Namespace) -> int:
    """Try one case, of a number or from a file; what fails is shown."""
    (kind,) = given.kind
    if given.file:
        case = Case(given.file.name, given.file.read_bytes())
    else:
        seed = seeds()[kind] if given.seed is None else given.seed
        case = kind_of(kind).drawn(draw_for(kind, seed, given.number), given.number)
    with tempfile.TemporaryDirectory() as folder:
        print(f"{case.name}: {tried_alone(kind, case, Path(folder))}")
    return 0


def main() -> int:
    """Read the options, and run."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seconds", type=float, default=150, help="of the clock")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="processes")
    parser.add_argument("--kind", action="append", choices=KINDS, help="only this; can be repeated")
    parser.add_argument("--seed", type=int, help="instead of those in seeds.toml")
    parser.add_argument("--number", type=int, help="only this case of one --kind")
    parser.add_argument("--file", type=Path, help="this input of one --kind")
    parser.add_argument(
        "--found", type=Path, default=ROOT / "build" / "fuzz", help="where faults go"
    )
    given = parser.parse_args()
    is_single_case = given.file is not None or given.number is not None
    if is_single_case and len(given.kind or ()) != 1:
        parser.error("name one --kind")
    return run_single_case(given) if is_single_case else run_all(given)


if __name__ == "__main__":
    sys.exit(main())

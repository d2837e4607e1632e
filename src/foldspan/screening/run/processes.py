"""Processes: parts of a table worked on by several processes, their answers in the parts' order."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_all_start_methods, get_context, parent_process
from multiprocessing.context import BaseContext
from typing import TypeVar

from foldspan.problems import FoldspanError, Problem

Part = TypeVar("Part")
Answer = TypeVar("Answer")
# parts that may wait for a worker: enough to keep all busy, few enough to keep the memory small
AHEAD = 1
# bytes of a table that one process is through with, as a rule, before others would have started
SMALL = 1 << 21


def usual_workers(path: str) -> int:
    """Return how many processes suit a table: one if it is small, else as many as processors."""
    if os.path.isfile(path) and os.path.getsize(path) < SMALL:
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def get_ready(workers: int) -> None:
    """Load what workers need in a process of its own, while this one goes on; see ``in_order``.

    For a process that belongs to the command: all it starts by the same way later on has a pyarrow that
    does without pandas, and leaves an interruption to this one.
    """
    if workers < 2 or "forkserver" not in get_all_start_methods():
        return
    from multiprocessing import forkserver, resource_tracker  # not on every system

    # the command's own module too: every worker looks at it before it starts
    get_context("forkserver").set_forkserver_preload(
        ["foldspan.screening.run.worker", "foldspan.cli"]
    )
    resource_tracker.ensure_running()  # else it would be started below, and lift the block
    with _environment_of_workers(), _interruption_later():
        forkserver.ensure_running()


def in_order(
    work: Callable[[Part], Answer], parts: Iterable[Part], workers: int
) -> Iterator[Answer]:
    """Yield what ``work`` makes of each part, in the order of the parts.

    Raises
    ------
    FoldspanError
        E303 where a worker was stopped from outside; nothing is yielded twice or left out before that.
    """
    if workers < 2:
        yield from map(work, parts)
        return
    with _pool(workers) as pool:
        waiting: deque[Future[Answer]] = deque()
        try:
            for part in parts:
                waiting.append(pool.submit(work, part))
                if len(waiting) >= workers + AHEAD:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        except BrokenProcessPool:
            what = "a worker process was stopped, by the system or by hand"
            remedy = (
                "Nothing unfinished was saved. Try again, with fewer --workers if memory was short."
            )
            raise FoldspanError([Problem("E303", "screen", what, remedy)]) from None


@contextmanager
def _pool(workers: int) -> Iterator[ProcessPoolExecutor]:
    """Processes that leave an interruption to the one that leads them."""
    with _environment_of_workers():
        pool = ProcessPoolExecutor(workers, mp_context=_context(), initializer=_start)
        try:
            yield pool
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
        else:
            pool.shutdown()


@contextmanager
def _environment_of_workers() -> Iterator[None]:
    before = {name: os.environ.get(name) for name in _FOR_WORKERS}
    os.environ.update(_FOR_WORKERS)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


@contextmanager
def _interruption_later() -> Iterator[None]:
    """What starts meanwhile is not reached by an interruption; this process is, a moment later."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


# The processes share the processors: no threads besides. Memory that one part has freed stays at hand
# for the next one (read by the C library of Linux): giving it back and taking it again costs a tenth.
_FOR_WORKERS = {
    "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "ARROW_IO_THREADS": "1",
    "MALLOC_TRIM_THRESHOLD_": str(1 << 28), "MALLOC_MMAP_THRESHOLD_": str(1 << 25),
}  # fmt: skip


def _context() -> BaseContext:
    """How processes start: as copies of one that has loaded everything once, where there is that way.

    Never as copies of this one, whose threads a copy would lack.
    """
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(["foldspan.screening.run.library_worker"])
    return context


def _start() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_leader, daemon=True).start()


def _end_with_leader() -> None:
    """End this process with the one that leads it: nobody would take its answers."""
    leader = parent_process()
    if leader is not None:
        leader.join()
        os._exit(1)

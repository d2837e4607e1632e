"""Cluster: the parts of a folder worked on by a Dask cluster; needs ``foldspan[cluster]``.

A worker that is lost is the scheduler's business: its part goes to another one. A scheduler that is lost
forgets what it was given, so the parts that are not answered for are given to it again when it is back;
those whose result is whole by then are not worked on a second time.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from typing import Any

from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.run.partitioned import Mapper, PartDone, PartJob

# a part whose worker is lost is given to another one, so many times
TRIES = 3
LOCAL = "local"
# how long a scheduler may be away, or be without workers, before the run stops [s]
PATIENCE = 120.0
# between two looks at whether there are workers, and for a scheduler to answer [s]
LOOK, ANSWER = 2.0, 5.0
GO_ON = "Finished parts are kept. Start scheduler and workers, then continue with --resume."

Work = Callable[[PartJob], PartDone]


class _SchedulerLost(Exception):
    """The scheduler is gone, and with it every part it was given."""


@contextmanager
def cluster_mapper(scheduler: str, workers: int) -> Iterator[Mapper]:
    """Yield a mapper over the workers of a scheduler, or of a cluster on this machine.

    Parameters
    ----------
    scheduler : str
        Address such as ``tcp://host:8786``, or ``local``.
    workers : int
        Processes of a local cluster.

    Raises
    ------
    FoldspanError
        E309 where Dask is not installed; E303 where the scheduler does not answer, its workers kept
        stopping, or it or all of its workers were away for longer than ``PATIENCE``.
    """
    require("cluster")
    from distributed import LocalCluster

    cluster = None
    try:
        if scheduler == LOCAL:
            cluster = LocalCluster(
                n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
            )
        given = _Given(scheduler if cluster is None else cluster.scheduler_address)
    except (OSError, ValueError):
        remedy = "Check the address, and that the scheduler is running there."
        raise _stop("no scheduler answers there", remedy) from None
    try:
        yield given.answers
    finally:
        given.close()
        if cluster is not None:
            cluster.close()


class _Given:
    """Parts that were given to a scheduler, and who asks for them."""

    def __init__(self, address: str) -> None:
        self._address = address
        self._connect()

    def answers(self, work: Work, jobs: Iterable[PartJob]) -> Iterator[PartDone]:
        """Yield the result of each part, in the order of the parts."""
        left, in_vain = list(jobs), 0
        while left:
            answered = 0
            try:
                for done in self._once(work, left):
                    answered += 1
                    yield done
                return
            except _SchedulerLost:
                in_vain = 0 if answered else in_vain + 1
                if in_vain > TRIES:
                    raise _stop("the scheduler kept stopping", GO_ON) from None
                left = [replace(job, again=True) for job in left[answered:]]
                self._come_back()

    def _once(self, work: Work, jobs: list[PartJob]) -> Iterator[PartDone]:
        """Submit all parts; yield their results until the scheduler is lost."""
        from distributed import KilledWorker

        with _lost_where_it_breaks():
            futures = self._client.map(work, jobs, pure=False, retries=TRIES)
        for future in futures:
            try:
                done = self._answer(future)
            except KilledWorker:
                what = "the workers kept stopping"
                raise _stop(
                    what, "Check the workers' memory, then continue with --resume."
                ) from None
            yield done
            future.release()

    def _answer(self, future: Any) -> PartDone:
        """Wait for one result, for as long as there are workers to produce it."""
        from distributed import TimeoutError as NotYet

        seen = time.monotonic()
        while True:
            with _lost_where_it_breaks(future):
                try:
                    done: PartDone = future.result(timeout=LOOK)
                    return done
                except NotYet:
                    if future.status == "error":  # told by the part itself
                        raise
                if self._client.status != "running" or self._id() != self._known:
                    raise _SchedulerLost  # or another one is in its place, which knows of nothing
                if self._client.nthreads():
                    seen = time.monotonic()
            if time.monotonic() - seen > PATIENCE:
                raise _stop(f"no worker came within {PATIENCE:.0f} seconds", GO_ON)

    def _come_back(self) -> None:
        """Wait until there is a scheduler again."""
        last = time.monotonic() + PATIENCE
        # it tries by itself for a while, and what it opens then would stay open
        while self._client.status == "connecting" and time.monotonic() < last:
            time.sleep(0.02)
        self.close()
        while True:
            try:
                self._connect()
                return
            except OSError:
                if time.monotonic() > last:
                    what = f"was lost, and did not come back within {PATIENCE:.0f} seconds"
                    raise _stop(what, GO_ON) from None
                time.sleep(0.2)

    def _connect(self) -> None:
        from distributed import Client

        self._client = Client(self._address, timeout=ANSWER)
        self._known = self._id()

    def _id(self) -> str:
        """Which scheduler it is: one that was started anew has another number."""
        return str(self._client.scheduler_info().get("id"))

    def close(self) -> None:
        """Take leave of the scheduler."""
        with suppress(OSError, asyncio.TimeoutError):
            self._client.close()


@contextmanager
def _lost_where_it_breaks(future: Any = None) -> Iterator[None]:
    """Tell by one error of our own that the scheduler is gone, which Dask tells by several.

    What a part itself raised stays as it is.
    """
    from distributed import CancelledError

    try:
        yield
    except (CancelledError, asyncio.CancelledError, OSError):
        if future is not None and future.status == "error":
            raise
        raise _SchedulerLost from None


def _stop(what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem("E303", "--scheduler", what, remedy)])

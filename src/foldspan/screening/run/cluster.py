"""Cluster: the parts of a folder worked on by a Dask cluster; needs ``foldspan[cluster]``."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from foldspan.extras import require
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.run.partitioned import Mapper, PartDone, PartJob

# a part whose worker is lost is given to another one, so many times
TRIES = 3
LOCAL = "local"


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
        E309 where Dask is not installed; E303 where the scheduler does not answer, or its workers were
        lost.
    """
    require("cluster")
    from distributed import Client, KilledWorker, LocalCluster

    try:
        if scheduler == LOCAL:
            cluster = LocalCluster(
                n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
            )
            client = Client(cluster)
        else:
            cluster, client = None, Client(scheduler, timeout="5s")
    except (OSError, ValueError):
        remedy = "Check the address, and that the scheduler is running there."
        raise _stop("no scheduler answers there", remedy) from None

    def mapper(work: Callable[[PartJob], PartDone], jobs: Iterable[PartJob]) -> Iterator[PartDone]:
        futures = client.map(work, list(jobs), pure=False, retries=TRIES)
        try:
            for future in futures:
                yield future.result()
                future.release()
        except KilledWorker:
            what = "the workers kept stopping"
            raise _stop(what, "Check their memory, then continue with --resume.") from None

    try:
        yield mapper
    finally:
        client.close()
        if cluster is not None:
            cluster.close()


def _stop(what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem("E303", "--scheduler", what, remedy)])

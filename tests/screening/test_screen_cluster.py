"""A folder of parts on real local clusters: a worker killed in mid-run, a scheduler started anew.

Or not started again: then the run stops, and another one goes on.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.reference.population import reference_people
from foldspan.screening.run import cluster as cluster_of_parts
from foldspan.screening.run import partitioned
from screening.served import Served

PARTS, ROWS = 12, 3000
INPUTS = ("age_years", "weight_kg", "height_cm", "waist_midpoint_cm", "triceps_mm")


@pytest.fixture(autouse=True, scope="module")
def workers_are_copies() -> Iterator[None]:
    """Workers are copies of one process that has the cluster library loaded, where there is that way."""
    import dask

    way = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"
    with dask.config.set({"distributed.worker.multiprocessing-method": way}):
        import distributed  # noqa: F401 - it asks once, when it is loaded

        yield


@pytest.fixture(autouse=True, scope="module")
def sockets_are_gone() -> Iterator[None]:
    """The cluster library leaves closing its sockets to the collection of garbage.

    That is done here, so that no later test, nor the end of the session, tells of them.
    """
    yield
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        gc.collect()


pytestmark = [
    # the cluster's own processes and ports are closed a little after the test
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of parts: women drawn from the reference people."""
    folder = tmp_path_factory.mktemp("table") / "parts"
    folder.mkdir()
    people = reference_people("female")
    rng = np.random.default_rng(5)
    for number in range(PARTS):
        drawn = rng.integers(0, people["weight_kg"].size, ROWS)
        columns = {name: np.round(people[name][drawn], 1) for name in INPUTS}
        columns["code"] = np.array([f"W-{number}-{row}" for row in range(ROWS)])
        table = pa.table(columns).append_column("sex", pa.array(["female"] * ROWS))
        pq.write_table(table, folder / f"part-{number}.parquet")
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@dataclass(frozen=True)
class Alone:
    """What one process makes of the parts: the folder of the result, its list, its summary."""

    folder: Path
    listed: Path
    summary: foldspan.Screening


@pytest.fixture(scope="module")
def alone(parts: Path, tmp_path_factory: pytest.TempPathFactory) -> Alone:
    out = tmp_path_factory.mktemp("alone")
    folder, listed = out / "parts", out / "list.csv"
    done = foldspan.screen_table(str(parts), str(folder), referrals=str(listed))
    return Alone(folder, listed, done)


def test_a_cluster_that_loses_a_worker_writes_the_same_bytes(
    parts: Path, alone: Alone, tmp_path: Path
) -> None:
    together, listed = tmp_path / "together", tmp_path / "together.csv"
    killed: list[int] = []
    from distributed import Client, LocalCluster  # takes a second, and few need it

    with (
        LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        Client(cluster) as client,
    ):
        pids = [int(pid) for pid in client.run(os.getpid).values()]

        def kill_one(rows: int, share: float | None) -> None:
            if not killed:
                assert len(list(together.glob("*.parquet"))) < PARTS
                killed.append(pids[0])
                os.kill(pids[0], signal.SIGKILL)

        two = foldspan.screen_table(
            str(parts),
            str(together),
            referrals=str(listed),
            scheduler=cluster.scheduler_address,
            progress=kill_one,
        )
    assert killed
    assert alone.summary.rows == PARTS * ROWS
    assert two.to_dict() == alone.summary.to_dict()
    assert contents(together) == contents(alone.folder)
    assert listed.read_bytes() == alone.listed.read_bytes()


def test_local_starts_a_cluster_of_its_own(parts: Path, alone: Alone, tmp_path: Path) -> None:
    together = tmp_path / "together"
    foldspan.screen_table(str(parts), str(together), scheduler="local", workers=2)
    assert contents(together) == contents(alone.folder)


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    monkeypatch.setattr(cluster_of_parts, "LOOK", 0.1)
    scheduler = Served()
    yield scheduler
    scheduler.close()


@pytest.mark.parametrize("how", ["killed", "closed"])
def test_a_scheduler_started_anew_goes_on_with_the_same_bytes(
    parts: Path, alone: Alone, tmp_path: Path, served: Served, how: str
) -> None:
    """Nothing that is done is worked on again, and nothing is lost."""
    out, listed = tmp_path / "out", tmp_path / "list.csv"
    done_before: dict[str, int] = {}

    def restart(rows: int, share: float | None) -> None:
        if not done_before:
            served.end(how)
            done_before.update({path.name: path.stat().st_ino for path in out.iterdir()})
            assert 0 < len(done_before) < PARTS
            served.start()

    summary = foldspan.screen_table(
        str(parts), str(out), referrals=str(listed), scheduler=served.address, progress=restart
    )
    assert done_before
    assert summary.to_dict() == alone.summary.to_dict()
    assert contents(out) == contents(alone.folder)
    assert listed.read_bytes() == alone.listed.read_bytes()
    now = {path.name: path.stat().st_ino for path in out.iterdir()}
    assert {name: now[name] for name in done_before} == done_before


def test_a_scheduler_that_stays_away_is_told_and_another_run_goes_on(
    parts: Path, alone: Alone, tmp_path: Path, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_of_parts, "PATIENCE", 0.1)
    monkeypatch.setattr(cluster_of_parts, "ANSWER", 0.3)
    out, listed = tmp_path / "out", tmp_path / "list.csv"
    with pytest.raises(FoldspanError, match=r"did not come back.*continue with --resume.*\[E303\]"):
        foldspan.screen_table(
            str(parts), str(out), referrals=str(listed), scheduler=served.address,
            progress=lambda rows, share: served.end(),
        )  # fmt: skip
    kept = contents(out)
    assert 0 < len(kept) < PARTS
    assert kept.items() <= contents(alone.folder).items()
    assert not listed.exists()
    foldspan.screen_table(str(parts), str(out), referrals=str(listed), resume=True)
    assert contents(out) == contents(alone.folder)
    assert listed.read_bytes() == alone.listed.read_bytes()


def test_a_cluster_without_workers_is_told(
    parts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_of_parts, "PATIENCE", 0.1)
    monkeypatch.setattr(cluster_of_parts, "LOOK", 0.05)
    served = Served(workers=0)
    try:
        with pytest.raises(FoldspanError, match=r"no worker came.*\[E303\]"):
            foldspan.screen_table(str(parts), str(tmp_path / "out"), scheduler=served.address)
    finally:
        served.close()


def test_a_worker_of_another_version_is_told(
    parts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else its parts would say that they are of the version of whoever asked."""
    asked = iter(["0.0.1"])  # the one who asks, first; its worker knows its own
    monkeypatch.setattr(partitioned, "version", lambda name: next(asked, foldspan.__version__))
    with pytest.raises(FoldspanError, match=r"a worker has foldspan .* is foldspan 0\.0\.1.*E303"):
        foldspan.screen_table(str(parts), str(tmp_path / "out"))


def test_a_scheduler_that_does_not_answer_is_told(
    parts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_of_parts, "ANSWER", 0.3)
    with pytest.raises(FoldspanError, match=r"no scheduler answers there.*\[E303\]"):
        foldspan.screen_table(
            str(parts), str(tmp_path / "out"), scheduler="tcp://127.0.0.1:1", workers=2
        )


def test_a_scheduler_needs_folders(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    table.write_text("sex,age_years,weight_kg,height_cm\nfemale,41,71.3,168.2\n")
    with pytest.raises(FoldspanError, match=r"from a folder to a folder only.*\[E501\]"):
        foldspan.screen_table(str(table), str(tmp_path / "out.csv"), scheduler="local")

"""Ten million rows in a folder of Parquet, through real clusters of this machine. Run by hand.

One scenario a call; what each measured waits in FOLDER/results.json until ``print`` puts it together:

python tests/benchmarks/bench_cluster.py FOLDER table        # --rows 10000000 --columns 17
python tests/benchmarks/bench_cluster.py FOLDER alone-2      # no cluster, two processes
python tests/benchmarks/bench_cluster.py FOLDER two          # and four, killed, restarted
python tests/benchmarks/bench_cluster.py FOLDER print        # the tables of docs/benchmarks.md

Scheduler and workers are the commands of docs/screening.md, on the loopback address. The results of a
scenario are deleted once their SHA-256 is taken, so the folder holds the table and one result.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

import psutil
import pyarrow.parquet as pq
from bench_screen import COMMAND, SEVENTEEN, invented_table, machine

DASK = [sys.executable, "-m", "dask"]
LOOK = 0.25
# scenario: worker processes of a cluster, processes without one, what happens in the middle
SCENARIOS: dict[str, tuple[int, int, str]] = {
    "alone-1": (0, 1, ""),
    "alone-2": (0, 2, ""),
    "two": (2, 0, ""),
    "four": (4, 0, ""),
    "killed": (2, 0, "a worker is killed"),
    "killed-4": (4, 0, "a worker is killed"),
    "restarted": (2, 0, "the scheduler is killed and started anew"),
    "restarted-4": (4, 0, "the scheduler is killed and started anew"),
}
SHARE = 0.4  # of the parts done when it happens


class Watch:
    """Processes by what they do: the memory they hold (PSS) [MB], and their processor time [s]."""

    def __init__(self) -> None:
        self.roots: list[tuple[str, int]] = []
        self.most: dict[tuple[str, int], float] = defaultdict(float)
        self.spent: dict[tuple[str, int], float] = {}
        self.before: dict[tuple[str, int], float] = {}
        self.workers: set[int] = set()
        self.together = 0.0

    def look(self) -> None:
        """Look at all of them once."""
        together = 0.0
        for role, pid in list(self.roots):
            for place, process in enumerate(family(pid)):
                try:
                    held = process.memory_full_info().pss / 1e6
                    times = process.cpu_times()
                except psutil.Error:
                    continue
                key = (self.role_of(role, process, place), process.pid)
                together += held
                self.most[key] = max(self.most[key], held)
                self.spent[key] = times.user + times.system
        self.together = max(self.together, together)

    def role_of(self, role: str, process: psutil.Process, place: int) -> str:
        """The workers of a cluster are children of what starts them anew; so are trackers.

        One that was killed stays what it was.
        """
        if role == "workers":
            if is_worker(process):
                self.workers.add(process.pid)
            return "worker" if process.pid in self.workers else "keeper of workers"
        if role == "client" and place:
            return "process"
        return role

    def begin(self) -> None:
        """From now on processor time counts: what starting the cluster took is set apart."""
        self.look()
        self.before = dict(self.spent)

    def by_role(self) -> dict[str, dict[str, float]]:
        """For each role: the most that one process held, and the processor time of all."""
        found: dict[str, dict[str, float]] = {}
        for (role, pid), held in self.most.items():
            row = found.setdefault(role, {"megabytes": 0.0, "seconds": 0.0})
            row["megabytes"] = max(row["megabytes"], held)
            key = (role, pid)
            row["seconds"] += self.spent[key] - self.before.get(key, 0.0)
        return found


def family(pid: int) -> list[psutil.Process]:
    try:
        first = psutil.Process(pid)
        return [first, *first.children(recursive=True)]
    except psutil.Error:
        return []


def is_worker(process: psutil.Process) -> bool:
    try:
        return "spawn_main" in " ".join(process.cmdline())
    except psutil.Error:
        return False


class Cluster:
    """A scheduler and its workers, as the page on screening starts them."""

    def __init__(self, folder: Path, workers: int, watch: Watch) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"tcp://127.0.0.1:{self.port}"
        self.folder, self.workers, self.watch = folder, workers, watch
        self.started: list[subprocess.Popen[bytes]] = []
        self.start()

    def start(self) -> None:
        """Start both; the workers come as soon as they can."""
        here = ["--host", "127.0.0.1", "--no-dashboard"]
        self.scheduler = self._run("scheduler", "scheduler", "--port", str(self.port), *here)
        count = ["--nworkers", str(self.workers), "--nthreads", "1"]
        self.keeper = self._run("workers", "worker", self.address, *count, *here)

    def _run(self, role: str, *words: str) -> subprocess.Popen[bytes]:
        log = (self.folder / f"{role}.log").open("ab")
        process = subprocess.Popen([*DASK, *words], stdout=log, stderr=log, cwd=self.folder)
        self.started.append(process)
        self.watch.roots.append((role, process.pid))
        return process

    def ready(self) -> None:
        """Wait until all workers are there."""
        from distributed import Client

        with Client(self.address, timeout="30s", set_as_default=False) as client:
            client.wait_for_workers(self.workers, timeout=60)

    def kill_worker(self) -> None:
        """End one worker, as a machine does that is out of memory."""
        worker = next(process for process in family(self.keeper.pid) if is_worker(process))
        os.kill(worker.pid, signal.SIGKILL)

    def restart(self) -> None:
        """End the scheduler; two seconds later start it anew, and the workers, which end with it."""
        self.scheduler.kill()
        self.scheduler.wait()
        time.sleep(2.0)
        self.start()

    def close(self) -> None:
        """End what was started."""
        for process in reversed(self.started):
            process.terminate()
        for process in self.started:
            process.wait(timeout=60)


def make_table(folder: Path, rows: int, parts: int, columns: int) -> None:
    """Invent a table part by part, no two alike."""
    source = folder / "parts"
    source.mkdir()
    for number in range(parts):
        table = invented_table(rows // parts, 20261130 + number)
        table = table if columns > len(SEVENTEEN) else table.select(SEVENTEEN)
        pq.write_table(table, source / f"part-{number:05d}.parquet")
    size = sum(path.stat().st_size for path in source.iterdir())
    about = {"rows": rows, "parts": parts, "columns": table.num_columns, "bytes": size}
    (folder / "results.json").write_text(json.dumps({"table": about}))


def run(folder: Path, name: str) -> dict[str, Any]:
    """Run one scenario; return what was measured."""
    workers, processes, event = SCENARIOS[name]
    out, watch = folder / "out", Watch()
    shutil.rmtree(out, ignore_errors=True)
    parts = len(list((folder / "parts").iterdir()))
    cluster = Cluster(folder, workers, watch) if workers else None
    words = [
        "screen", str(folder / "parts"), "-o", str(out), "--quiet", "--json",
        "--referrals", str(folder / "list.csv"), "--force",
    ]  # fmt: skip
    words += (
        ["--scheduler", cluster.address, "--workers", "1"]
        if cluster
        else ["--workers", str(processes)]
    )
    happens = {"k": "kill_worker", "r": "restart"}.get(name[0])
    try:
        if cluster:
            cluster.ready()
        watch.begin()
        load = os.getloadavg()[0]
        at, seconds, summary = watched(
            words, watch, getattr(cluster, happens) if happens else None, out, int(SHARE * parts)
        )
    finally:
        if cluster:
            cluster.close()
    found = {
        "event": event, "at_seconds": at, "seconds": seconds, "together": watch.together,
        "roles": watch.by_role(), "load": load, "machine": machine(),
        "sha256": sha256_of(out), "list": sha256_of(folder / "list.csv"),
        "summary": hashlib.sha256(summary).hexdigest(),
        "bytes": sum(path.stat().st_size for path in out.iterdir()),
    }  # fmt: skip
    shutil.rmtree(out)
    return found


def watched(
    words: list[str], watch: Watch, happens: Callable[[], None] | None, out: Path, after: int
) -> tuple[float, float, bytes]:
    """Run the command; return when something happened to it, how long it took, and what it said."""
    start = time.perf_counter()
    at = 0.0
    with (out.parent / "said.json").open("w+b") as said:
        client = subprocess.Popen([*COMMAND, *words], stdout=said)
        watch.roots.append(("client", client.pid))
        while client.poll() is None:
            if happens and not at and out.exists() and len(list(out.iterdir())) >= after:
                at = time.perf_counter() - start
                happens()
            watch.look()
            time.sleep(LOOK)
        seconds = time.perf_counter() - start
        assert client.returncode in (0, 3), client.returncode
        assert at or not happens, "it was done before anything could happen"
        said.seek(0)
        return at, seconds, said.read()


def sha256_of(path: Path) -> str:
    """One number for a file, or for the names and contents of a folder."""
    whole = hashlib.sha256()
    for file_path in sorted(path.iterdir()) if path.is_dir() else [path]:
        with file_path.open("rb") as file:
            whole.update(file_path.name.encode() + hashlib.file_digest(file, "sha256").digest())
    return whole.hexdigest()


def show(folder: Path) -> None:
    """Print what was measured, as Markdown."""
    results = json.loads((folder / "results.json").read_text())
    table = results.pop("table")
    print("| rows | columns | parts | table | result |\n|---|---|---|---|---|")
    sizes = {f"{result['bytes'] / 1e9:.2f} GB" for result in results.values()}
    print(
        f"| {table['rows']:,} | {table['columns']} | {table['parts']} |"
        f" {table['bytes'] / 1e9:.2f} GB | {', '.join(sizes)} |\n"
    )
    roles = ("client", "process", "scheduler", "worker", "keeper of workers")
    print(f"| run | seconds | load | {' | '.join(roles)} | together | same bytes |")
    print("|---" * (len(roles) + 5) + "|")
    first = next(iter(results.values()))
    same = ("sha256", "list", "summary")
    for name, result in results.items():
        cells = [
            f"{row['megabytes']:.0f} MB, {row['seconds']:.1f} s" if row else ""
            for row in (result["roles"].get(role) for role in roles)
        ]
        alike = "yes" if all(result[key] == first[key] for key in same) else "NO"
        print(
            f"| {name} {result['event']} | {result['seconds']:.1f} | {result['load']:.1f} |"
            f" {' | '.join(cells)} | {result['together']:.0f} MB | {alike} |"
        )


def main() -> None:
    """Do one thing."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("what", choices=["table", "print", *SCENARIOS])
    parser.add_argument("--rows", type=int, default=10_000_000)
    parser.add_argument("--parts", type=int, default=100)
    parser.add_argument("--columns", type=int, choices=[17, 37], default=17)
    given = parser.parse_args()
    if given.what == "table":
        given.folder.mkdir()
        make_table(given.folder, given.rows, given.parts, given.columns)
    elif given.what == "print":
        show(given.folder)
    else:
        found = run(given.folder, given.what)
        kept = given.folder / "results.json"
        kept.write_text(json.dumps(json.loads(kept.read_text()) | {given.what: found}, indent=1))
        print({key: value for key, value in found.items() if key != "machine"})


if __name__ == "__main__":
    main()

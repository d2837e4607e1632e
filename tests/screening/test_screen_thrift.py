"""How a screening keeps to what is needed: no library, no process and no list that nobody asked for."""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
from pathlib import Path

import pyarrow as pa
import pyarrow.csv as arrow_csv
import pyarrow.parquet as pq
import pytest

import foldspan
from foldspan.screening.collect import SHOWN
from foldspan.screening.run.processes import SMALL, get_ready, usual_workers
from screen_people import TABLE


def said_by(code: str, *words: str) -> str:
    """Run a script in a process of its own; return what it prints."""
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode in (0, 3), done.stderr
    return done.stdout.strip().splitlines()[-1]


@pytest.mark.parametrize("workers", ["1", "2"])
def test_the_command_loads_no_pandas(tmp_path: Path, workers: str) -> None:
    pq.write_table(TABLE, tmp_path / "table.parquet")
    code = (
        "import atexit, sys; from foldspan.cli import main\n"
        "atexit.register(lambda: print('pandas' in sys.modules)); main()"
    )
    words = ("screen", str(tmp_path / "table.parquet"), "-o", str(tmp_path / "out.parquet"))
    assert said_by(code, *words, "--workers", workers) == "False"
    assert pq.read_metadata(tmp_path / "out.parquet").num_rows == TABLE.num_rows


FORKSERVER = "forkserver" in multiprocessing.get_all_start_methods()


@pytest.mark.skipif(not FORKSERVER, reason="workers start from nothing here")
def test_workers_of_the_command_load_no_pandas() -> None:
    code = (
        "from foldspan.screening.run.processes import get_ready, in_order\n"
        "loaded = [f'{name!r} in __import__(\"sys\").modules' for name in ('pandas', 'pyarrow')]\n"
        "get_ready(2); print(list(in_order(eval, loaded, 2)))"
    )
    assert said_by(code) == "[False, True]"


def test_workers_of_others_stay_as_they_are() -> None:
    """A program that screens a table keeps its own workers: they know pandas, and can be interrupted."""
    asked = [
        "__import__('pyarrow').array(__import__('pandas').Series([1.0, float('nan')])).null_count",
        "__import__('signal').getsignal(2).__name__",
    ]
    code = (
        "import sys, multiprocessing; from foldspan.screening.run.processes import in_order\n"
        "list(in_order(eval, ['1', '2'], 2))\n"
        f"way = multiprocessing.get_context({'forkserver' if FORKSERVER else 'spawn'!r})\n"
        "from concurrent.futures import ProcessPoolExecutor\n"
        "with ProcessPoolExecutor(1, way) as pool: print(*pool.map(eval, sys.argv[1:]))"
    )
    assert said_by(code, *asked) == "1 default_int_handler"


@pytest.mark.skipif(not FORKSERVER, reason="nothing is started beforehand here")
def test_an_interruption_waits_until_the_workers_are_on_their_way() -> None:
    code = (
        "import os, signal; from multiprocessing import forkserver\n"
        "from foldspan.screening.run.processes import get_ready\n"
        "start = forkserver.ensure_running\n"
        "def stopped(): os.kill(os.getpid(), signal.SIGINT); start()\n"
        "forkserver.ensure_running = stopped\n"
        "try: get_ready(2); print('lost')\n"
        "except KeyboardInterrupt: print('told')"
    )
    assert said_by(code) == "told"


def test_pandas_can_be_loaded_after_pyarrow_did_without() -> None:
    code = (
        "import sys; from foldspan.screening.run.lazy_pyarrow import forgo_pandas; forgo_pandas()\n"
        "import pyarrow as pa; pa.array([1.5]); before = 'pandas' in sys.modules\n"
        "import pandas as pd; print(before, pd.DataFrame({'a': [1.5, 2.5]})['a'].sum())"
    )
    assert said_by(code) == "False 4.0"


def test_pyarrow_knows_the_frames_of_a_pandas_that_was_there_before() -> None:
    code = (
        "import pandas as pd\n"
        "from foldspan.screening.run.lazy_pyarrow import forgo_pandas; forgo_pandas()\n"
        "import pyarrow as pa; print(pa.Table.from_pandas(pd.DataFrame({'a': [1.5]})).num_rows)"
    )
    assert said_by(code) == "1"


def test_a_small_table_gets_one_process(tmp_path: Path) -> None:
    small, large = tmp_path / "small.csv", tmp_path / "large.csv"
    small.write_bytes(b"x" * (SMALL - 1))
    large.write_bytes(b"x" * SMALL)
    given = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    assert usual_workers(str(small)) == 1
    assert [usual_workers(str(path)) for path in (large, tmp_path, "-")] == [given] * 3


def test_what_workers_load_is_asked_for_without_a_word() -> None:
    """Twice, for one process and for many: what is there already stays."""
    code = (
        "from foldspan.screening.run.processes import get_ready\n"
        "for workers in (1, 2, 2): get_ready(workers)\n"
        "import signal; print(signal.getsignal(signal.SIGINT) is signal.default_int_handler)"
    )
    assert said_by(code) == "True"
    get_ready(1)


# --- the list of whom to refer -------------------------------------------------------------------


def thin(rows: int) -> pa.Table:
    """Women of a usual weight, and one in three of a very low one."""
    weights = [52.0 if row % 3 else 38.0 for row in range(rows)]
    return pa.table(
        {
            "code": [f"W-{row:03d}" for row in range(rows)],
            "sex": ["female"] * rows,
            "age_years": [33.0] * rows,
            "weight_kg": weights,
            "height_cm": [164.0] * rows,
        }
    )


@pytest.mark.parametrize("kind", ["table.csv", "table.parquet", "parts"])
def test_without_a_list_the_summary_is_the_same(tmp_path: Path, kind: str) -> None:
    """The reasons of all are put into words only where a list of all is wanted."""
    table, source = thin(10 * SHOWN), tmp_path / kind
    if kind == "parts":
        source.mkdir()
        for number in range(3):
            pq.write_table(table.slice(34 * number, 34), source / f"{number}.parquet")
    elif kind == "table.csv":
        arrow_csv.write_csv(table, source)
    else:
        pq.write_table(table, source)
    out, listed = tmp_path / f"out_{kind}", tmp_path / "refer.csv"
    without = foldspan.screen_table(source, out)
    with_list = foldspan.screen_table(source, out, referrals=str(listed), replace=True)
    assert without.to_dict() == with_list.to_dict()
    lines = listed.read_text().splitlines()[1:]
    assert len(lines) == with_list.referred == -(-10 * SHOWN // 3)
    assert len(without.first_referred) == SHOWN

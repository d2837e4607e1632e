"""How long a table takes through the pages, beside the command. Run by hand, on an idle machine.

python tests/benchmarks/bench_tables.py            # two minutes; prints lines for docs/benchmarks.md

The page is asked by the API, from sending the file to the finished result; the command screens the same
file and writes the same list. Pairs, one after the other, so that both meet the same machine.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

import pyarrow.csv
from bench_screen import invented_table

from browser_touch import served
from foldspan.tables.sheets.writer import Workbook

COMMAND = [sys.executable, "-c", "from foldspan.cli import main; main()", "screen"]
ROWS, SHEET_ROWS, PAIRS = 1_000_000, 5_000, 3


class Program:
    """A program with a token."""

    def __init__(self, base: str, token: str) -> None:
        self._base, self._token = f"{base}/api/v1/tables", token

    def ask(self, method: str, path: str, data: Any = None) -> dict[str, Any]:
        request = urllib.request.Request(self._base + path, data, method=method)
        request.add_header("authorization", f"Bearer {self._token}")
        is_file = hasattr(data, "fileno")
        kind = "application/octet-stream" if is_file else "application/json"
        request.add_header("content-type", kind)
        if is_file:
            request.add_header("content-length", str(os.fstat(data.fileno()).st_size))
        with urllib.request.urlopen(request) as reply:
            found: dict[str, Any] = json.load(reply)
            return found

    def until(self, key: str, busy: str) -> dict[str, Any]:
        while (state := self.ask("GET", f"/{key}"))["state"] == busy:
            time.sleep(0.05)
        return state


def through_the_page(program: Program, path: Path) -> tuple[float, float]:
    """Seconds from sending to the result, and those from confirming to the result."""
    start = time.perf_counter()
    with path.open("rb") as file:
        key = program.ask("POST", f"?name={path.name}", file)["table"]
    program.until(key, "looking")
    confirmed = time.perf_counter()
    program.ask("POST", f"/{key}/screen", b"{}")
    state = program.until(key, "running")
    end = time.perf_counter()
    assert state["state"] == "done", state["problems"]
    program.ask("DELETE", f"/{key}")
    return end - start, end - confirmed


def by_command(path: Path, folder: Path) -> float:
    """Seconds of the command."""
    files = ["-o", str(folder / "screened.csv"), "--referrals", str(folder / "refer.csv")]
    start = time.perf_counter()
    subprocess.run(
        [*COMMAND, str(path), *files, "--force", "--quiet"],
        check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    return time.perf_counter() - start


def main() -> None:
    """Measure, and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=ROWS)
    rows = options.parse_args().rows
    with (
        tempfile.TemporaryDirectory() as name,
        served(Path(name) / "book.sqlite") as (address, desk),
    ):
        folder = Path(name)
        table = invented_table(rows)
        pyarrow.csv.write_csv(table, folder / "large.csv")
        with (folder / "day.xlsx").open("wb") as out, Workbook(out) as book:
            sheet = book.sheet("Day", table.column_names)
            columns = [column.to_pylist() for column in table.slice(0, SHEET_ROWS).columns]
            sheet.write(zip(*columns, strict=True))
            sheet.close()
        program = Program(address.partition("/enter")[0], desk.devices.let_in("bench", "program"))
        large = folder / "large.csv"
        pairs = [
            (by_command(large, folder), through_the_page(program, large)[0]) for _ in range(PAIRS)
        ]
        ratios = [page / command for command, page in pairs]
        shown = ", ".join(f"{page:.1f} / {command:.1f} s" for command, page in pairs)
        print(f"{rows:,} rows of CSV, page / command: {shown}")
        print(f"ratio: {statistics.median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f})")
        sheets = [through_the_page(program, folder / "day.xlsx") for _ in range(PAIRS)]
        whole, confirmed = (statistics.median(some) for some in zip(*sheets, strict=True))
        print(f"{SHEET_ROWS:,} rows of a workbook: {whole:.1f} s from sending to the result")
        print(f"  {confirmed:.1f} s from confirming the columns to the result")
        print("load:", *(f"{load:.1f}" for load in os.getloadavg()))


if __name__ == "__main__":
    main()

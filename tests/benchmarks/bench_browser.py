"""How fast the pages of ``foldspan serve`` answer, over a book of 2,000 visits. Run by hand.

python tests/benchmarks/bench_browser.py           # two minutes; prints the table of docs/benchmarks.md

A client of our own asks: what a browser needs to draw a page is not in these figures.
"""

from __future__ import annotations

import argparse
import contextlib
import http.client
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import psutil

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.measuring.conducted import ConductedSession
from foldspan.records.book import Book
from measure_driver import FACTS, MAN, line_at, script_of

SERVE = [sys.executable, "-c", "from foldspan.cli import main; main()", "serve", "--no-open"]
VISITS, READINGS, STARTS = 2_000, 500, 5
A_CLIENT = 3  # visits
ANSWERS = MAN | {"plan": "seven tape"}
# what is to be reached: seconds, seconds, seconds, seconds, bytes
BARS = {
    "start to the first page": 1.0, "answer to the next prompt, median": 0.050,
    "answer to the next prompt, 99th percentile": 0.120, "last tap to the result page, median": 0.400,
    "memory": 200e6,
}  # fmt: skip


def filled(path: Path, visits: int) -> None:
    """Begin a book with so many visits, each of them a whole session of its own values."""
    with Book.opened(str(path)) as book:
        book._connection.execute("PRAGMA synchronous = OFF")  # nothing is measured yet
        walked = _walked()
        for number in range(visits):
            book.begin_with(f"K-{number // A_CLIENT:04}", _moved(walked, number))


def _walked() -> list[tuple[str, dict[str, Any]]]:
    """The events of a whole session."""
    with tempfile.TemporaryDirectory() as folder, Book.opened(f"{folder}/b.sqlite") as book:
        session = ConductedSession.begun(book, FACTS)
        while session.state.prompt.kind != "done":
            outcome = session.enter(str(line_at(session.state, ANSWERS)))
            if outcome.asked_back:
                session.enter(outcome.asked_back, asked_back=outcome.asked_back)
        session.end()
        return [(kind, dict(body)) for kind, body in session.events]


def _moved(
    events: Sequence[tuple[str, dict[str, Any]]], number: int
) -> Iterator[tuple[str, dict[str, Any]]]:
    """The same session of another client on another day, with other readings."""
    for kind, body in events:
        value = body.get("value")
        if kind == "begun":
            yield kind, body | {"day": f"2026-{1 + number % 9:02}-14", "time": "09:30"}
        elif body.get("key") == "code":
            yield kind, body | {"value": f"K-{number // A_CLIENT:04}"}
        elif isinstance(value, dict) and set(value) == {"typed"}:
            moved = f"{float(value['typed']) + 0.1 * (number % 7):.1f}"
            yield kind, body | {"value": {"typed": moved}}
        else:
            yield kind, body


@dataclass
class Asking:
    """One who asks for pages over one connection, as a browser does."""

    port: int
    cookies: dict[str, str] = field(default_factory=dict)
    place: str = ""

    def __post_init__(self) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)

    def ask(self, method: str, path: str, **fields: str) -> str:
        """Return a page, led on to where the reply leads."""
        for _ in range(4):
            head = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
            body = None
            if method == "POST":
                head |= {
                    "Origin": f"http://127.0.0.1:{self.port}",
                    "Content-Type": "application/x-www-form-urlencoded",
                }
                body = urlencode(fields)
            self._line.request(method, path, body, head)
            reply = self._line.getresponse()
            page = reply.read().decode()
            for given in reply.headers.get_all("set-cookie") or ():
                name, _, value = given.partition(";")[0].partition("=")
                self.cookies[name] = value
            self.place = path
            if reply.status != 303:
                assert reply.status in (200, 422), (reply.status, path)
                return page
            method, path = "GET", reply.headers["location"]
        raise AssertionError("led round in a circle")


@contextlib.contextmanager
def running(book: Path) -> Iterator[tuple[Asking, psutil.Process, float]]:
    """Start the program; yields one who asks, the process, and the time to the first page [s]."""
    begins = time.perf_counter()
    place = os.environ | {"XDG_DATA_HOME": str(book.parent), "FOLDSPAN_SETTINGS": ""}
    started = subprocess.Popen(
        [*SERVE, "--book", str(book)], stdout=subprocess.PIPE, text=True, env=place
    )
    try:
        assert started.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:(\d+)(/enter/\S+)", started.stdout.readline())
        assert found is not None
        asking = Asking(int(found[1]))
        assert "<h1>Today</h1>" in asking.ask("GET", found[2])
        yield asking, psutil.Process(started.pid), time.perf_counter() - begins
    finally:
        started.terminate()
        started.wait(timeout=20)


def measured(asking: Asking, readings: int) -> tuple[list[float], list[float]]:
    """Return the seconds from each reading to the next page, and of result pages."""
    answers, results = [], []
    number = 0
    while len(answers) < readings:
        number += 1
        page = asking.ask("POST", "/session", rule="growing", units="metric", tester="")
        place = asking.place
        for typed in script_of(ANSWERS | {"code": f"B-{number:03}", "consent.store": "y"}):
            turn = re.search(r'name="turn" value="([^"]*)"', page)
            assert turn is not None
            assert turn[1].endswith(f":{typed.key}"), (turn[1], typed.key)
            back = re.search(r'name="asked_back" value="([^"]*)"', page)
            more = {"asked_back": back[1]} if back else {}
            is_reading = 'class="session reading-page"' in page
            begins = time.perf_counter()
            page = asking.ask("POST", place, turn=turn[1], line=typed.line, **more)
            took = time.perf_counter() - begins
            if is_reading:
                answers.append(took)
            place = asking.place
        assert "Body fat:" in page
        results.append(took)  # from the last tap to the whole page, worked out for the first time
    return answers, results


def main(words: Sequence[str]) -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--visits", type=int, default=VISITS)
    options.add_argument("--readings", type=int, default=READINGS)
    given = options.parse_args(words)
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "book.sqlite"
        filled(book, given.visits)
        starts = []
        for _ in range(STARTS):
            with running(book) as (_, _, took):
                starts.append(took)
        with running(book) as (asking, process, _):
            answers, results = measured(asking, given.readings)
            memory = process.memory_info().rss
    hundredths = statistics.quantiles(answers, n=100)
    found = {
        "start to the first page": statistics.median(starts),
        "answer to the next prompt, median": statistics.median(answers),
        "answer to the next prompt, 99th percentile": hundredths[98],
        "last tap to the result page, median": statistics.median(results),
        "memory": memory,
    }
    print(f"{given.visits:,} visits, {len(answers)} readings, load {os.getloadavg()[0]:.1f}\n")
    print("| what | measured | bar | of the bar |\n|---|---|---|---|")
    for name, value in found.items():
        bar = BARS[name]
        print(f"| {name} | {_shown(name, value)} | {_shown(name, bar)} | {value / bar:.0%} |")


def _shown(name: str, value: float) -> str:
    if name == "memory":
        return f"{value / 1e6:.0f} MB"
    return f"{value:.2f} s" if value >= 0.5 else f"{value * 1000:.0f} ms"


if __name__ == "__main__":
    main(sys.argv[1:])

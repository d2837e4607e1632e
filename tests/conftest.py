"""What several test files use."""

from __future__ import annotations

import gc
import os
import pickle
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pandas  # noqa: F401 - before any command lets pyarrow do without it
import pytest

from foldspan.api import change, explain, health, reconcile, report
from foldspan.cli import main
from foldspan.explanation import case
from foldspan.figures import style
from foldspan.pages import html_page, pdf_page
from foldspan.results import case_of_visit
from long_files import place_of
from screen_desk import Desk, Run, alone_in

# nobody's own settings may move a test; programs that a test starts inherit it
os.environ["FOLDSPAN_SETTINGS"] = ""
# rooms whose tests take the answer for a visit as it is: those of pages and commands
ROOMS = ("browser", "cli", "export", "figures", "house", "pages", "practice", "session", "text")
REMEMBER_IN = (
    *(f"tests/{room}/" for room in ROOMS),
    *("tests/explanation/test_one_advice.py", "tests/validation/test_site_correction.py"),
    "tests/cards/test_value.py",
)
# Compiled files are kept beside the sources, where git ignores them, whatever the machine is set to:
# else every worker compiles every test anew, and every program that is started the whole package.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
# started in the background, a shell has every program of the session ignore Ctrl-C, which tests send
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
# Most of what a test session makes stays: looked through after every 700 new things, it costs a lot
gc.set_threshold(50_000)


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Two workers more than processors: some tests wait for a terminal, a browser or a disk."""
    return (os.cpu_count() or 1) + 2


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files that take long come first, so that no worker ends long after the others."""
    items.sort(key=lambda item: place_of(item.path))


def pytest_collection_finish() -> None:
    """Thousands of tests need not be gone through at every collection of garbage."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True, scope="session")
def no_waiting_for_the_disk() -> Iterator[None]:
    """Bytes reach the disk a little later: no test of this process cuts the power.

    Programs that a test starts and kills are others and wait as they do everywhere.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda file: None)
        yield


@pytest.fixture(autouse=True, scope="session")
def pictures_once() -> Iterator[dict[bytes, str]]:
    """The same picture of the same numbers is drawn once for all pages; a cleared memory draws anew."""
    drawn: dict[bytes, str] = {}
    draw_it = style.as_svg

    def remembered(draw: Any, shape: style.Shape) -> str:
        name = pickle.dumps((draw.func, draw.args, draw.keywords, shape))
        if name not in drawn:
            drawn[name] = draw_it(draw, shape)
        return drawn[name]

    with pytest.MonkeyPatch.context() as patch:
        for page in (html_page, pdf_page):
            patch.setattr(page, "as_svg", remembered)
        yield drawn


@pytest.fixture(autouse=True, scope="session")
def visits_once() -> Iterator[None]:
    """The same visit under the same settings is reconciled, searched and explained once.

    Many tests take the examples as they are. Tables, what-ifs, and tests that reconcile themselves
    remember nothing, so what is held against these answers is worked out anew. Nor do the rooms of the
    kernel, whose tests change what lies below an answer or count the ways to it.
    """

    def once(work: Callable[..., Any]) -> Callable[..., Any]:
        known: dict[bytes, Any] = {}

        def remembered(*given: Any, **settings: Any) -> Any:
            if not os.environ.get("PYTEST_CURRENT_TEST", "").startswith(REMEMBER_IN):
                return work(*given, **settings)
            name = pickle.dumps((given, sorted(settings.items())))
            if name not in known:
                known[name] = work(*given, **settings)
            return known[name]

        return remembered

    reconciled, searched = once(case_of_visit.case_of), once(case.suspect_readings)
    explained = once(explain.explained)
    with pytest.MonkeyPatch.context() as patch:
        for module in (change, explain, health, reconcile):
            patch.setattr(module, "case_of", reconciled)
        patch.setattr(case, "suspect_readings", searched)
        for module in (explain, report):
            patch.setattr(module, "explained", explained)
        yield


@pytest.fixture
def run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., tuple[int, str, str]]:
    """Run the command line in this process; returns exit code, stdout and stderr."""
    for name, value in (("OPENBLAS_NUM_THREADS", "1"), ("PYDANTIC_DISABLE_PLUGINS", "__all__")):
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("FOLDSPAN_DEBUG", raising=False)

    def call(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["foldspan", *words])
        with pytest.raises(SystemExit) as caught:
            main()
        shown = capsys.readouterr()
        assert "Traceback" not in shown.out + shown.err
        assert "foldspan failed" not in shown.err
        return int(caught.value.code or 0), shown.out, shown.err

    return call


@pytest.fixture
def nothing_left_open() -> Iterator[None]:
    """Whatever a test left open is told in that test: a warning is an error here."""
    gc.freeze()  # what was there before the test need not be gone through again
    yield
    gc.collect()


@pytest.fixture
def desk(tmp_path: Path, run: Run) -> Desk:
    """A folder, and ``foldspan screen`` run in it."""
    return Desk(tmp_path, run)


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """What the sound rows get when nobody else is in the table."""
    return alone_in(tmp_path_factory.mktemp("alone"))


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """A Chromium without a window, for the tests of one file; skipped where there is none."""
    import browser_pages  # only where it is asked for

    if not browser_pages.find_chromium():
        browser_pages.without_chromium()
    with browser_pages.chromium() as started:
        yield started

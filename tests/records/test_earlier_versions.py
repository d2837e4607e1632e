"""Books and files of versions 0.2, 0.4 and 0.6 still open, and say what those programs said.

``earlier/`` holds what the programs of then wrote: a book each (version 0.2 kept none: its files are
a visit, a local correction and a table) and, as ``said_*.json``, how each exported its clients.
"""

from __future__ import annotations

import io
import json
import shutil
import sqlite3
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.records import storage
from foldspan.records.book import Book
from screen_desk import Run

KEPT = Path(__file__).parent / "earlier"
BOOKS = ("0_4_first", "0_4", "0_6")
UNSEALED = "0_4_first"
# K-204 is a session that was broken off, K-203 was erased, K-045 is shown no numbers
ENDED = ("K-014", "K-029", "K-071", "K-202")


def said(version: str) -> dict[str, Any]:
    """Code → what the program of then exported of the client."""
    tree: dict[str, Any] = json.loads((KEPT / f"said_{version}.json").read_text(encoding="utf-8"))
    return tree


def copied(version: str, folder: Path) -> str:
    return str(shutil.copy(KEPT / f"book_{version}.sqlite", folder / "book.sqlite"))


@pytest.fixture(params=BOOKS)
def version(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def path(version: str, tmp_path: Path) -> str:
    return copied(version, tmp_path)


def holds(whole: Any, part: Any) -> bool:
    """Whether all of a part stands in the whole: later versions read more out of the same events."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            holds(whole.get(key), value) for key, value in part.items()
        )
    return bool(whole == part)


def test_a_book_opens_and_lists_its_clients(version: str, path: str, run: Run) -> None:
    code, out, err = run("records", "list", "--book", path)
    assert (code, err) == (0, "")
    assert [word for word in out.split() if word.startswith("K-") and word[-1] != "."] == [
        *sorted(said(version))
    ]
    assert "blue folder" in out
    assert "K-204." in out.splitlines()[-1]  # unfinished


def test_nothing_of_it_is_lost(version: str, path: str) -> None:
    with foldspan.Book.open(path) as book:
        now = {code: book.export(code) for code in book.clients()}
    then = said(version)
    assert sorted(now) == sorted(then)
    for code, client in then.items():
        assert now[code].get("name") == client.get("name")
        pairs = list(zip(now[code]["visits"], client["visits"], strict=True))
        for new, old in pairs:
            assert new["events"] == old["events"]
            assert new["has_ended"] == old["has_ended"]
            assert holds(new["as_it_stands"], old["as_it_stands"])
    assert then["K-014"]["name"] == "blue folder"
    (corrected,) = now["K-202"]["visits"]
    assert corrected["as_it_stands"]["skinfolds_mm"]["triceps"] == [11.0, 11.8]
    assert corrected["events"][-1]["body"]["why"] == "slip of the pen"


def test_its_visits_are_the_visits_of_then_and_have_a_range(version: str, path: str) -> None:
    with foldspan.Book.open(path) as book:
        kept = {code: book.visits(code)[0] for code in book.clients()}
    for code in ENDED:
        (old,) = said(version)[code]["visits"]
        typed = foldspan.Visit.from_dict(old["as_it_stands"], accept_unusual=True)
        visit = kept[code].visit
        assert kept[code].has_ended
        assert visit is not None
        assert {name: site.readings for name, site in visit.sites.items()} == {
            name: site.readings for name, site in typed.sites.items()
        }
        assert holds(visit.to_dict().get("intake", {}), typed.to_dict().get("intake", {}))
        found = foldspan.reconcile(visit)
        assert found.has_range
        assert found.fat_percent.range_80[0] < found.fat_percent.range_80[1]
    assert not kept["K-204"].has_ended
    assert foldspan.reconcile(kept["K-045"].visit).to_dict()["careful_words"]


def test_commands_show_it_and_its_export_goes_into_a_new_book(
    path: str, run: Run, tmp_path: Path
) -> None:
    for words in (("show", "K-202"), ("show", "K-202", "--visit", "1")):
        code, out, err = run("records", *words, "--book", path)
        assert (code, err) == (0, "")
        assert "11.8" in out or "%" in out
    code, out, _ = run("reconcile", "K-071", "--book", path, "--json")
    assert code == 0
    assert json.loads(out)["fat_percent"]["range_80"]
    out = run("records", "export", "K-202", "--book", path)[1]
    place, new = tmp_path / "client.json", str(tmp_path / "new.sqlite")
    place.write_text(out, encoding="utf-8")
    code, _, err = run("records", "import", str(place), "--book", new)
    assert (code, "differs" in err) == (0, False)
    assert run("records", "export", "K-202", "--book", new)[1] == out


def test_it_is_written_in_like_any_other(version: str, path: str) -> None:
    before = said(version)["K-202"]["visits"][0]["events"]
    with foldspan.Book.open(path) as book:
        book.correct("K-202", 1, "waist_midpoint", "86.0", reading=1, who="T-01", why="misread")
        added = foldspan.Visit.from_dict({
            "client": {"code": "K-300", "sex": "male", "age_years": 30},
            "mass_height": {"weight_kg": 80, "height_cm": 180},
        })  # fmt: skip
        assert book.add(added) == 1
        assert book.withdraw("K-029") == 1
    with foldspan.Book.open(path) as book:
        assert book.clients() == ("K-014", "K-045", "K-071", "K-202", "K-204", "K-300")
        (visit,) = book.export("K-202")["visits"]
    assert visit["events"][:-1] == before
    assert visit["as_it_stands"]["girths_cm"]["waist_midpoint"][0] == 86.0


def test_a_session_that_was_broken_off_goes_on(
    version: str, path: str, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    (before,) = said(version)["K-204"]["visits"]
    monkeypatch.setattr(sys, "stdin", io.StringIO("note cold room\nstop\n"))
    _, _, err = run("measure", "--resume", "--book", path)
    assert "damaged" not in err
    with foldspan.Book.open(path) as book:
        (now,) = book.export("K-204")["visits"]
    assert now["events"][: len(before["events"])] == before["events"]
    (added,) = now["events"][len(before["events"]) :]
    assert (added["kind"], "cold room" in json.dumps(added["body"])) == ("note", True)


def state_of(path: str) -> tuple[int, list[tuple[Any, ...]]]:
    with closing(sqlite3.connect(path)) as book:
        version = book.execute("PRAGMA user_version").fetchone()[0]
        return version, list(book.iterdump())  # type: ignore[arg-type]


def test_opened_twice_it_is_brought_up_to_date_once(path: str) -> None:
    with Book.opened(path, begins=False):
        pass
    once = state_of(path)
    with Book.opened(path, begins=False) as book:
        assert len(book.all_visits()) == 6
    assert state_of(path) == once
    assert once[0] == storage.SCHEMA


def test_a_book_without_seals_is_read_where_nothing_can_be_written(tmp_path: Path) -> None:
    path = copied(UNSEALED, tmp_path)
    raw = Path(path).read_bytes()
    with closing(storage.open_to_read(path)) as connection:
        book = Book(path, connection)
        found = {code: book.events(row) for row, code in book.all_visits()}
    for code, client in said(UNSEALED).items():
        codes = [
            (event["at"], event["kind"], event["body"]) for event in client["visits"][0]["events"]
        ]
        assert [(event.at, event.kind, event.body) for event in found[code]] == codes
    assert Path(path).read_bytes() == raw


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE event SET body = replace(body, '84.1', '48.1') WHERE body LIKE '%84.1%'",
        "UPDATE event SET place = place + 90 WHERE place = (SELECT max(place) FROM event)",
        "DELETE FROM event WHERE place = 3",
        "DELETE FROM visit WHERE id = 3",
    ],
)
def test_a_damaged_book_without_seals_is_never_sealed(tmp_path: Path, damage: str) -> None:
    path = copied(UNSEALED, tmp_path)
    with closing(sqlite3.connect(path)) as book:
        (trigger,) = book.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'").fetchone()
        book.execute("DROP TRIGGER event_stays")
        assert book.execute(damage).rowcount > 0
        book.execute(trigger)
        book.commit()
    before = state_of(path)
    with pytest.raises(FoldspanError, match="E702"), Book.opened(path, begins=False):
        pass
    with pytest.raises(FoldspanError, match="E702"):
        storage.open_to_read(path)
    assert state_of(path) == before


def test_a_seal_that_is_broken_off_leaves_the_book_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = copied(UNSEALED, tmp_path)
    before = state_of(path)

    def full(connection: sqlite3.Connection) -> None:
        connection.execute("DELETE FROM event_before")
        raise sqlite3.OperationalError("database or disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(storage, "take_over", full)
        with pytest.raises(FoldspanError, match="E704"), Book.opened(path, begins=False):
            pass
    assert state_of(path) == before
    with Book.opened(path, begins=False) as book:
        assert len(book.all_visits()) == 6


def test_a_visit_of_0_2_is_read_with_its_names() -> None:
    visit = foldspan.Visit.from_file(str(KEPT / "visit_0_2.toml"))
    assert (visit.reference_fat_percent, visit.reference_method) == (24.0, "dxa")
    assert visit.outside_results[0].sheet.fat_free_mass == 61.3
    assert visit.accepted["weight_kg"].value == pytest.approx(186 * 0.45359237)
    then = json.loads((KEPT / "answer_0_2.json").read_text(encoding="utf-8"))
    now = foldspan.reconcile(visit, reference_method=then["scale"])
    assert now.verdict == then["verdict"]
    # the model has learnt since (docs/CHANGELOG.md, Numbers): the ranges share most of their width
    (low, high), (low_then, high_then) = now.fat_percent.range_80, then["fat_percent"]["likely"]
    shared = min(high, high_then) - max(low, low_then)
    assert shared > 0.7 * (high - low)


def test_a_local_correction_and_a_table_of_0_2_are_used(run: Run) -> None:
    place = str(KEPT / "our_site_0_2.toml")
    correction = foldspan.read_correction(place)
    assert (correction.reference_method, correction.people) == ("dxa", 36)
    assert correction.by_sex["male"].offset == (-1.914, 3.351)
    code, out, _ = run(
        "reconcile", str(KEPT / "visit_0_2.toml"), "--reference-method", "dxa", "--local", place,
        "--json",
    )  # fmt: skip
    assert code == 0
    assert json.loads(out)["local_correction"]["is_applied"] is True
    people = pd.read_csv(KEPT / "people_0_2.csv")
    assert foldspan.calibrate(people).counts["judged"] == len(people) == 36


def test_sessions_that_open_a_book_together_seal_it_once(tmp_path: Path) -> None:
    path = copied(UNSEALED, tmp_path)

    def visits(_: int) -> list[tuple[int, str]]:
        with Book.opened(path, begins=False) as book:
            return book.all_visits()

    with ThreadPoolExecutor(8) as sessions:
        found = list(sessions.map(visits, range(16)))
    assert len(found[0]) == 6
    assert all(content == found[0] for content in found)

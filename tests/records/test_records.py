"""The book of records: nothing lost, nothing changed, nothing left behind, whatever happens to its file.

Events are written by hand here; what a session writes is tested with the session.
"""

from __future__ import annotations

import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from foldspan.problems import FoldspanError, Problem
from foldspan.records import storage
from foldspan.records.book import Book
from foldspan.records.visits import kept_visit, kept_visits, take_in

Content = tuple[Any, ...]


def tree(code: str) -> dict[str, Any]:
    return {
        "client": {"code": code, "sex": "female", "age_years": 41.0},
        "visit": {"date": "2026-03-04", "tester": "T-02"},
        "mass_height": {"weight_kg": [71.3], "height_cm": [168.2]},
        "skinfolds_mm": {"triceps": [21.0, 21.5]},
    }


def write_session(book: Book, code: str, day: str = "2026-03-04") -> int:
    """A session as ``measure`` writes it, not ended."""
    answers = {"consent.store": True, "code": code, "sex": "female", "age_years": 41.0}
    answers |= {f"{turn}.triceps_mm": {"value": 20.0 + turn} for turn in (1, 2, 3)}
    visit = book.begin(code)
    book.append(visit, "begun", {"tester": "T-02", "day": day}, place=1)
    for place, (key, value) in enumerate(answers.items(), start=2):
        book.append(visit, "answer", {"key": key, "value": value}, place=place)
    return visit


def filled(folder: Path) -> Path:
    """A book with three clients, one of them with a name, and one session that was not ended."""
    place = folder / "book.sqlite"
    with Book.opened(str(place)) as book:
        for code in ("K-031", "K-032"):
            take_in(book, code, tree(code), "file")
        book.name("K-031", "the early one")
        write_session(book, "K-033")
    return place


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return filled(tmp_path)


def content(path: Path) -> Content:
    """All that a reader of a book is shown."""
    with Book.read(str(path)) as book:
        visits = []
        for number, code in book.all_visits():
            kept = kept_visit(book, number, code)
            events = [(event.place, event.at, event.kind, event.body) for event in kept.events]
            visits.append((number, code, book.name_of(code), kept.tree, kept.has_ended, events))
        return book.clients(), visits, book.unfinished()


def problem_of(call: Callable[[], object]) -> Problem:
    with pytest.raises(FoldspanError) as caught:
        call()
    (problem,) = caught.value.problems
    assert problem.remedy
    return problem


def fresh(path: Path, raw: bytes) -> None:
    for leftover in path.parent.glob(f"{path.name}*"):
        leftover.unlink()
    path.write_bytes(raw)


def child(script: str, *words: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", script, *map(str, words)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True,
    )  # fmt: skip


def outputs_of(*children: subprocess.Popen[str]) -> list[str]:
    """What processes printed, once all have ended well."""
    spoken = [child.communicate(timeout=60) for child in children]
    assert [
        (process.returncode, said[1]) for process, said in zip(children, spoken, strict=True)
    ] == [(0, "") for _ in children]
    return [out for out, _ in spoken]


def test_the_database_refuses_to_change_an_event(path: Path) -> None:
    before = content(path)
    with closing(sqlite3.connect(path)) as raw:
        for column, value in (("body", "{}"), ("place", 9), ("digest", ""), ("kind", "note")):
            with pytest.raises(sqlite3.IntegrityError):
                raw.execute(f"UPDATE event SET {column} = ?", (value,))
        raw.rollback()
    assert content(path) == before


@pytest.mark.parametrize("sql", ["UPDATE event SET body = replace(body, '22.0', '12.0')",
                                 "DELETE FROM event WHERE visit = 3 AND place = 2"])  # fmt: skip
def test_an_event_changed_past_the_trigger_is_found(path: Path, sql: str) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("DROP TRIGGER event_stays")
        assert raw.execute(sql).rowcount > 0
        raw.commit()
    assert problem_of(lambda: content(path)).code == "E702"


WRITE = """
import sys, time
from foldspan.problems import FoldspanError
from foldspan.records.book import Book
path, code, visit, start, wanted = sys.argv[1], sys.argv[2], *map(float, sys.argv[3:])
visit, refused = int(visit), 0
time.sleep(max(0.0, start - time.time()))
with Book.opened(path) as book:
    visit = visit or book.begin(code)
    place, done = len(book.events(visit)) + 1, 0
    while done < wanted:
        try:
            book.append(visit, "note", {"key": code, "text": str(done)}, place=place)
            done += 1
        except FoldspanError as error:
            assert error.problems[0].code == "E705", error
            refused += 1
            place = len(book.events(visit))
        place += 1
print(visit, refused)
"""


def writers(path: Path, codes: list[str], visit: int = 0, wanted: int = 20) -> list[str]:
    start = time.time() + 0.8  # all are ready by then, and begin together
    return outputs_of(*(child(WRITE, path, code, visit, start, wanted) for code in codes))


def test_processes_on_different_visits_lose_nothing(path: Path) -> None:
    before, codes = content(path), [f"K-04{number}" for number in range(4)]
    writers(path, codes)
    with Book.read(str(path)) as book:
        for code in codes:
            (visit,) = book.visits(code)
            written = [
                (event.place, event.body["key"], event.body["text"]) for event in book.events(visit)
            ]
            assert written == [(number + 1, code, str(number)) for number in range(20)]
    assert content(path)[1][: len(before[1])] == before[1]


def test_processes_that_begin_one_book_together(tmp_path: Path) -> None:
    codes = [f"K-04{number}" for number in range(4)]
    for turn in range(3):
        path = tmp_path / f"{turn}.sqlite"
        writers(path, codes, wanted=1)
        assert [(code, count) for code, _, count, _ in content(path)[0]] == [
            (code, 1) for code in codes
        ]


def test_processes_on_one_visit_are_told_and_write_nothing_twice(path: Path) -> None:
    codes = ["K-051", "K-052", "K-053"]
    said = writers(path, codes, visit=3, wanted=30)
    assert sum(int(line.split()[1]) for line in said) > 0, "they never met: the test proves nothing"
    with Book.read(str(path)) as book:
        added = book.events(3)[8:]
    assert [event.place for event in added] == list(range(9, 99))
    for code in codes:
        mine = [event.body["text"] for event in added if event.body["key"] == code]
        assert mine == [str(number) for number in range(30)]


def test_a_book_that_is_held_says_so_and_is_free_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(storage, "PATIENCE", 50)
    before = content(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with Book.opened(str(path)) as book:
            assert problem_of(lambda: book.begin("K-061")).code == "E705"
            other.execute("ROLLBACK")
            assert book.begin("K-061") == 4
    assert content(path)[1][:3] == before[1]


def test_the_number_of_a_visit_is_never_used_again(path: Path) -> None:
    """Another session may still write under it, and exports name it."""
    with Book.opened(str(path)) as book:
        book.drop(3)
        assert book.begin("K-034") != 3


def test_how_the_connection_is_set(path: Path) -> None:
    with Book.opened(str(path)) as book:
        set_to = {
            name: book._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("foreign_keys", "journal_mode", "synchronous", "secure_delete")
        }
        # synchronous 2 is FULL (documentation of SQLite)
        wanted = {"foreign_keys": 1, "journal_mode": "wal", "synchronous": 2, "secure_delete": 1}
        assert set_to == wanted
        with pytest.raises(sqlite3.IntegrityError):
            book._connection.execute("INSERT INTO visit (client, created) VALUES (99, '')")


@pytest.mark.parametrize("is_sound", [True, False])
def test_an_old_book_is_brought_up_to_date_or_left_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch, *, is_sound: bool
) -> None:
    before = content(path)
    version = storage.SCHEMA
    step = "ALTER TABLE visit ADD COLUMN room TEXT NOT NULL DEFAULT 'mill';"
    with monkeypatch.context() as newer:
        newer.setattr(storage, "SCHEMA", version + 1)
        more = step if is_sound else f"{step} CREATE TABLE client (id INTEGER);"
        newer.setattr(storage, "MIGRATIONS", {**storage.MIGRATIONS, version + 1: more})
        if is_sound:
            assert content(path) == before
            assert content(path) == before  # the step is taken once
        else:
            assert problem_of(lambda: content(path)).code in ("E702", "E704")
    if not is_sound:
        assert content(path) == before
        return
    raw = path.read_bytes()
    assert problem_of(lambda: content(path)).code == "E703"
    assert path.read_bytes() == raw


def test_a_truncated_book_is_told_and_left_alone(path: Path) -> None:
    raw = path.read_bytes()
    near = {edge + step for edge in range(4096, len(raw), 4096) for step in (-1, 0, 1)}
    lengths = near | {1, 15, 16, 99, 100, 511, 512, 513} | {len(raw) - cut for cut in range(1, 20)}
    for length in sorted(lengths | set(random.Random(6).sample(range(1, len(raw)), 80))):
        fresh(path, raw[:length])
        try:
            content(path)
            code = "nothing"
        except FoldspanError as error:
            code = error.problems[0].code
        assert code in ("E701", "E702"), f"{code} was told of {length} of {len(raw)} bytes"
        assert path.read_bytes() == raw[:length]


@pytest.fixture(scope="module")
def flips(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[int, int, str]]:
    """Byte, bit, and what a reader is given, for single flipped bits over the used part of a book."""
    path = filled(tmp_path_factory.mktemp("flips"))
    before, raw = content(path), path.read_bytes()
    draw, found = random.Random(17), []
    used = [place for place, byte in enumerate(raw) if byte]
    for at in [*range(100), *draw.sample(used, 500)]:
        bit = draw.randrange(8)
        bad = bytearray(raw)
        bad[at] ^= 1 << bit
        fresh(path, bytes(bad))
        try:
            answer = "" if content(path) == before else "other content"
        except FoldspanError as error:
            answer = error.problems[0].code
        except Exception as error:
            answer = repr(error)
        found.append((at, bit, answer if path.read_bytes() == bad else "changed the file"))
    return found


def test_a_flipped_bit_never_ends_in_a_crash_or_a_changed_file(
    flips: list[tuple[int, int, str]],
) -> None:
    known = {"", "other content", "E701", "E702", "E704"}
    # bytes 60 to 63 hold the version of the schema: a larger one is a newer one
    newer = {(at, bit, "E703") for at in range(60, 64) for bit in range(8)}
    wrong = [flip for flip in flips if flip[2] not in known and flip not in newer]
    assert sum(flip[2] in ("E701", "E702") for flip in flips) > len(flips) / 2
    assert wrong == []


def test_a_flipped_bit_never_shows_other_content(flips: list[tuple[int, int, str]]) -> None:
    assert [flip for flip in flips if flip[2] == "other content"] == []


def fill(book: Book, visit: int) -> tuple[int, Problem]:
    """Write notes until that is refused; the place of the last one that was kept, and why."""
    place = len(book.events(visit))
    while True:
        try:
            book.append(visit, "note", {"key": "code", "text": "x" * 2000}, place=place + 1)
        except FoldspanError as error:
            (problem,) = error.problems
            return place, problem
        place += 1


def test_a_full_disk_keeps_what_was_kept(path: Path) -> None:
    before = content(path)
    with Book.opened(str(path)) as book:
        pages = book._connection.execute("PRAGMA page_count").fetchone()[0]
        book._connection.execute(f"PRAGMA max_page_count = {pages + 20}")
        last, problem = fill(book, 3)
        assert (problem.code, problem.where) == ("E704", str(path))
        assert "disk" in problem.what
        assert "disk space" in problem.remedy
        assert last > 8
        assert len(book.events(3)) == last
        # the same session goes on once there is room
        book._connection.execute("PRAGMA max_page_count = 1000")
        book.append(3, "ended", {}, place=last + 1)
    after = content(path)
    assert after[1][:2] == before[1][:2]
    assert len(after[1][2][-1]) == last + 1


FILL = """
import resource, sys
sys.path.insert(0, sys.argv[2])
from records.test_records import fill
from foldspan.records.book import Book
with Book.opened(sys.argv[1]) as book:
    # no file may grow beyond this, as on a full disk
    resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))
    last, problem = fill(book, 3)
    print(last, problem.code, len(book.events(3)), "disk space" in problem.remedy)
"""


def test_files_that_cannot_grow_keep_what_was_kept(path: Path) -> None:
    pytest.importorskip("resource")
    (said,) = outputs_of(child(FILL, path, Path(__file__).parents[1]))
    last, *more = said.split()
    assert more == ["E704", last, "True"]
    assert int(last) > 8
    assert len(content(path)[1][2][-1]) == int(last)


KILLED = """
import sys
from foldspan.records.book import Book
with Book.opened(sys.argv[1]) as book:
    place = len(book.events(3))
    while True:
        place += 1
        book.append(3, "note", {"key": "code", "text": str(place)}, place=place)
        print(place, flush=True)
"""


def test_killed_between_events_loses_none(path: Path) -> None:
    before = content(path)
    for turn in range(4):
        writer = child(KILLED, path)
        assert writer.stdout is not None
        numbers = [int(writer.stdout.readline()) for _ in range(3 + 7 * turn)]
        writer.send_signal(signal.SIGKILL)
        with writer:  # waits for its end, and closes
            numbers += map(int, writer.stdout.read().split())
        with Book.read(str(path)) as book:
            kept = book.events(3)
        # the last event may have been kept without the word of it having come through
        assert len(kept) in (numbers[-1], numbers[-1] + 1)
        assert [event.body["text"] for event in kept[8:]] == [
            str(number) for number in range(9, len(kept) + 1)
        ]
    assert content(path)[1][:2] == before[1][:2]


def test_a_clock_set_back_loses_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before, ahead = content(path), (date.today() + timedelta(days=40)).isoformat()
    for years in range(1, 4):
        then = datetime.now(UTC) - timedelta(days=365 * years)
        monkeypatch.setattr("foldspan.records.book._now", then.isoformat)
        with Book.opened(str(path)) as book:
            book.append(3, "note", {"key": "code", "text": str(years)}, place=8 + years)
            assert write_session(book, "K-034", ahead) == 3 + years
    with Book.read(str(path)) as book:
        assert [event.body["text"] for event in book.events(3)[8:]] == ["1", "2", "3"]
        kept = kept_visits(book, "K-034")
        found = [(kept.number, kept.row, kept.day) for kept in kept]
        assert found == [(1, 4, ahead), (2, 5, ahead), (3, 6, ahead)]
        # a day that is yet to come does not keep the readings from being used
        assert kept[0].visit().sites["triceps_mm"].readings == (21.0, 22.0, 23.0)
        assert book.unfinished()[-1][:2] == (6, "K-034")
    assert content(path)[1][:2] == before[1][:2]

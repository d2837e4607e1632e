"""Records: the book in which measured visits are kept, one SQLite file that only its owner can read.

The book is append-only: every reading, correction and note is an event, and an event is never changed.
Each carries the digest of the one before it, so that a bit that flipped is found and said. Only erasing
a client for good, or a consent taken back, takes events out, all of them.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Self

from foldspan.problems import FoldspanError, Problem

# "fold" in ASCII: marks the file as a book of ours
APPLICATION_ID = 0x666F6C64
SCHEMA = 1
# how long another session may hold the book before this one gives up [ms]
PATIENCE = 5000
_TABLES = """
CREATE TABLE client (
    id INTEGER PRIMARY KEY,
    code TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL DEFAULT '',
    created TEXT NOT NULL
);
CREATE TABLE visit (
    id INTEGER PRIMARY KEY,
    client INTEGER NOT NULL REFERENCES client (id) ON DELETE CASCADE,
    created TEXT NOT NULL
);
CREATE TABLE event (
    id INTEGER PRIMARY KEY,
    visit INTEGER NOT NULL REFERENCES visit (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    at TEXT NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    digest TEXT NOT NULL,
    UNIQUE (visit, place)
);
CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT RAISE (ABORT, 'an event is never changed'); END;
"""
# version → statements that lead from the one before it
MIGRATIONS: dict[int, str] = {1: _TABLES}


@dataclass(frozen=True, slots=True, repr=False)
class Event:
    """One thing that happened in a visit: its place in the order, when, what kind, and what."""

    place: int
    at: str
    kind: str
    body: Mapping[str, Any]


class Book:
    """An open book; use ``Book.opened`` as a context manager.

    Raises
    ------
    FoldspanError
        E301 no book there, E701 not a book, E702 damaged, E703 written by a newer version, E704
        cannot be read or written, E705 held by another session, E706 no such client or visit.
    """

    def __init__(self, path: str, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

    def __repr__(self) -> str:
        """Return the path and nothing of what is in it."""
        return f"Book({self.path!r})"

    @classmethod
    @contextmanager
    def opened(cls, path: str, *, begins: bool = True) -> Iterator[Self]:
        """Open a book to write in it; where there is no file, begin one if it ``begins``."""
        if not begins:
            _must_be_there(path)
        with _told(path):
            _only_ours(path)
            connection = sqlite3.connect(path, timeout=PATIENCE / 1000.0, isolation_level=None)
            try:
                book = cls(path, connection)
                book._prepare()
                yield book
            finally:
                connection.close()

    @classmethod
    @contextmanager
    def read(cls, path: str) -> Iterator[Self]:
        """Open a book that is there to read it, also from a place where nothing can be written.

        Raises
        ------
        FoldspanError
            E301 where there is no such file, else as ``opened``.
        """
        _must_be_there(path)
        if os.access(path, os.W_OK) and os.access(Path(path).resolve().parent, os.W_OK):
            with cls.opened(path) as book:
                yield book
            return
        with _told(path):
            place = f"{Path(path).resolve().as_uri()}?mode=ro&immutable=1"
            connection = sqlite3.connect(place, uri=True)
            try:
                book = cls(path, connection)
                book._check()
                yield book
            finally:
                connection.close()

    def _check(self) -> None:
        """Raise where the file is no book, newer than this version, or damaged."""
        ask = self._connection.execute
        if ask("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
            remedy = "Name another file: --book FILE."
            raise _fault(self.path, "E701", "another kind of file", remedy)
        if ask("PRAGMA user_version").fetchone()[0] > SCHEMA:
            raise _fault(self.path, "E703", "written by a newer version", "Update foldspan.")
        if ask("PRAGMA quick_check").fetchone()[0] != "ok":
            raise _damaged(self.path)

    def _prepare(self) -> None:
        ask = self._connection.execute
        ask("PRAGMA foreign_keys = ON")
        ask("PRAGMA secure_delete = ON")
        is_new = ask("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0
        if is_new:
            ask("PRAGMA journal_mode = WAL")
            ask(f"PRAGMA application_id = {APPLICATION_ID}")
        else:
            self._check()
        ask("PRAGMA synchronous = FULL")
        version = ask("PRAGMA user_version").fetchone()[0]
        for step in range(version + 1, SCHEMA + 1):
            self._connection.executescript(
                f"BEGIN IMMEDIATE; {MIGRATIONS[step]} PRAGMA user_version = {step}; COMMIT;"
            )

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that is on the disk when it ends, or not there at all."""
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield self._connection
        except BaseException:
            self._connection.execute("ROLLBACK")
            raise
        self._connection.execute("COMMIT")

    def _ask(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        with _told(self.path):
            return self._connection.execute(sql, values).fetchall()

    def clients(self) -> list[tuple[str, str, int, str]]:
        """Return code, name, number of visits and time of the last one for every client."""
        return self._ask(
            "SELECT code, name, count(visit.id), coalesce(max(visit.created), '') FROM client"
            " LEFT JOIN visit ON visit.client = client.id GROUP BY client.id ORDER BY code"
        )

    def visits(self, code: str) -> list[int]:
        """Return the numbers of a client's visits, the first one first."""
        self._must_know(code)
        sql = (
            "SELECT visit.id FROM visit JOIN client ON client.id = visit.client"
            " WHERE client.code = ? ORDER BY visit.id"
        )
        return [number for (number,) in self._ask(sql, code)]

    def all_visits(self) -> list[tuple[int, str]]:
        """Return number and client's code of every visit."""
        return self._ask(
            "SELECT visit.id, code FROM visit JOIN client ON client.id = visit.client"
            " ORDER BY visit.id"
        )

    def unfinished(self) -> list[tuple[int, str, str]]:
        """Return number, client's code and beginning of every visit that was not ended."""
        return self._ask(
            "SELECT visit.id, code, visit.created FROM visit JOIN client ON client.id = visit.client"
            " WHERE NOT EXISTS (SELECT 1 FROM event WHERE event.visit = visit.id"
            " AND event.kind IN ('ended', 'imported'))"
            " AND EXISTS (SELECT 1 FROM event WHERE event.visit = visit.id) ORDER BY visit.id"
        )

    def name_of(self, code: str) -> str:
        """Return the name that was noted beside a code, "" where there is none."""
        rows = self._ask("SELECT name FROM client WHERE code = ?", code)
        return str(rows[0][0]) if rows else ""

    def _must_know(self, code: str) -> None:
        if not code or not self._ask("SELECT 1 FROM client WHERE code = ?", code):
            raise _fault(
                self.path, "E706", "no such client in this book", "See foldspan records list."
            )

    def begin(self, code: str = "") -> int:
        """Begin a visit of a client, who is entered on the first one; return its number.

        ``code`` is "" until the client's code is told; ``append`` puts it in.
        """
        with _told(self.path), self._writing() as writing:
            client = _client(writing, code)
            cursor = writing.execute(
                "INSERT INTO visit (client, created) VALUES (?, ?)", (client, _now())
            )
            return int(cursor.lastrowid or 0)

    def name(self, code: str, name: str) -> None:
        """Note a name beside a code, or take it out with ""."""
        self._must_know(code)
        with _told(self.path), self._writing() as writing:
            writing.execute("UPDATE client SET name = ? WHERE code = ?", (name, code))

    def append(
        self, visit: int, kind: str, body: Mapping[str, Any], *, place: int, code: str | None = None
    ) -> None:
        """Add an event to a visit; it is on the disk when this returns.

        ``place`` is the number the event is to have: another session that wrote meanwhile is noticed.
        ``code`` puts the visit under a client's code in the same stroke.
        """
        with _told(self.path), self._writing() as writing:
            row = writing.execute(
                "SELECT place, digest FROM event WHERE visit = ? ORDER BY place DESC LIMIT 1",
                (visit,),
            ).fetchone()
            last, digest = row or (0, "")
            if place != last + 1:
                raise _fault(
                    self.path, "E705", "another session is writing this visit",
                    "End one of the two, then continue with measure --resume.",
                )  # fmt: skip
            text = json.dumps(body, sort_keys=True)
            at = _now()
            writing.execute(
                "INSERT INTO event (visit, place, at, kind, body, digest) VALUES (?, ?, ?, ?, ?, ?)",
                (visit, place, at, kind, text, _digest(digest, place, at, kind, text)),
            )
            if code is not None:
                client = _client(writing, code)
                writing.execute("UPDATE visit SET client = ? WHERE id = ?", (client, visit))
                _sweep(writing)

    def events(self, visit: int) -> list[Event]:
        """Return the events of a visit in their order, every digest checked."""
        with _told(self.path):
            rows = self._connection.execute(
                "SELECT place, at, kind, body, digest FROM event WHERE visit = ? ORDER BY place",
                (visit,),
            ).fetchall()
        digest, found = "", []
        for order, (place, at, kind, text, kept) in enumerate(rows, start=1):
            digest = _digest(digest, place, at, kind, text)
            if place != order or digest != kept:
                raise _damaged(self.path)
            found.append(Event(place, at, kind, json.loads(text)))
        return found

    def erase(self, code: str) -> int:
        """Take a client out for good, with all visits and events; return how many visits went."""
        count = len(self.visits(code))
        self._delete("DELETE FROM client WHERE code = ?", code)
        return count

    def drop(self, visit: int) -> None:
        """Take one visit out for good: its client does not want it kept."""
        self._delete("DELETE FROM visit WHERE id = ?", visit)

    def _delete(self, sql: str, value: object) -> None:
        with _told(self.path):
            with self._writing() as writing:
                writing.execute(sql, (value,))
                _sweep(writing)
            self._connection.execute("VACUUM")
            # what was erased may still stand in the log beside the book
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def back_up(self, path: str) -> None:
        """Write a copy of the whole book to a new file that only its owner can read."""
        if Path(path).exists():
            raise _fault(path, "E704", "is there already", "Name a new file.")
        with _told(path):
            _only_ours(path)
            copy = sqlite3.connect(path)
            try:
                self._connection.backup(copy)
            finally:
                copy.close()


def _client(writing: sqlite3.Connection, code: str) -> int:
    """Return the row of a client, who is entered if new."""
    writing.execute(
        "INSERT INTO client (code, created) VALUES (?, ?) ON CONFLICT DO NOTHING", (code, _now())
    )
    row = writing.execute("SELECT id FROM client WHERE code = ?", (code,)).fetchone()
    return int(row[0])


def _sweep(writing: sqlite3.Connection) -> None:
    """Take out the row of those whose code was not told yet, once nobody is left on it."""
    writing.execute(
        "DELETE FROM client WHERE code = '' AND NOT EXISTS"
        " (SELECT 1 FROM visit WHERE visit.client = client.id)"
    )


def _must_be_there(path: str) -> None:
    """Raise E301 where there is no book: reading must not begin one."""
    if not Path(path).is_file():
        remedy = "Begin one with foldspan measure, or name another: --book FILE."
        raise _fault(path, "E301", "there is no book of records", remedy)


def _only_ours(path: str) -> None:
    """Begin a missing file, and its folder, readable by the owner only; narrow an open one."""
    place = Path(path)
    if not place.exists():
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(place, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    elif os.name == "posix" and place.is_file() and place.stat().st_mode & 0o077:
        place.chmod(0o600)


def _digest(before: str, place: int, at: str, kind: str, text: str) -> str:
    return hashlib.sha256("\x1f".join((before, str(place), at, kind, text)).encode()).hexdigest()


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _fault(path: str, code: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem(code, path, what, remedy)])


def _damaged(path: str) -> FoldspanError:
    remedy = "Leave it as it is and go on with a backup; nothing was changed."
    return _fault(path, "E702", "the book is damaged", remedy)


@contextmanager
def _told(path: str) -> Iterator[None]:
    """Turn what the disk and the database say into problems that name the file and the way out."""
    try:
        yield
    except sqlite3.OperationalError as error:
        text = str(error).lower()
        if "locked" in text or "busy" in text:
            remedy = "Wait until the other session has ended, then try again."
            raise _fault(path, "E705", "held by another session", remedy) from None
        if "full" in text or "disk i/o" in text:
            remedy = "Make room on the disk and try again; what was kept before stays."
            raise _fault(path, "E704", "the disk is full, or refuses to write", remedy) from None
        remedy = "Check the folder and its permissions, or name another file: --book FILE."
        raise _fault(path, "E704", "cannot be read or written", remedy) from None
    except sqlite3.DatabaseError as error:
        if "not a database" in str(error).lower():
            what = "no book, or damaged at its beginning"
            raise _fault(path, "E701", what, "Name another file, or go on with a backup.") from None
        raise _damaged(path) from None
    except OSError:
        remedy = "Check the folder and its permissions, or name another file: --book FILE."
        raise _fault(path, "E704", "cannot be read or written", remedy) from None

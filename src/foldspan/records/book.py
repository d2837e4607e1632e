"""Book: the book in which measured visits are kept, one SQLite file that only its owner can read.

The book is append-only: every reading, correction and note is an event, and an event is never changed.
Each carries the digest of the one before it, so that a bit that flipped is found and said. Only erasing
a client for good, or a consent taken back, takes events out, all of them.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Self

from foldspan.files.output import write_private
from foldspan.records.digests import seal
from foldspan.records.storage import (
    begin_book,
    damaged,
    fault,
    is_held,
    must_be_there,
    naming_the_book,
    open_book,
    open_to_read,
)


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
        E301 if there is no book, E701 if the file is not a book, E702 if it is damaged, E703 if it
        was written by a newer version, E704 if it cannot be read or written, E705 if another
        session is using it, E706 if there is no such client or visit.
    """

    def __init__(self, path: str, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection
        self._seen: tuple[tuple[int, int], list[tuple[int, str, str]]] = ((-1, -1), [])

    def __repr__(self) -> str:
        """Return the path and nothing of what is in it."""
        return f"Book({self.path!r})"

    @classmethod
    @contextmanager
    def opened(
        cls, path: str, *, begins: bool = True, patience: int | None = None
    ) -> Iterator[Self]:
        """Open a book to write in it; where there is no file, begin one if it ``begins``.

        ``patience`` as in ``records.storage.open_book``.
        """
        with naming_the_book(path):
            if begins and not Path(path).exists():
                begin_book(path)
            must_be_there(path)
            with closing(open_book(path, patience)) as connection:
                yield cls(path, connection)

    @classmethod
    @contextmanager
    def read(cls, path: str) -> Iterator[Self]:
        """Open an existing book for reading, even in a folder that cannot be written to.

        Raises
        ------
        FoldspanError
            E301 where there is no such file, else as ``opened``.
        """
        with naming_the_book(path):
            must_be_there(path)
        if os.access(path, os.W_OK) and os.access(Path(path).resolve().parent, os.W_OK):
            with cls.opened(path, begins=False) as book:
                yield book
            return
        with naming_the_book(path), closing(open_to_read(path)) as connection:
            yield cls(path, connection)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that is on the disk when it ends, or not there at all."""
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield self._connection
            self._connection.execute("COMMIT")
        except BaseException:
            if self._connection.in_transaction:  # a full disk has rolled it back already
                self._connection.execute("ROLLBACK")
            raise

    def _ask(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        with naming_the_book(self.path):
            return self._connection.execute(sql, values).fetchall()

    def _clients(self) -> dict[int, tuple[str, str]]:
        """Row → code and name of every client, each row held against its seal."""
        found = {}
        for row, code, name, created, kept in self._ask(
            "SELECT id, code, name, created, seal FROM client ORDER BY code"
        ):
            if seal("client", row, code, name, created) != kept:
                raise damaged(self.path)
            found[row] = (code, name)
        return found

    def _visits(self) -> list[tuple[int, str, str]]:
        """Number, client's code and beginning of every visit, read again when the book has changed."""
        changes = self.changes
        if self._seen[0] != changes:
            self._seen = (changes, self._read_visits())
        return self._seen[1]

    def _read_visits(self) -> list[tuple[int, str, str]]:
        """Every visit, each row held against its seal."""
        clients = self._clients()
        found = []
        # the last digest is part of the seal, so that events cut off at the end are noticed too
        for number, client, created, kept, last in self._ask(
            "SELECT id, client, created, seal, coalesce((SELECT digest FROM event"
            " WHERE event.visit = visit.id ORDER BY place DESC LIMIT 1), '') FROM visit ORDER BY id"
        ):
            if seal("visit", number, client, created, last) != kept or client not in clients:
                raise damaged(self.path)
            found.append((number, clients[client][0], created))
        return found

    def clients(self) -> list[tuple[str, str, int, str]]:
        """Return code, name, number of visits and time of the last one for every client."""
        begun: dict[str, list[str]] = {}
        for _, code, created in self._visits():
            begun.setdefault(code, []).append(created)
        return [
            (code, name, len(begun.get(code, ())), max(begun.get(code, ()), default=""))
            for code, name in self._clients().values()
        ]

    def visits(self, code: str) -> list[int]:
        """Return the numbers of a client's visits, the first one first."""
        self._must_know(code)
        return [number for number, other, _ in self._visits() if other == code]

    def all_visits(self) -> list[tuple[int, str]]:
        """Return number and client's code of every visit."""
        return [(number, code) for number, code, _ in self._visits()]

    def unfinished(self) -> list[tuple[int, str, str]]:
        """Return number, client's code and beginning of every visit that was not ended."""
        begun = {row for (row,) in self._ask("SELECT DISTINCT visit FROM event")}
        sql = "SELECT visit FROM event WHERE kind IN ('ended', 'imported')"
        ended = {row for (row,) in self._ask(sql)}
        return [visit for visit in self._visits() if visit[0] in begun - ended]

    def _must_know(self, code: str) -> None:
        if not code or code not in {known for known, _ in self._clients().values()}:
            raise fault(
                self.path, "E706", "no such client in this book", "See foldspan records list."
            )

    def name_of(self, code: str) -> str:
        """Return the name recorded beside a code, "" if there is none."""
        return dict(self._clients().values()).get(code, "")

    def begin(self, code: str = "") -> int:
        """Begin a visit of a client, who is entered on the first one; return its number.

        ``code`` is "" until the client's code is entered; ``append`` adds it.
        """
        with naming_the_book(self.path), self._writing() as writing:
            client, now = _client(writing, code), _now()
            cursor = writing.execute(
                "INSERT INTO visit (client, created, seal) VALUES (?, ?, '')", (client, now)
            )
            number = int(cursor.lastrowid or 0)
            _put(writing, number, client)
            return number

    def begin_with(self, code: str, events: Iterable[tuple[str, Mapping[str, Any]]]) -> int:
        """Begin a visit with events that are there already, all of them or none; return its number."""
        with naming_the_book(self.path), self._writing() as writing:
            client, now = _client(writing, code), _now()
            cursor = writing.execute(
                "INSERT INTO visit (client, created, seal) VALUES (?, ?, '')", (client, now)
            )
            number = int(cursor.lastrowid or 0)
            digest = str(number)
            for place, (kind, body) in enumerate(events, start=1):
                digest = _write(writing, number, Event(place, now, kind, body), digest)
            _put(writing, number, client)
            _sweep(writing)
            return number

    def name(self, code: str, name: str) -> None:
        """Record a name beside a code, or remove it with ""."""
        self._must_know(code)
        with naming_the_book(self.path), self._writing() as writing:
            writing.execute("UPDATE client SET name = ? WHERE code = ?", (name, code))
            _seal_client(writing, code)

    def append(
        self, visit: int, kind: str, body: Mapping[str, Any], *, place: int, code: str | None = None
    ) -> None:
        """Add an event to a visit; it is on the disk when this returns.

        ``place`` is the number the event is to have: another session that wrote meanwhile is noticed.
        ``code`` puts the visit under a client's code in the same stroke.
        """
        with naming_the_book(self.path), self._writing() as writing:
            row = writing.execute(
                "SELECT place, digest FROM event WHERE visit = ? ORDER BY place DESC LIMIT 1",
                (visit,),
            ).fetchone()
            last, digest = row or (0, str(visit))
            if place != last + 1:
                raise fault(
                    self.path, "E705", "another session has this visit open",
                    "End one of the two, then continue with measure --resume.",
                )  # fmt: skip
            _write(writing, visit, Event(place, _now(), kind, body), digest)
            before = writing.execute("SELECT client FROM visit WHERE id = ?", (visit,)).fetchone()
            client = None if code is None else _client(writing, code)
            _put(writing, visit, client)
            if client is not None and (client,) != before:  # else a large book is gone through
                _sweep(writing)

    def take_in(self, code: str, name: str, visits: Sequence[Sequence[Event]]) -> None:
        """Enter visits of a client with their events as they were, all of them or none.

        A ``name`` is noted where the client has none.
        """
        with naming_the_book(self.path), self._writing() as writing:
            client = _client(writing, code)
            for events in visits:
                cursor = writing.execute(
                    "INSERT INTO visit (client, created, seal) VALUES (?, ?, '')",
                    (client, events[0].at),
                )
                visit = int(cursor.lastrowid or 0)
                digest = str(visit)
                for event in events:
                    digest = _write(writing, visit, event, digest)
                _put(writing, visit, client)
            writing.execute("UPDATE client SET name = ? WHERE id = ? AND name = ''", (name, client))
            _seal_client(writing, code)

    def events(self, visit: int) -> list[Event]:
        """Return the events of a visit in their order, every digest checked."""
        with naming_the_book(self.path):
            rows = self._connection.execute(
                "SELECT place, at, kind, body, digest FROM event WHERE visit = ? ORDER BY place",
                (visit,),
            ).fetchall()
        digest, found = str(visit), []
        for order, (place, at, kind, text, kept) in enumerate(rows, start=1):
            digest = seal(digest, place, at, kind, text)
            if place != order or digest != kept:
                raise damaged(self.path)
            found.append(Event(place, at, kind, json.loads(text)))
        return found

    def last_place(self, visit: int) -> int:
        """Return the place of the last event of a visit, 0 where there is none."""
        sql = "SELECT coalesce(max(place), 0) FROM event WHERE visit = ?"
        return int(self._ask(sql, visit)[0][0])

    def last_places(self) -> dict[int, int]:
        """Return the place of the last event of every visit that has any."""
        return dict(self._ask("SELECT visit, max(place) FROM event GROUP BY visit"))

    @property
    def changes(self) -> tuple[int, int]:
        """What tells whether anything in the book changed, by this session or another."""
        [(version,)] = self._ask("PRAGMA data_version")
        return int(version), self._connection.total_changes

    def erase(self, code: str) -> int:
        """Take a client out for good, with all visits and events; return how many visits went."""
        count = len(self.visits(code))
        self._delete("DELETE FROM client WHERE code = ?", code)
        return count

    def drop(self, visit: int) -> None:
        """Erase one visit for good because its client does not want it saved."""
        self._delete("DELETE FROM visit WHERE id = ?", visit)

    def _delete(self, sql: str, value: object) -> None:
        with naming_the_book(self.path):
            with self._writing() as writing:
                writing.execute(sql, (value,))
                _sweep(writing)
            self._connection.execute("VACUUM")
            # what was erased may still stand in the log beside the book
            busy, *_ = self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            if busy:
                what = "deleted from the book, but another session still has a copy on disk"
                raise fault(
                    self.path, "E705", what, ("End that session, and the copy is deleted too.")
                )

    def back_up(self, path: str, *, replace: bool = False) -> None:
        """Write a copy of the book to a file that only its owner can read, complete or not at all.

        Raises
        ------
        FoldspanError
            As ``files.output.write_private``; E704 or E705 where the book cannot be read.
        """
        with naming_the_book(self.path):
            copy = self._connection.serialize()  # pages of the log are in it
        write_private(path, copy, replace=replace)

    def is_held(self) -> bool:
        """Return whether another session writes now; it is not waited for."""
        return is_held(self._connection)

    def must_be_writable(self) -> None:
        """Raise E704 or E705 if nothing can be written now, before a client is asked."""
        with naming_the_book(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                # a book in a place where nothing can be written lets a transaction begin
                version = self._connection.execute("PRAGMA user_version").fetchone()[0]
                self._connection.execute(f"PRAGMA user_version = {version}")
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")


def _write(writing: sqlite3.Connection, visit: int, event: Event, digest: str) -> str:
    """Write an event behind the one with this digest; return its own."""
    text = json.dumps(event.body, sort_keys=True)
    found = seal(digest, event.place, event.at, event.kind, text)
    writing.execute(
        "INSERT INTO event (visit, place, at, kind, body, digest) VALUES (?, ?, ?, ?, ?, ?)",
        (visit, event.place, event.at, event.kind, text, found),
    )
    return found


def _client(writing: sqlite3.Connection, code: str) -> int:
    """Return the row of a client, who is entered if new."""
    writing.execute(
        "INSERT INTO client (code, created, seal) VALUES (?, ?, '') ON CONFLICT DO NOTHING",
        (code, _now()),
    )
    _seal_client(writing, code)
    row = writing.execute("SELECT id FROM client WHERE code = ?", (code,)).fetchone()
    return int(row[0])


def _seal_client(writing: sqlite3.Connection, code: str) -> None:
    sql = "SELECT id, code, name, created FROM client WHERE code = ?"
    row = writing.execute(sql, (code,)).fetchone()
    writing.execute("UPDATE client SET seal = ? WHERE id = ?", (seal("client", *row), row[0]))


def _put(writing: sqlite3.Connection, visit: int, client: int | None) -> None:
    """Put a visit under a client, if one is given, and seal it with its last event."""
    if client is not None:
        writing.execute("UPDATE visit SET client = ? WHERE id = ?", (client, visit))
    row = writing.execute(
        "SELECT id, client, created, coalesce((SELECT digest FROM event WHERE event.visit = visit.id"
        " ORDER BY place DESC LIMIT 1), '') FROM visit WHERE id = ?",
        (visit,),
    ).fetchone()
    writing.execute("UPDATE visit SET seal = ? WHERE id = ?", (seal("visit", *row), visit))


def _sweep(writing: sqlite3.Connection) -> None:
    """Take out every client who has no visit left: a code that was withdrawn, or mended."""
    writing.execute(
        "DELETE FROM client WHERE NOT EXISTS (SELECT 1 FROM visit WHERE visit.client = client.id)"
    )


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")

"""Books of the first day of the record: no row carried a seal yet, so each is sealed when it is opened.

Version 0.4.0 began with these tables, and had the sealed ones before the day was out; both say that they
are of the first shape, so the tables themselves tell them apart.
"""

from __future__ import annotations

import sqlite3

from foldspan.records.digests import seal

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
SHAPE = "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name"


def is_unsealed(connection: sqlite3.Connection) -> bool:
    """Whether a book has the tables that it had before its rows were sealed."""
    return is_unsealed_shape(connection.execute(SHAPE).fetchall())


def is_unsealed_shape(shape: list[tuple[str, ...]]) -> bool:
    """Whether tables, indices and triggers are those from before rows were sealed."""
    first = sqlite3.connect(":memory:")
    try:
        first.executescript(_TABLES)
        return bool(first.execute(SHAPE).fetchall() == shape)
    finally:
        first.close()


def set_aside(connection: sqlite3.Connection) -> bool:
    """Put the tables without seals aside; return False, and change nothing, if an event is damaged.

    A seal vouches for what it is put on, so the events are held against their own digests first.
    """
    if connection.execute("PRAGMA foreign_key_check").fetchone() or not _is_sound(connection):
        return False
    connection.execute("DROP TRIGGER event_stays")
    for table in ("event", "visit", "client"):
        connection.execute(f"ALTER TABLE {table} RENAME TO {table}_before")
    return True


def take_over(connection: sqlite3.Connection) -> None:
    """Put every row that was set aside into the sealed tables, under the number that it had."""
    ask = connection.execute
    for client in ask("SELECT id, code, name, created FROM client_before").fetchall():
        sealed = (*client, seal("client", *client))
        ask("INSERT INTO client (id, code, name, created, seal) VALUES (?, ?, ?, ?, ?)", sealed)
    for visit in ask("SELECT id, client, created FROM visit_before ORDER BY id").fetchall():
        ask("INSERT INTO visit (id, client, created, seal) VALUES (?, ?, ?, '')", visit)
        digest = str(visit[0])
        events = ask(
            "SELECT id, visit, place, at, kind, body FROM event_before WHERE visit = ?"
            " ORDER BY place",
            visit[:1],
        ).fetchall()
        for event in events:
            digest = seal(digest, *event[2:])
            ask(
                "INSERT INTO event (id, visit, place, at, kind, body, digest)"
                " VALUES (?, ?, ?, ?, ?, ?, ?)",
                (*event, digest),
            )
        last = digest if events else ""
        ask("UPDATE visit SET seal = ? WHERE id = ?", (seal("visit", *visit, last), visit[0]))
    for table in ("event", "visit", "client"):
        ask(f"DROP TABLE {table}_before")


def _is_sound(connection: sqlite3.Connection) -> bool:
    """Whether every event carries the digest of what it holds and of the one before it."""
    visit, order, digest = 0, 0, ""
    for number, place, at, kind, body, kept in connection.execute(
        "SELECT visit, place, at, kind, body, digest FROM event ORDER BY visit, place"
    ):
        if number != visit:
            visit, order, digest = number, 0, ""
        order, digest = order + 1, seal(digest, place, at, kind, body)
        if place != order or digest != kept:
            return False
    return True

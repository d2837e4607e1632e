"""Storage: how a book of records is begun, opened, brought up to date, and held against damage.

A book is begun beside its place and moved there whole, so that two sessions that begin one together, or
a power cut, never leave half a book. Every row carries a seal, a digest of what it holds.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from foldspan.problems import FoldspanError, Problem
from foldspan.records.unsealed import SHAPE, is_unsealed, is_unsealed_shape, set_aside, take_over

# "fold" in ASCII: marks the file as a book of ours
APPLICATION_ID = 0x666F6C64
SCHEMA = 2
# how long another session may hold the book before this one gives up [ms]
PATIENCE = 5000
_TABLES = """
CREATE TABLE client (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    code TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL DEFAULT '',
    created TEXT NOT NULL,
    seal TEXT NOT NULL
);
CREATE TABLE visit (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    client INTEGER NOT NULL REFERENCES client (id) ON DELETE CASCADE,
    created TEXT NOT NULL,
    seal TEXT NOT NULL
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
MIGRATIONS: dict[int, str] = {
    1: _TABLES,
    # no other shape: a step of a session may be a page of answers, which earlier versions pass over
    2: "",
}


def make_private(path: str) -> None:
    """Begin a file, and its folder if there is none, that only its owner can read."""
    place = Path(path)
    place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    os.close(os.open(place, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def must_be_there(path: str) -> None:
    """Raise E301 where there is no book: reading must not begin one."""
    if not Path(path).exists():
        remedy = "Start one with foldspan measure, or give another: --book FILE."
        raise fault(path, "E301", "there is no record book", remedy)


def begin_book(path: str) -> None:
    """Begin a book beside its place and move it there whole; another that came first stays."""
    made = f"{path}.{secrets.token_hex(6)}.new"
    make_private(made)
    try:
        connection = _connect(made)
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            _bring_up_to_date(connection)
        finally:
            connection.close()
        with suppress(FileExistsError):
            _move(made, path)
    finally:
        for ending in ("", "-wal", "-shm"):
            Path(f"{made}{ending}").unlink(missing_ok=True)


def _move(made: str, path: str) -> None:
    """Move a file to a place where none may be."""
    try:
        os.link(made, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if Path(path).exists():
            raise FileExistsError(path) from None
        Path(made).rename(path)


def open_book(path: str, patience: int | None = None) -> sqlite3.Connection:
    """Open a book to write in it, bring it up to date, and narrow who can read it.

    ``patience`` is how long another session may hold it at each stroke [ms], ``PATIENCE`` if not given.

    Raises
    ------
    FoldspanError
        E701 not a book, E702 damaged, E703 written by a newer version.
    """
    _check_begin(path)
    connection = _checked(_connect(path, patience), path)
    try:
        _seal_first_book(connection, path)
        _bring_up_to_date(connection)
    except BaseException:
        connection.close()
        raise
    if os.name == "posix" and Path(path).stat().st_mode & 0o077:
        Path(path).chmod(0o600)
    return connection


def open_to_read(path: str) -> sqlite3.Connection:
    """Open a book in a place where nothing can be written; raises as ``open_book``."""
    _check_begin(path)
    log = Path(f"{path}-wal")
    # a log that a killed session left holds what was kept last: it must not be passed over
    fixed = "" if log.exists() and log.stat().st_size > 0 else "&immutable=1"
    place = f"{Path(path).resolve().as_uri()}?mode=ro{fixed}"
    connection = _checked(sqlite3.connect(place, uri=True, isolation_level=None), path)
    if not is_unsealed(connection):
        return connection
    # it is sealed in memory each time, because its own place cannot be written to
    with closing(connection):
        copy = sqlite3.connect(":memory:", isolation_level=None)
        connection.backup(copy)
    try:
        _seal_first_book(copy, path)
    except BaseException:
        copy.close()
        raise
    return copy


def _checked(connection: sqlite3.Connection, path: str) -> sqlite3.Connection:
    """Return a connection to a sound book; one to anything else is closed."""
    try:
        _check(connection, path)
    except BaseException:
        connection.close()
        raise
    return connection


def _connect(path: str, patience: int | None = None) -> sqlite3.Connection:
    waits = PATIENCE if patience is None else min(patience, PATIENCE)
    connection = sqlite3.connect(path, timeout=waits / 1000.0, isolation_level=None)
    for pragma in ("foreign_keys = ON", "secure_delete = ON", "synchronous = FULL"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def _check_begin(path: str) -> None:
    """Raise E701 for a file that cannot be a database: an empty one would be begun anew in silence."""
    with open(path, "rb") as file:
        begin = file.read(100)
    if len(begin) < 100 or not begin.startswith(b"SQLite format 3\x00"):
        raise _no_book(path)


def _check(connection: sqlite3.Connection, path: str) -> None:
    """Raise where the file is no book, newer than this version, or damaged."""
    ask = connection.execute
    if ask("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise fault(path, "E701", "not a record book", "Give another file: --book FILE.")
    version = ask("PRAGMA user_version").fetchone()[0]
    if version > SCHEMA:
        raise fault(path, "E703", "written by a newer version", "Update foldspan.")
    shape = ask(SHAPE).fetchall()  # once: another session may be sealing the book
    is_of_today = version >= 1 and shape == _shape(version)
    if not is_of_today and not (version == 1 and is_unsealed_shape(shape)):
        raise damaged(path)
    if ask("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
        raise damaged(path)


def _shape(version: int) -> list[tuple[str, ...]]:
    """Tables, indices and triggers as a sound book of a version has them."""
    connection = sqlite3.connect(":memory:")
    try:
        for step in range(1, version + 1):
            connection.executescript(MIGRATIONS[step])
        return connection.execute(SHAPE).fetchall()
    finally:
        connection.close()


def _bring_up_to_date(connection: sqlite3.Connection) -> None:
    while (version := connection.execute("PRAGMA user_version").fetchone()[0]) < SCHEMA:
        connection.execute("BEGIN IMMEDIATE")
        # another session may have taken the step meanwhile
        if connection.execute("PRAGMA user_version").fetchone()[0] == version:
            _run(connection, MIGRATIONS[version + 1])
            connection.execute(f"PRAGMA user_version = {version + 1}")
        connection.execute("COMMIT")


def _seal_first_book(connection: sqlite3.Connection, path: str) -> None:
    """Seal a book whose rows carry no seals yet, all of it or nothing."""
    if not is_unsealed(connection):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        if is_unsealed(connection):  # another session may have done it meanwhile
            if not set_aside(connection):
                raise damaged(path)
            _run(connection, MIGRATIONS[1])
            take_over(connection)
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _run(connection: sqlite3.Connection, statements: str) -> None:
    """Run statements inside the open transaction, which a script would end."""
    whole = ""
    for line in statements.splitlines(keepends=True):
        whole += line
        if sqlite3.complete_statement(whole):
            connection.execute(whole)
            whole = ""
    if whole.strip():
        connection.execute(whole)


def is_held(connection: sqlite3.Connection) -> bool:
    """Return whether another session writes in a book now; it is not waited for."""
    [patience] = connection.execute("PRAGMA busy_timeout").fetchone()
    connection.execute("PRAGMA busy_timeout = 0")
    try:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("ROLLBACK")
    except sqlite3.OperationalError as error:
        return any(word in str(error).lower() for word in ("locked", "busy"))
    finally:
        connection.execute(f"PRAGMA busy_timeout = {patience}")
    return False


def fault(path: str, code: str, what: str, remedy: str) -> FoldspanError:
    """Return an error about a book."""
    return FoldspanError([Problem(code, path, what, remedy)])


def damaged(path: str) -> FoldspanError:
    """Return the error of a damaged book."""
    remedy = "Nothing was changed. Leave it as it is and use a backup."
    return fault(path, "E702", "the book is damaged", remedy)


def _no_book(path: str) -> FoldspanError:
    what = "not a record book, or damaged at the start"
    return fault(path, "E701", what, "Give another file, or use a backup.")


def _out_of_reach(path: str) -> FoldspanError:
    remedy = "Check the folder and its permissions, or give another file: --book FILE."
    return fault(path, "E704", "cannot be read or written", remedy)


@contextmanager
def naming_the_book(path: str) -> Iterator[None]:
    """Turn what the disk and the database say into problems that name the file and the way out."""
    try:
        yield
    except sqlite3.OperationalError as error:
        raise _operational(path, str(error).lower()) from None
    except sqlite3.DatabaseError as error:
        if "not a database" in str(error).lower():
            raise _no_book(path) from None
        raise damaged(path) from None
    except UnicodeDecodeError:
        raise damaged(path) from None
    except IsADirectoryError:
        remedy = "Give the file itself, not its folder."
        raise fault(path, "E302", "not a file", remedy) from None
    except OSError:
        raise _out_of_reach(path) from None


def _operational(path: str, text: str) -> FoldspanError:
    """Return what an operational error of the database means for the one who keeps the book."""
    if "locked" in text or "busy" in text:
        remedy = "Wait until the other session has ended, then try again."
        return fault(path, "E705", "in use by another session", remedy)
    if "full" in text or "disk i/o" in text:
        remedy = "Free some disk space and try again; earlier entries are safe."
        return fault(path, "E704", "the disk is full or cannot be written to", remedy)
    if "decode" in text or "malformed" in text or "no such" in text:
        return damaged(path)
    return _out_of_reach(path)

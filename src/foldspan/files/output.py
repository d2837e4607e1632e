"""Output: one rule for whatever is written, by every command.

A file that is read is never written over, by whatever name it is reached. A file that is there
already is written over only where the caller says so, and never through a link. Each file is whole or
not there, and only its owner can read it. Where one of several cannot be written, those that were are
named.
"""

from __future__ import annotations

import dataclasses
import errno
import os
import re
import stat
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import BinaryIO

from foldspan.problems import FoldspanError, Problem

try:
    import fcntl
except ImportError:  # a system without such locks
    fcntl = None  # type: ignore[assignment]

FORCE = "Add --force to overwrite it, or choose another name."
# what a book of records is kept in, beside the file itself
_BESIDE_A_BOOK = ("", "-wal", "-shm", "-journal")


def _stop(code: str, where: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem(code, where, what, remedy)])


def check_outputs(
    outputs: Sequence[str],
    inputs: Sequence[str] = (),
    *,
    replace: bool = False,
    remedy: str = FORCE,
) -> None:
    """Hold the files to be written against those that are read, before the work begins.

    Parameters
    ----------
    outputs, inputs : sequence of str
        Paths; "" and ``-`` stand for none.
    replace : bool
        Whether a file that is there may be written over.
    remedy : str
        What to do where one is there and ``replace`` is not set.

    Raises
    ------
    FoldspanError
        E308 for a file that is read too, is named twice, is a link, or is there already; E302 for
        something else than a file; E303 for a folder that is not there. All at once.
    """
    problems: list[Problem] = []
    read = {key: other for other in inputs if other and other != "-" for key in _keys(other)}
    seen: set[object] = set()
    for path in (output for output in outputs if output and output != "-"):
        keys = _keys(path)
        if other := next((read[key] for key in keys if key in read), ""):
            lost = "It is an input file and would be lost: choose another name."
            problems.append(_same(path, other, lost))
        elif seen & keys:
            problems.append(
                _same(path, path, "Give two different files.", "two outputs have this name")
            )
        else:
            try:
                _check_place(path, replace=replace, remedy=remedy)
            except FoldspanError as error:
                problems += error.problems
        seen |= keys
    if problems:
        raise FoldspanError(problems)


def check_apart(pairs: Sequence[tuple[str, str]]) -> None:
    """Raise E308 where a file that is to be written is one that is read or written besides.

    Links are followed: a list must not be written over the table it was made from.
    """
    found = [
        _same(first, second, "Choose another one.")
        for first, second in pairs
        if first and second and "-" not in (first, second) and are_same(first, second)
    ]
    if found:
        raise FoldspanError(found)


def _same(path: str, other: str, remedy: str, what: str = "") -> Problem:
    return Problem("E308", path, what or f"is the same file as {other}", remedy)


def files_of_book(path: str) -> tuple[str, ...]:
    """Return the files that a book of records is kept in."""
    return tuple(f"{path}{ending}" for ending in _BESIDE_A_BOOK)


def are_same(first: str, second: str) -> bool:
    """Whether two paths lead to one file: spelt otherwise, through links, or with other capitals.

    Capitals do not count anywhere: a disk that is moved to another machine may not tell them apart.
    """
    return not _keys(first).isdisjoint(_keys(second))


def _keys(path: str) -> set[object]:
    """Return what a path shares with every other one that leads to the same file."""
    keys: set[object] = set()
    with suppress(OSError, ValueError):
        keys.add(_folded(path))
        found = os.stat(path)
        keys.add((found.st_dev, found.st_ino))
    return keys


def name_part(text: str) -> str:
    """Return a text as part of a file's name."""
    return re.sub(r"[^A-Za-z0-9-]+", "_", text)[:60]


def _folded(path: str) -> str:
    return unicodedata.normalize("NFC", os.path.realpath(path)).casefold()


def _check_place(path: str, *, replace: bool, remedy: str) -> None:
    """Raise for a place where no file can be written, or where one is that must stay."""
    if path == "-":
        raise _stop("E302", path, "is not a file", "Give a file.")
    if not _is_there(path):
        folder = os.path.dirname(path) or "."
        if "\0" not in path and not os.path.isdir(folder):
            raise _stop("E303", path, "there is no such folder", _FOLDER)
    elif not replace:
        raise _stop("E308", path, "already exists", remedy)
    elif os.path.islink(path):
        what = "is a link; its target will not be overwritten"
        raise _stop("E308", path, what, "Give that file itself, or a new one.")
    elif not os.path.isfile(path):
        # a device or a folder is not to be replaced by a file
        raise _stop("E302", path, "already exists and is not a file", "Choose a new file name.")


_FOLDER = "Create the folder first, or choose another."


def write_private(path: str, content: str | bytes, *, replace: bool = False) -> None:
    """Write a file that only its owner can read, whole or not at all.

    ``replace`` allows to write over a file of that name: until the new one is whole the old one stays.

    Raises
    ------
    FoldspanError
        E308 where a file of that name is there already, or a link; E302 where something else than a
        file is; E303 where it cannot be written.
    """
    raw = content.encode() if isinstance(content, str) else content
    with private_file(path, replace=replace) as out:
        out.write(raw)


@contextmanager
def private_file(path: str, *, replace: bool = False) -> Iterator[BinaryIO]:
    """Open a file for writing that only its owner can read, and that gets its name once it is whole.

    Where the writing stops half-way, by whatever cause, there is no file of that name, or the old one.
    See ``write_private`` for errors.
    """
    _check_place(path, replace=replace, remedy=FORCE)
    try:
        with _whole_file(path, replace=replace) as out:
            yield out
    except FileExistsError:
        raise _stop("E308", path, "already exists", FORCE) from None
    except FileNotFoundError:
        raise _stop("E303", path, "there is no such folder", _FOLDER) from None
    except OSError as error:
        what = "cannot be written"
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            what = "the disk is full"
        remedy = "Check the folder, its permissions and free disk space."
        raise _stop("E303", path, what, remedy) from None


def renew_page(path: str, text: str) -> None:
    """Write a page of the documents anew, readable by all; only over one with the same first line.

    Raises
    ------
    FoldspanError
        E308 where another file is there, and as ``write_private``.
    """
    if os.path.isfile(path):
        with open(path, "rb") as old:
            if old.readline().strip() != text.splitlines()[0].strip().encode():
                raise _stop("E308", path, "is another page", "Choose a new file name.")
    write_private(path, text, replace=True)
    os.chmod(path, 0o644)


class Outputs:
    """What a command has written so far, so that it can be named where a later file fails."""

    def __init__(self) -> None:
        self.written: list[str] = []

    def add(self, path: str) -> None:
        """Take down a file that is written; "" and ``-`` stand for none."""
        if path and path != "-":
            self.written.append(path)

    @contextmanager
    def named(self) -> Iterator[None]:
        """Add to every problem raised inside which files were written all the same."""
        try:
            yield
        except FoldspanError as error:
            if not self.written:
                raise
            more = f"Still written: {', '.join(self.written)}."
            raise FoldspanError(
                [
                    dataclasses.replace(problem, remedy=f"{problem.remedy} {more}".strip())
                    for problem in error.problems
                ]
            ) from None


@contextmanager
def _whole_file(path: str, *, replace: bool) -> Iterator[BinaryIO]:
    """Write aside, then put it there in one step: nobody ever sees half a file."""
    _clear_left(path)
    handle, beside = _open_aside(path)
    try:
        with os.fdopen(handle, "wb") as out:
            _hold(out.fileno())
            yield out
            out.flush()
            os.fsync(out.fileno())
            if not beside:
                beside = _aside(path)
                # with a folder's number, though none is needed: only so the link is followed
                os.link(f"/proc/self/fd/{out.fileno()}", beside, src_dir_fd=out.fileno())
            if replace:
                os.replace(beside, path)
            else:
                _place_new(beside, path)
    finally:
        if beside and os.path.lexists(beside):
            os.unlink(beside)


def _hold(handle: int) -> bool:
    """Hold a file while it is open, at the longest until the process ends; whether that worked."""
    if fcntl is None:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _clear_left(path: str) -> None:
    """Take away what a process that was killed left beside a file: whole, but without its name.

    Only files of our own, that no process holds, of a process that is gone; a doubt leaves them there.
    """
    folder, name = os.path.split(path)
    pattern = re.compile(re.escape(name) + r"\.(\d+)\.part")
    try:
        left = [(name, pattern.fullmatch(name)) for name in os.listdir(folder or ".")]
    except (OSError, ValueError):
        return
    for name, match in left:
        if match is not None and _is_gone(int(match[1])):
            with suppress(OSError):
                _take_away(os.path.join(folder, name))


def _take_away(beside: str) -> None:
    handle = os.open(beside, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    try:
        kind = os.fstat(handle)
        if stat.S_ISREG(kind.st_mode) and kind.st_uid == os.geteuid() and _hold(handle):
            os.unlink(beside)
    finally:
        os.close(handle)


def _is_gone(process: int) -> bool:
    """Whether no process has this number; our own is that of a file left by one before us."""
    if process == os.getpid():
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


def _is_there(path: str) -> bool:
    try:
        return os.path.lexists(path)
    except ValueError:  # a NUL in the name
        return False


def _aside(path: str) -> str:
    return f"{path}.{os.getpid()}.part"


def _open_aside(path: str) -> tuple[int, str]:
    """Open a file without a name, which vanishes with the process; with one where that cannot be."""
    if "\0" in path:
        raise OSError(errno.EINVAL, "a name cannot contain NUL")
    nameless = getattr(os, "O_TMPFILE", 0)
    if nameless and os.path.isdir("/proc/self/fd"):
        try:
            return os.open(os.path.dirname(path) or ".", nameless | os.O_WRONLY, 0o600), ""
        except FileNotFoundError:
            raise
        except OSError:
            pass
    beside = _aside(path)
    return os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), beside


def _place_new(beside: str, path: str) -> None:
    """Give a whole file its name, never over another that came there meanwhile."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:  # a disk without links
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        os.rename(beside, path)

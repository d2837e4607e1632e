"""Files: read a text file or standard input, with a clear problem for whatever can go wrong."""

from __future__ import annotations

import errno
import json
import os
import re
import sys
import tomllib
from codecs import BOM_UTF8
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

from foldspan.problems import FoldspanError, Problem

# a visit has a few kilobytes; a parser must not be led to use up the memory
LARGEST = 200_000
ENDINGS = {".toml": "toml", ".json": "json"}


def _stop(code: str, where: str, what: str, remedy: str) -> FoldspanError:
    return FoldspanError([Problem(code, where, what, remedy)])


def read_text(path: str, largest: int | None = LARGEST) -> str:
    """Return the UTF-8 text of a file, or of standard input for ``-``; ``largest`` in bytes.

    Raises
    ------
    FoldspanError
        E301 not found, E302 not a file, E303 unreadable, E304 not UTF-8, E306 empty.
    """
    where = "standard input" if path == "-" else path
    try:
        raw = _standard_input() if path == "-" else Path(path).read_bytes()
    except FileNotFoundError:
        raise _stop("E301", where, "there is no such file", "Check the name and folder.") from None
    except (IsADirectoryError, NotADirectoryError):
        raise _stop("E302", where, "not a file", "Name the file itself, not its folder.") from None
    except (OSError, ValueError):
        raise _stop("E303", where, "cannot be read", "Check its permissions.") from None
    if largest is not None and len(raw) > largest:
        what = f"larger than {largest // 1000} kB, too large for a visit"
        raise _stop("E303", where, what, "Name a visit file; a table goes through reconcile_table.")
    if not raw.removeprefix(BOM_UTF8).strip():
        raise _stop("E306", where, "empty", "Start from examples/visit.toml.")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"not UTF-8 text (first at line {line})"
        raise _stop("E304", where, what, "Save it as UTF-8 and try again.") from None


def write_private(path: str, content: str | bytes, *, replace: bool = False) -> None:
    """Write a file that only its owner can read, whole or not at all.

    ``replace`` allows to write over a file of that name: until the new one is whole the old one stays.

    Raises
    ------
    FoldspanError
        E308 where a file of that name is there already, E302 where something else than a file is, E303
        where it cannot be written.
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
    target = path
    # a device or a folder is not to be replaced by a file; through a link its file is
    if replace and _is_there(path):
        if not os.path.isfile(path):
            raise _stop("E302", path, "is there already and is no file", "Name a new file.")
        target = os.path.realpath(path)
    try:
        with _whole_file(target, replace=replace) as out:
            yield out
    except FileExistsError:
        remedy = "Name a new file, or move the old one away."
        raise _stop("E308", path, "is there already", remedy) from None
    except FileNotFoundError:
        remedy = "Make the folder first, or name another."
        raise _stop("E303", path, "there is no such folder", remedy) from None
    except OSError as error:
        what = "cannot be written"
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            what = "there is no room left on the disk"
        remedy = "Check the folder, its permissions and the room on the disk."
        raise _stop("E303", path, what, remedy) from None


@contextmanager
def _whole_file(path: str, *, replace: bool) -> Iterator[BinaryIO]:
    """Write aside, then put it there in one step: nobody ever sees half a file."""
    if not replace and _is_there(path):
        raise FileExistsError(path)
    handle, beside = _open_aside(path)
    try:
        with os.fdopen(handle, "wb") as out:
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
        raise OSError(errno.EINVAL, "a name cannot hold NUL")
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
        os.rename(beside, path)


def _standard_input() -> bytes:
    """Everything on standard input; nothing where the caller closed it."""
    return b"" if sys.stdin is None else sys.stdin.buffer.read()


def _is_file(path: str) -> bool:
    try:
        return Path(path).is_file()
    except (OSError, ValueError):
        return False  # reading it will say what is wrong


def read_tree(path: str) -> dict[str, Any]:
    """Return the tree of a TOML or JSON file; the ending decides, standard input is looked at.

    Raises
    ------
    FoldspanError
        As ``read_text``, and E305 syntax with its line, E307 ending, E121 not a table.
    """
    kind = ENDINGS.get(Path(path).suffix.lower(), "") if path != "-" else ""
    if path != "-" and not kind and _is_file(path):
        raise _stop("E307", path, "ending not known", "Use .toml or .json.")
    text = read_text(path)
    kind = kind or ("json" if text.lstrip().startswith("{") else "toml")
    return parse_tree(text, kind, "standard input" if path == "-" else path)


def parse_tree(text: str, kind: str, where: str) -> dict[str, Any]:
    """Parse TOML or JSON text; see ``read_tree`` for errors."""
    remedy = "Mend that line; texts need quotes, lists need square brackets and commas."
    try:
        tree = tomllib.loads(text) if kind == "toml" else json.loads(text, object_pairs_hook=_once)
    except _GivenTwice:
        raise _stop("E122", where, "a name is given twice in one section", "Keep one.") from None
    except tomllib.TOMLDecodeError as error:
        remedy = _toml_remedy(text, str(error)) or remedy
        raise _stop("E305", where, f"not valid TOML: {_first_line(error)}", remedy) from None
    except json.JSONDecodeError as error:
        what = f"not valid JSON: {error.msg} (at line {error.lineno}, column {error.colno})"
        raise _stop("E305", where, what, remedy) from None
    except ValueError:  # a number of thousands of digits
        raise _stop("E305", where, "a number is too long to be one", remedy) from None
    except RecursionError:
        raise _stop("E305", where, "nested too deeply", "A visit has one level.") from None
    if not isinstance(tree, dict):
        raise _stop("E121", where, "not a table of sections", "Start from examples/visit.toml.")
    return tree


def _toml_remedy(text: str, words: str) -> str:
    """What to do about the line a TOML parser stopped at, or "" for the general advice."""
    found = re.search(r"at line (\d+)", words)
    lines = text.splitlines()
    line = lines[int(found.group(1)) - 1] if found and int(found.group(1)) <= len(lines) else ""
    bare = line.split("#")[0].strip()
    if "overwrite" in words or "twice" in words or "mutate" in words:
        return "That name or section is given twice: keep one."
    if re.search(r"=\s*[-+]?\d+,\d", bare):
        return "Write the number with a point, as in 82.4."
    if re.search(r"=\s*\d{4}-\d", bare):
        return "There is no such day, or it is not written as 2026-03-04."
    if re.match(r"[A-Za-z_]+\s*:", bare):
        return "Write = between the name and the value."
    if bare.count('"') % 2 == 1:
        return "A text needs a quote at both ends."
    if text.count("[") > text.count("]"):
        return "A list or a section name above is not closed: add the square bracket."
    return ""


class _GivenTwice(Exception):
    """A JSON object with one name twice; the standard reader would keep the last in silence."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    tree = dict(pairs)
    if len(tree) < len(pairs):
        raise _GivenTwice
    return tree


def _first_line(error: Exception) -> str:
    """The parser's own words, without the text it choked on."""
    words = str(error).splitlines()[0]
    return words if "(at " in words else "see the end of the file"

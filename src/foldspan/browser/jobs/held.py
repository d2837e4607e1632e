"""Held: the tables that lie here now; each only for the device that sent it, and not for long."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import threading
import time
import unicodedata
from collections import OrderedDict
from collections.abc import Iterator
from typing import BinaryIO

from foldspan.browser.jobs.folder import TablesFolder, no_room
from foldspan.browser.jobs.job import MADE, Job
from foldspan.problems import FoldspanError, Problem

# tables at a time; the one that was not used for longest makes room
MOST = 8
# a table that nobody looked at for so long is forgotten [s]
UNUSED = 7200.0
_LOOKS_EVERY = 60.0
# a name may have 255 bytes on most systems; a letter takes up to four
_LONGEST_NAME, _LONGEST_ENDING = 160, 24


class Tables:
    """The tables of a server, in a folder that is made with the first of them."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._folder: TablesFolder | None = None
        # looked through by a thread of its own too
        self._turn = threading.RLock()

    def __repr__(self) -> str:
        """Return how many there are."""
        return f"Tables({len(self._jobs)})"

    def take(self, file: BinaryIO, name: str, owner: str, settings: str, main: str = "") -> Job:
        """Keep a file that was sent, and have its columns looked at; ``main`` as in ``Job``.

        Raises
        ------
        FoldspanError
            E303 where there is no room on the disk.
        """
        with self._turn:
            if self._folder is None:
                self._folder = TablesFolder()
                threading.Thread(target=self._look_through, daemon=True).start()
            place = self._folder.path
        key = secrets.token_hex(8)
        job = Job(key, owner, _file_name(name), place / key, settings, main=main)
        try:
            job.folder.mkdir(mode=0o700)
            job.made.mkdir(mode=0o700)
            with open(job.folder / job.name, "xb", opener=_for_its_owner) as out:
                shutil.copyfileobj(file, out, 1 << 20)
        except OSError:
            job.forget()
            raise no_room() from None
        with self._turn:
            while len(self._jobs) >= MOST:
                self._forget(self._least_used(main))
            self._jobs[key] = job
        job.start("look")
        return job

    def _least_used(self, main: str) -> str:
        """The table that makes room: one that is worked on only where there is no other."""
        others = [job for key, job in self._jobs.items() if key != main]
        return min(others, key=lambda job: job.is_at_work).key

    def of(self, key: str, owner: str) -> Job:
        """Return a table by its key, for the device that sent it.

        Raises
        ------
        FoldspanError
            E706 where there is none.
        """
        with self._turn:
            job = self._jobs.get(key)
            if job is None or job.owner != owner:
                remedy = (
                    "Tables are deleted two hours after they were last used, or when eight newer ones"
                    " have been sent. Send it again."
                )
                raise FoldspanError([Problem("E706", "Table", "no longer here", remedy)])
            job.touched = time.monotonic()
            self._jobs.move_to_end(key)
            return job

    def sent_by(self, owner: str) -> Iterator[Job]:
        """Yield the tables of a device, the last used first."""
        with self._turn:
            yield from [job for job in reversed(self._jobs.values()) if job.owner == owner]

    def forget(self, key: str, owner: str) -> None:
        """Remove a table with all that came of it; E706 where there is none."""
        self._forget(self.of(key, owner).key)

    def close(self) -> None:
        """Remove everything."""
        with self._turn:
            for key in list(self._jobs):
                self._forget(key)
            if self._folder is not None:
                self._folder.close()
                self._folder = None

    def _forget(self, key: str) -> None:
        with self._turn:
            job = self._jobs.pop(key, None)
            earlier = [other.key for other in self._jobs.values() if other.main == key]
        if job is not None:
            job.forget()
        for other in earlier:
            self._forget(other)

    def _look_through(self) -> None:
        """Forget what nobody looks at any more, now and then, as long as there is a folder."""
        while self._folder is not None:
            time.sleep(_LOOKS_EVERY)
            with self._turn:
                now = time.monotonic()
                unused = [
                    key for key, job in self._jobs.items()
                    if now - job.touched > UNUSED and not job.is_at_work
                ]  # fmt: skip
            for key in unused:
                self._forget(key)


def _for_its_owner(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _file_name(name: str) -> str:
    r"""A name as a file may have it on any system, with its ending; no path, no hidden sign.

    Examples
    --------
    >>> _file_name("C:\\days\\May day.XLSX"), _file_name("../../etc/passwd"), _file_name("\x00")
    ('May day.XLSX', 'passwd', 'table')
    """
    last = unicodedata.normalize("NFC", re.split(r"[/\\]", name)[-1])
    kept = "".join(sign if sign.isalnum() or sign in " ._-()+" else "_" for sign in last)
    kept = kept.strip(" .-_") or "table"
    stem, dot, ending = kept.rpartition(".")
    if kept.lower().endswith(".gz"):
        stem, _, inner = stem.rpartition(".")
        dot, ending = ".", f"{inner}.{ending}" if inner else ending
    stem = _cut(stem, _LONGEST_NAME) or "table"
    if dot:
        return f"{stem}{dot}{_cut(ending, _LONGEST_ENDING)}"
    # without an ending it could have the name of the folder for what is made
    return f"{_cut(kept, _LONGEST_NAME)}_" if kept.casefold() == MADE else _cut(kept, _LONGEST_NAME)


def _cut(text: str, longest: int) -> str:
    """The beginning of a text, in so many bytes."""
    return text.encode()[:longest].decode(errors="ignore")

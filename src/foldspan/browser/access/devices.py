"""Devices: who was let in, as digests of secrets that only the device itself has.

A device keeps its secret in a cookie, a program its token; here stands only what both come to. What is
kept for the next start lies in a file that only its owner can read.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from threading import RLock

from foldspan.files.output import write_private
from foldspan.problems import FoldspanError, Problem

# a device is let in again after so long [s]
HOURS_12 = 12 * 3600.0
# without a touch for so long a device from the network is locked [s]
IDLE = 600.0
KINDS = ("own", "paired", "program")


@dataclass(frozen=True, slots=True)
class Device:
    """One device or program that was let in."""

    name: str
    """What it is called on the page of devices."""
    kind: str
    """``own``: the computer that serves; ``paired``: one of the network; ``program``: a token."""
    digest: str
    """Digest of its secret."""
    since: float
    """When it was let in [s since 1970]."""
    until: float
    """When that ends [s since 1970]; a program's token ends when it is revoked."""


class Devices:
    """Those that were let in.

    Parameters
    ----------
    path : str
        Where paired devices and tokens are kept for the next start, "" to keep none.
    clock : callable
        Returns the time [s since 1970].
    """

    def __init__(self, path: str = "", clock: Callable[[], float] = time.time) -> None:
        self._path, self._clock = path, clock
        # requests are judged in one thread and answered in another
        self._turn = RLock()
        self._own: dict[str, Device] = {}
        self._kept: dict[str, Device] = {}
        self._seen: tuple[int, ...] = ()
        self._touched: dict[str, float] = {}
        self._locked: set[str] = set()

    def __repr__(self) -> str:
        """Return how many there are, and no name."""
        return f"Devices({len(self.listed())})"

    def let_in(self, name: str, kind: str) -> str:
        """Let a device in; return its secret, which is told once and kept nowhere here.

        Raises
        ------
        FoldspanError
            E303 where a program's token cannot be kept; a device is let in until the next start then.
        """
        secret = secrets.token_urlsafe(32)
        digest, now = _digest(secret), self._clock()
        until = float("inf") if kind == "program" else now + HOURS_12
        device = Device(name, kind, digest, now, until)
        with self._turn:
            self._touched[digest] = now
            if kind == "own":
                self._own[digest] = device
                return secret
            self._look_again()
            self._kept[digest] = device
            with suppress(*(() if kind == "program" else (FoldspanError,))):
                self._write()
        return secret

    def with_secret(self, secret: str) -> Device | None:
        """Return the device that has a secret, None where there is none, or its time is over."""
        if not secret:
            return None
        digest = _digest(secret)
        with self._turn:
            self._look_again()
            device = self._own.get(digest) or self._kept.get(digest)
            if device is not None and device.until <= self._clock():
                with suppress(FoldspanError):  # its time is in the file: it is over there too
                    self.revoke(digest)
                return None
            return device

    def touch(self, device: Device) -> None:
        """Note that a device is in use."""
        self._touched[device.digest] = self._clock()

    def is_locked(self, device: Device) -> bool:
        """Whether it is locked: by its button, or from the network and idle for too long."""
        if device.kind == "paired":
            last = self._touched.get(device.digest, 0.0)
            if self._clock() - last > IDLE:
                self._locked.add(device.digest)
        return device.digest in self._locked

    def lock(self, device: Device) -> None:
        """Lock a device."""
        self._locked.add(device.digest)

    def unlock(self, device: Device) -> None:
        """Open a device that was locked."""
        self._locked.discard(device.digest)
        self.touch(device)

    def revoke(self, digest: str) -> None:
        """Let a device in no more.

        Raises
        ------
        FoldspanError
            E303 where that cannot be kept for the next start; the device is out until then.
        """
        with self._turn:
            self._look_again()
            self._own.pop(digest, None)
            gone = self._kept.pop(digest, None)
            self._locked.discard(digest)
            self._touched.pop(digest, None)
            if gone is not None:
                self._write()

    def listed(self) -> tuple[Device, ...]:
        """Return those that are let in now, the last one first."""
        with self._turn:
            self._look_again()
            every = [*self._own.values(), *self._kept.values()]
        now = self._clock()
        alive = (device for device in every if device.until > now)
        return tuple(sorted(alive, key=lambda device: -device.since))

    def _look_again(self) -> None:
        """Take over what another process wrote meanwhile: a token made, a device revoked."""
        if not self._path:
            return
        with suppress(OSError, ValueError, TypeError, KeyError):
            # one that cannot be read lets in nobody more: better than a start that fails
            seen = _stamp(self._path)
            if seen == self._seen:
                return
            self._seen = seen
            read = json.loads(Path(self._path).read_text("utf-8"))
            found = [
                Device(
                    str(entry["name"]), str(entry["kind"]), str(entry["digest"]),
                    float(entry["since"]), float(entry["until"]),
                )
                for entry in read
            ]  # fmt: skip
            self._kept = {device.digest: device for device in found if device.kind in KINDS[1:]}

    def _write(self) -> None:
        if not self._path:
            return
        kept = [asdict(device) | {"until": repr(device.until)} for device in self._kept.values()]
        try:
            Path(self._path).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError:
            what, remedy = "cannot be written", "Check the folder and its permissions."
            raise FoldspanError([Problem("E303", self._path, what, remedy)]) from None
        write_private(self._path, json.dumps(kept, indent=1), replace=True)
        self._seen = _stamp(self._path)


def _stamp(path: str) -> tuple[int, ...]:
    """What changes with every writing of a file."""
    found = os.stat(path)
    return found.st_ino, found.st_mtime_ns, found.st_size


def _digest(secret: str) -> str:
    # the secrets are 256 random bits: nothing that a slow digest would have to protect
    return hashlib.sha256(secret.encode()).hexdigest()

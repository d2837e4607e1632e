"""Devices: who was let in, as digests of secrets that only the device itself has.

A device keeps its secret in a cookie, a program its token; here stands only what both come to. What is
kept for the next start lies in a file that only its owner can read.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

from foldspan.files.output import write_private

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
        self._devices = {device.digest: device for device in self._read()}
        self._touched: dict[str, float] = {}
        self._locked: set[str] = set()

    def __repr__(self) -> str:
        """Return how many there are, and no name."""
        return f"Devices({len(self._devices)})"

    def let_in(self, name: str, kind: str) -> str:
        """Let a device in; return its secret, which is told once and kept nowhere here."""
        secret = secrets.token_urlsafe(32)
        now = self._clock()
        until = float("inf") if kind == "program" else now + HOURS_12
        self._devices[_digest(secret)] = Device(name, kind, _digest(secret), now, until)
        self._touched[_digest(secret)] = now
        if kind != "own":
            self._write()
        return secret

    def with_secret(self, secret: str) -> Device | None:
        """Return the device that has a secret, None where there is none, or its time is over."""
        device = self._devices.get(_digest(secret)) if secret else None
        if device is None or device.until > self._clock():
            return device
        self.revoke(device.digest)
        return None

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
        """Let a device in no more."""
        gone = self._devices.pop(digest, None)
        self._locked.discard(digest)
        if gone is not None and gone.kind != "own":
            self._write()

    def listed(self) -> tuple[Device, ...]:
        """Return those that are let in now, the last one first."""
        now = self._clock()
        alive = (device for device in self._devices.values() if device.until > now)
        return tuple(sorted(alive, key=lambda device: -device.since))

    def _read(self) -> Iterable[Device]:
        if not self._path or not Path(self._path).exists():
            return ()
        try:
            kept = json.loads(Path(self._path).read_text("utf-8"))
            found = [Device(**{**device, "until": float(device["until"])}) for device in kept]
        except (OSError, ValueError, TypeError, KeyError):
            return ()  # whoever was let in pairs again: better than a start that fails
        return [device for device in found if device.kind in KINDS[1:]]

    def _write(self) -> None:
        if self._path:
            kept = [
                asdict(device) | {"until": repr(device.until)}
                for device in self.listed()
                if device.kind in KINDS[1:]
            ]
            Path(self._path).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            write_private(self._path, json.dumps(kept, indent=1), replace=True)


def _digest(secret: str) -> str:
    # the secrets are 256 random bits: nothing that a slow digest would have to protect
    return hashlib.sha256(secret.encode()).hexdigest()

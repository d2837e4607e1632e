"""Devices: who was let in, a code for another one, and the lock."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import Asked
from foldspan.browser.shown import go_to, page
from foldspan.problems import FoldspanError, Problem
from foldspan.text.on_page import NOT_RIGHT, wait_sentence


def devices_page(asked: Asked) -> Response:
    """Show the devices that were let in."""
    return _shown(asked)


def new_code(asked: Asked) -> Response:
    """Show a code that lets one device in; only at the computer that serves."""
    _must_be_own(asked)
    return _shown(asked, code=asked.desk.pairing.new_code())


def revoke(asked: Asked) -> Response:
    """Let a device in no more."""
    _must_be_own(asked)
    asked.desk.devices.revoke(asked.field("device"))
    return go_to("/devices")


def lock(asked: Asked) -> Response:
    """Lock this device."""
    if asked.device is not None:
        asked.desk.devices.lock(asked.device)
    return go_to("/locked")


def locked_page(asked: Asked) -> Response:
    """Show that this device is locked."""
    if asked.device is None or not asked.desk.devices.is_locked(asked.device):
        return go_to("/")
    return page("locked", problem="", has_pin=bool(asked.desk.pin))


def unlock(asked: Asked) -> Response:
    """Open it again: by the Practice PIN, else by a code shown at the computer that serves."""
    desk, typed = asked.desk, asked.field("pin")
    if asked.device is None:
        return go_to("/pair")
    if desk.pin:
        is_right = desk.pin_tries.is_right(typed, desk.pin)
        paused = desk.pin_tries.seconds_paused
    else:
        is_right = asked.device.kind == "own" or desk.pairing.is_right(typed)
        paused = desk.pairing.seconds_locked
    if not is_right:
        problem = wait_sentence(paused) if paused else NOT_RIGHT
        return page("locked", 429 if paused else 403, problem=problem, has_pin=bool(desk.pin))
    desk.devices.unlock(asked.device)
    return go_to("/")


def _must_be_own(asked: Asked) -> None:
    if asked.device is None or asked.device.kind != "own":
        what = "is possible only on the computer that runs foldspan"
        raise FoldspanError([Problem("E501", "Devices", what, "Open Devices on that computer.")])


def _shown(asked: Asked, code: str = "") -> Response:
    desk = asked.desk
    listed: list[dict[str, Any]] = [
        {
            "name": device.name, "digest": device.digest, "kind": device.kind,
            "since": datetime.fromtimestamp(device.since).strftime("%Y-%m-%d %H:%M"),
            "is_this": asked.device is not None and device.digest == asked.device.digest,
        }
        for device in desk.devices.listed()
    ]  # fmt: skip
    return page(
        "devices", devices=listed, code=code, address=desk.address, is_on_network=desk.is_on_network,
        is_own=asked.device is not None and asked.device.kind == "own", picture=desk.qr(),
        fingerprint=desk.fingerprint,
    )  # fmt: skip

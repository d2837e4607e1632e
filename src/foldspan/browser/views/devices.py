"""Devices: who was let in, a code for another one, and the lock."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.shown import go_to, page
from foldspan.problems import FoldspanError, Problem
from foldspan.text.on_page import NOT_RIGHT, wait_sentence


def devices_page(request: PageRequest) -> Response:
    """Show the devices that were let in."""
    return _shown(request)


def new_code(request: PageRequest) -> Response:
    """Show a code that lets one device in; only at the computer that serves."""
    _must_be_own(request)
    return _shown(request, code=request.desk.pairing.new_code())


def revoke(request: PageRequest) -> Response:
    """Let a device in no more."""
    _must_be_own(request)
    request.desk.devices.revoke(request.field("device"))
    return go_to("/devices")


def lock(request: PageRequest) -> Response:
    """Lock this device."""
    if request.device is not None:
        request.desk.devices.lock(request.device)
    return go_to("/locked")


def locked_page(request: PageRequest) -> Response:
    """Show that this device is locked."""
    if request.device is None or not request.desk.devices.is_locked(request.device):
        return go_to("/")
    return page("locked", problem="", has_pin=bool(request.desk.pin))


def unlock(request: PageRequest) -> Response:
    """Open it again: by the Practice PIN, else by a code shown at the computer that serves."""
    desk, typed = request.desk, request.field("pin")
    if request.device is None:
        return go_to("/pair")
    if desk.pin:
        is_right = desk.pin_tries.is_right(typed, desk.pin)
        paused = desk.pin_tries.seconds_paused
    else:
        is_right = request.device.kind == "own" or desk.pairing.is_right(typed)
        paused = desk.pairing.seconds_locked
    if not is_right:
        problem = wait_sentence(paused) if paused else NOT_RIGHT
        return page("locked", 429 if paused else 403, problem=problem, has_pin=bool(desk.pin))
    desk.devices.unlock(request.device)
    return go_to("/")


def _must_be_own(request: PageRequest) -> None:
    if request.device is None or request.device.kind != "own":
        what = "is possible only on the computer that runs foldspan"
        raise FoldspanError([Problem("E501", "Devices", what, "Open Devices on that computer.")])


def _shown(request: PageRequest, code: str = "") -> Response:
    desk = request.desk
    listed: list[dict[str, Any]] = [
        {
            "name": device.name, "digest": device.digest, "kind": device.kind,
            "since": datetime.fromtimestamp(device.since).strftime("%Y-%m-%d %H:%M"),
            "is_this": request.device is not None and device.digest == request.device.digest,
        }
        for device in desk.devices.listed()
    ]  # fmt: skip
    return page(
        "devices", devices=listed, code=code, address=desk.address, is_on_network=desk.is_on_network,
        is_own=request.device is not None and request.device.kind == "own", picture=desk.qr(),
        fingerprint=desk.fingerprint,
    )  # fmt: skip

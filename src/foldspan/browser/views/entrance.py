"""Entrance: the way in from the own computer, and for a device of the network by its code."""

from __future__ import annotations

import hmac

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.shown import go_to, page
from foldspan.text.on_page import wait_sentence

LONGEST_NAME = 40
NOTHING = {"code": "", "name": ""}  # what was typed


def enter(request: PageRequest) -> Response:
    """Let the own computer in by the key that was printed where it was started."""
    desk = request.desk
    if not desk.start_key or not hmac.compare_digest(
        request.path["key"].encode(), desk.start_key.encode()
    ):
        return page(
            "pair",
            403,
            problems=["This address is no longer valid. Use the one that foldspan serve printed."],
            locked="",
            is_on_network=desk.is_on_network,
            given=NOTHING,
        )
    return _with_cookie(go_to("/"), desk.devices.let_in("This computer", "own"), request)


def pair_page(request: PageRequest) -> Response:
    """Show where the code is typed."""
    return page(
        "pair",
        problems=[],
        locked=_locked(request),
        is_on_network=request.desk.is_on_network,
        given=NOTHING,
    )


def pair(request: PageRequest) -> Response:
    """Let a device of the network in by its code."""
    desk = request.desk
    name = " ".join(request.field("name").split())[:LONGEST_NAME]
    name = "".join(letter for letter in name if letter.isprintable()) or "Unnamed device"
    if desk.is_on_network and desk.pairing.is_right(request.field("code")):
        return _with_cookie(go_to("/"), desk.devices.let_in(name, "paired"), request)
    locked = _locked(request)
    problems = [
        "This code is wrong or has expired. Get a new one on the computer that runs foldspan."
    ]
    return page(
        "pair",
        429 if locked else 403,
        problems=problems,
        locked=locked,
        is_on_network=desk.is_on_network,
        given={key: request.field(key)[:LONGEST_NAME] for key in NOTHING},
    )


def _locked(request: PageRequest) -> str:
    """Say that no code is taken for a while, "" where one is."""
    seconds = request.desk.pairing.seconds_locked
    return wait_sentence(seconds) if seconds else ""


def _with_cookie(response: Response, secret: str, request: PageRequest) -> Response:
    response.set_cookie(
        request.device_cookie,
        secret,
        httponly=True,
        samesite="strict",
        secure=request.is_encrypted,
        path="/",
    )
    return response

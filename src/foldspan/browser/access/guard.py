"""Guard: what every request has to pass before a page hears of it.

A page somewhere on the web must not reach what runs on this computer: a request has to name this host
(DNS rebinding), a request that changes something has to come from one of our own pages (cross-site
forms), and every one has to bring the secret of a device that was let in.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Iterable, Iterator, Mapping, MutableMapping
from typing import Any

from foldspan.browser.access import refusals
from foldspan.browser.access.devices import Device, Devices
from foldspan.problems import Problem

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

COOKIE = "foldspan_device"
# what any page needs to look as it should is open to whoever names this host
STATIC = "/static/"
# so is the way in; from the own computer alone, by the key that is printed where it was started
PAIRING, ENTRANCE = "/pair", "/enter/"
LARGEST_FORM = 1 << 20
# where a table is sent; what is beyond the bound is read and thrown away up to another one, or a browser
# would say nothing but that the connection was lost
UPLOADS = re.compile(r"/tables(/[0-9a-f]+/before)?|/api/v1/tables")
LARGEST_UPLOAD, LARGEST_THROWN_AWAY = (200 << 20) + LARGEST_FORM, 1 << 30
# cookies of that name beyond so many are not looked at: a host has one cookie of a name and a path
MOST_COOKIES = 8
HEADERS: tuple[tuple[str, str], ...] = (
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
        " font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none';"
        " frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    # not no-referrer: a form of our own would then name no origin
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), microphone=(), geolocation=()"),
)


_Judged = tuple[Device | None, int, Problem | None]


class BodyTooLarge(Exception):
    """More was sent than any form of ours holds."""


class Guard:
    """Wraps the application.

    Parameters
    ----------
    app : callable
        The ASGI application.
    devices : Devices
        Who was let in.
    hosts : iterable of str
        Names by which this host may be asked for, with their port.
    scheme : str
        ``http`` at the own computer, ``https`` in the network.
    """

    def __init__(
        self, app: App, devices: Devices, hosts: Iterable[str], scheme: str = "http"
    ) -> None:
        self._app, self._devices = app, devices
        self._hosts = frozenset(host.lower() for host in hosts)
        self._origins = frozenset(f"{scheme}://{host}" for host in self._hosts)
        self._is_network = scheme == "https"
        # a browser sends its cookies to every port of a host: each server has a cookie of its own name
        self._cookie = f"{COOKIE}_{max(_ports(self._hosts), default='')}".rstrip("_")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":  # nothing of ours speaks over a socket that stays open
            await send({"type": "websocket.close", "code": 1008})
            return
        device, status, why = self._judged(scope, _headers(scope))
        if why is not None:
            await _refuse(send, scope["path"], status, why)
            return
        scope["device"], scope["device_cookie"] = device, self._cookie
        most = LARGEST_UPLOAD if UPLOADS.fullmatch(scope["path"]) else LARGEST_FORM
        await self._app(scope, _bounded(receive, most), _with_headers(scope, send))

    def _judged(self, scope: Scope, headers: Mapping[str, list[str]]) -> _Judged:
        """The device that asks, or a status and the reason for which it is refused."""
        path = scope["path"]
        if _only(headers, "host").lower() not in self._hosts:
            return None, 421, refusals.FOREIGN_HOST
        most = LARGEST_THROWN_AWAY if UPLOADS.fullmatch(path) else LARGEST_FORM
        if any(_is_too_large(length, most) for length in headers.get("content-length", ())):
            return None, 413, refusals.TOO_MUCH
        if "authorization" in headers:
            return self._program(path, _only(headers, "authorization"))
        changes = scope["method"] not in ("GET", "HEAD")
        if changes and _only(headers, "origin").lower() not in self._origins:
            return None, 403, refusals.FOREIGN_ORIGIN
        if self._is_network and path.startswith(ENTRANCE):
            return None, 403, refusals.NOT_FROM_THE_NETWORK
        device = self._let_in(headers)
        if device is None and path != PAIRING and not path.startswith((STATIC, ENTRANCE)):
            return None, 401, refusals.NOT_LET_IN
        return device, 0, None

    def _program(self, path: str, authorization: str) -> _Judged:
        """A program by its token: no cookie counts beside it, and no page is shown to it."""
        scheme, _, token = authorization.partition(" ")
        device = self._devices.with_secret(token.strip()) if scheme.lower() == "bearer" else None
        if not path.startswith("/api/"):
            return None, 403, refusals.TOKEN_ELSEWHERE
        if device is None or device.kind != "program":
            return None, 401, refusals.NO_SUCH_TOKEN
        return device, 0, None

    def _let_in(self, headers: Mapping[str, list[str]]) -> Device | None:
        """The device whose secret a cookie brings; that of the own computer counts there alone."""
        kinds = ("paired",) if self._is_network else ("own", "paired")
        for secret in _secrets(headers.get("cookie", ()), self._cookie):
            device = self._devices.with_secret(secret)
            if device is not None and device.kind in kinds:
                return device
        return None


def _ports(hosts: Iterable[str]) -> Iterator[str]:
    for host in hosts:
        yield host.partition(":")[2]


def _headers(scope: Scope) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, value in scope["headers"]:
        found.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
    return found


def _only(headers: Mapping[str, list[str]], name: str) -> str:
    """The value of a header that must stand once: of two, each reader might believe another."""
    values = headers.get(name, ())
    return values[0] if len(values) == 1 else ""


def _is_too_large(length: str, most: int) -> bool:
    return not length.isdecimal() or len(length) > 12 or int(length) > most


def _bounded(receive: Receive, most: int) -> Receive:
    """What arrives, up to a bound: a request need not say how long it is."""
    taken = 0

    async def receiving() -> MutableMapping[str, Any]:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            while most > LARGEST_FORM and message.get("more_body") and taken < LARGEST_THROWN_AWAY:
                message = await receive()
                taken += len(message.get("body", b""))
            raise BodyTooLarge
        return message

    return receiving


def _secrets(headers: Iterable[str], wanted: str) -> list[str]:
    """The values of our cookie; those of other programs of this computer may be in any form."""
    pairs = (pair.strip().partition("=") for header in headers for pair in header.split(";"))
    found = [value.strip().strip('"') for name, _, value in pairs if name.strip() == wanted]
    return found[:MOST_COOKIES]


def _with_headers(scope: Scope, send: Send) -> Send:
    async def sending(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            kept = list(message.get("headers", []))
            kept += [(name.encode(), value.encode()) for name, value in HEADERS]
            if not scope["path"].startswith("/static/"):
                kept.append((b"cache-control", b"no-store"))
            message["headers"] = kept
        await send(message)

    return sending


async def _refuse(send: Send, path: str, status: int, why: Problem) -> None:
    """Answer without a page: a program with JSON, a browser with the way to where it is paired."""
    is_json = refusals.is_for_programs(path)
    kind = "application/json" if is_json else "text/plain; charset=utf-8"
    head = [("content-type", kind), ("cache-control", "no-store"), *HEADERS]
    if status == 401 and is_json:
        head.append(("www-authenticate", "Bearer"))
    elif status == 401:
        status, head = 303, [*head, ("location", "/pair")]
    body = refusals.problems_json([why]) if is_json else refusals.as_text(why)
    headers = [(name.encode(), value.encode()) for name, value in head]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})

"""Guard: what every request has to pass before a page hears of it.

A page somewhere on the web must not reach what runs on this computer: a request has to name this host
(DNS rebinding), a request that changes something has to come from one of our own pages (cross-site
forms), and every one has to bring the secret of a device that was let in.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from http.cookies import SimpleCookie
from typing import Any

from foldspan.browser.access.devices import Device, Devices

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

COOKIE = "foldspan_device"
# ways in, and what any page needs to look as it should: open to whoever names this host
OPEN = ("/pair", "/static/")
# from the own computer alone: by the key that is printed where it was started
OPEN_HERE = ("/enter/", *OPEN)
LARGEST_FORM = 1 << 20
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
        ``http``, or ``https`` where it is served so.
    """

    def __init__(
        self, app: App, devices: Devices, hosts: Iterable[str], scheme: str = "http"
    ) -> None:
        self._app, self._devices = app, devices
        self._hosts = frozenset(host.lower() for host in hosts)
        self._origins = frozenset(f"{scheme}://{host}" for host in self._hosts)
        self._open = OPEN if scheme == "https" else OPEN_HERE

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = {
            name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]
        }
        device, status, why = self._judged(scope, headers)
        if status:
            await _refuse(
                send, status, why, to_pairing=status == 401 and "/api/" not in scope["path"]
            )
            return
        scope["device"] = device
        await self._app(scope, _bounded(receive), _with_headers(scope, send))

    def _judged(
        self, scope: Scope, headers: MutableMapping[str, str]
    ) -> tuple[Device | None, int, str]:
        """The device that asks, or a status and the reason for which it is refused."""
        if headers.get("host", "").lower() not in self._hosts:
            return None, 421, "This address does not belong to foldspan."
        token = headers.get("authorization", "").removeprefix("Bearer ").strip()
        path = scope["path"]
        changes = scope["method"] not in ("GET", "HEAD")
        if changes and not token and headers.get("origin", "").lower() not in self._origins:
            return None, 403, "This request does not come from a page of foldspan."
        if _is_too_large(path, headers):
            return None, 413, "Too much was sent at once. Nothing of it was kept."
        device = self._devices.with_secret(token or _cookie(headers.get("cookie", "")))
        if device is not None and (device.kind == "program") != bool(token):
            device = None  # a token is no cookie, and a cookie is no token
        if device is None and not path.startswith(self._open):
            return None, 401, "This device is not paired, or its time is over."
        if device is not None and device.kind == "program" and not path.startswith("/api/"):
            return None, 403, "A token is for the API only."
        return device, 0, ""


def _is_too_large(path: str, headers: MutableMapping[str, str]) -> bool:
    length = headers.get("content-length", "0")
    return not length.isdigit() or int(length) > LARGEST_FORM


def _bounded(receive: Receive) -> Receive:
    """What arrives, up to a bound: a request need not say how long it is."""
    taken = 0

    async def receiving() -> MutableMapping[str, Any]:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_FORM:
            return {"type": "http.disconnect"}
        return message

    return receiving


def _cookie(header: str) -> str:
    cookies: SimpleCookie = SimpleCookie()
    try:
        cookies.load(header)
    except Exception:  # whatever is no cookie is none
        return ""
    return cookies[COOKIE].value if COOKIE in cookies else ""


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


async def _refuse(send: Send, status: int, why: str, *, to_pairing: bool) -> None:
    """Answer without a page, or with the way to the page where a device is paired."""
    head = [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store")]
    head += [(name.encode(), value.encode()) for name, value in HEADERS]
    if to_pairing:
        status, head = 303, [*head, (b"location", b"/pair")]
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": f"{why}\n".encode()})

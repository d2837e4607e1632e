"""Attacks on the pages: requests that no browser sends, replies that get lost, the same sent twice."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from starlette.testclient import TestClient

from browser_hand import HOST, ORIGIN, Hand, desk_at
from foldspan.browser.access.devices import Devices
from foldspan.browser.access.guard import HEADERS, Guard
from foldspan.browser.access.pairing import Pairing
from foldspan.browser.access.tries import Tries
from foldspan.browser.addresses import ROUTES
from foldspan.browser.app import application
from foldspan.browser.desk import Desk
from foldspan.measuring.conducted import ConductedSession
from foldspan.records.book import Book

NETWORK = "192.168.7.9:8472"
START_KEY = "a-key-of-this-test"
SCRIPT = "\"'><script>alert(1)</script>"


class Clock:
    """A clock that goes on only when it is told to."""

    def __init__(self) -> None:
        self.now = 1_700_000_000.0

    def __call__(self) -> float:
        return self.now


@dataclass
class Site:
    """The pages as they are served: to this computer and to the network."""

    desk: Desk
    clock: Clock
    here: Guard
    there: Guard
    own: TestClient
    lines: list[str]

    def come_in(self) -> TestClient:
        """Come in at the own computer."""
        assert self.own.get(f"/enter/{START_KEY}").status_code == 200
        return self.own

    def device(self) -> TestClient:
        """A device of the network that was not let in yet."""
        origin = f"https://{NETWORK}"
        client = TestClient(self.there, base_url=origin, headers={"origin": origin})
        client.event_hooks = {"response": [hold]}
        return client

    def paired(self, name: str = "Tablet") -> TestClient:
        """A device of the network that was let in."""
        client = self.device()
        answer = client.post("/pair", data={"code": self.desk.pairing.new_code(), "name": name})
        assert answer.status_code == 200
        assert answer.url.path == "/"
        return client


@contextmanager
def site_at(book: Path, *, pin: str = "", devices_file: str = "") -> Iterator[Site]:
    """Lend the pages over a book, at the own computer and in the network, with a clock of our own."""
    clock = Clock()
    desk = Desk(
        str(book), devices=Devices(devices_file, clock), pairing=Pairing(clock),
        pin_tries=Tries(clock), pin=pin, start_key=START_KEY,
        is_on_network=True, address=f"https://{NETWORK}",
    )  # fmt: skip
    lines: list[str] = []
    app = application(desk, lines.append)
    here = Guard(app, desk.devices, [HOST])
    there = Guard(app, desk.devices, [NETWORK], "https")
    with TestClient(here, base_url=ORIGIN, headers={"origin": ORIGIN}) as own:
        own.event_hooks = {"response": [hold]}
        yield Site(desk, clock, here, there, own, lines)


def hold(answer: Any) -> None:
    """Hold an answer against what every one has to carry, and must not."""
    for name, value in HEADERS:
        assert answer.headers.get_list(name) == [value], (answer.url.path, name)
    if not (answer.url.path.startswith("/static/") and answer.status_code == 200):
        assert answer.headers.get("cache-control") == "no-store", answer.url.path
    answer.read()
    assert "<script>alert" not in answer.text, answer.url.path
    assert "Traceback" not in answer.text


def addresses(methods: Iterable[str] = ("GET", "POST")) -> list[tuple[str, str, str]]:
    """Return every page as its method, an address, and its name."""
    return [
        (method, path.replace("{key}", "v1"), name)
        for method, path, name in ROUTES
        if method in methods
    ]


@dataclass(frozen=True)
class Reply:
    """What came back."""

    status: int
    headers: list[tuple[str, str]]
    body: str

    def header(self, name: str) -> str:
        return next((value for key, value in self.headers if key == name), "")


def raw(
    app: Callable[..., Any],
    method: str,
    target: str,
    headers: Iterable[tuple[str, str]] = (),
    chunks: Iterable[bytes] = (),
    *,
    scheme: str = "http",
) -> Reply:
    """Send a request as it stands, as a server would hand it on; nothing is made proper first."""
    path, _, query = target.partition("?")
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
        "scheme": scheme, "path": unquote(path), "raw_path": path.encode("utf-8", "replace"),
        "query_string": query.encode(), "root_path": "", "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", 8471),
        "headers": [(name.lower().encode(), value.encode("latin-1")) for name, value in headers],
    }  # fmt: skip
    parts = [*chunks] or [b""]
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        if not parts:
            return {"type": "http.disconnect"}
        part = parts.pop(0)
        return {"type": "http.request", "body": part, "more_body": bool(parts)}

    async def send(message: Any) -> None:
        sent.append(dict(message))

    asyncio.run(app(scope, receive, send))
    start = next(message for message in sent if message["type"] == "http.response.start")
    body = b"".join(message.get("body", b"") for message in sent)
    found = [(name.decode().lower(), value.decode()) for name, value in start["headers"]]
    for name, value in HEADERS:
        assert (name, value) in found, (target[:80], name)
    return Reply(start["status"], found, body.decode("utf-8", "replace"))


# answers that a session of a man needs besides, the second time too
WORDS = {
    "page.who": "y", "still": "y", "symptoms": "fainting", "conditions": "none", "medicines": "none",
}  # fmt: skip


class Sender(Hand):
    """A hand that remembers what it sent last."""

    sent: tuple[str, dict[str, Any]] = ("", {})

    def send(self, address: str, **fields: Any) -> None:
        self.sent = (address, fields)
        super().send(address, **fields)

    def again(self, **other: Any) -> None:
        """Send the same once more, as a page does whose reply was lost, or something else instead."""
        address, fields = self.sent
        self._take(self.client.post(address, data={**fields, **other}))

    @property
    def session(self) -> ConductedSession:
        found: ConductedSession = self.desk._sessions[self.address.split("/")[2]]
        return found


@contextmanager
def sender_at(book: Path, **more: Any) -> Iterator[Sender]:
    """Lend such a hand at the pages over a book, come in at the own computer."""
    with desk_at(book, **more) as (desk, client):
        sender = Sender(desk, client)
        sender.come_in()
        yield sender


def events(book: Path) -> list[list[tuple[str, dict[str, Any]]]]:
    """Every event of every visit, without days and hours."""
    with Book.opened(str(book)) as opened:
        return [
            [
                (event.kind, {k: v for k, v in event.body.items() if k not in ("day", "time")})
                for event in opened.events(row)
            ]
            for row, _ in opened.all_visits()
        ]

"""App: the pages by their addresses, and how one is answered: in turn, in one thread, calmly."""

from __future__ import annotations

import asyncio
import contextlib
import os
import traceback
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from dataclasses import dataclass
from importlib import resources
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from foldspan.browser import addresses
from foldspan.browser.access.devices import Device
from foldspan.browser.desk import Desk
from foldspan.browser.shown import error_page, go_to
from foldspan.problems import FoldspanError
from foldspan.text.on_page import LANGUAGE_NAMES

Fields = dict[str, list[str]]
FIELDS_AT_MOST = 400
FIRST_PAGE = "today.today"


@dataclass(frozen=True, slots=True, repr=False)
class Asked:
    """What a page is asked: the desk, the device, words of the address, fields of the form."""

    desk: Desk
    device: Device | None
    path: dict[str, str]
    query: dict[str, str]
    fields: Fields
    cookies: dict[str, str]
    body: bytes = b""
    is_encrypted: bool = False

    @property
    def language(self) -> str:
        """The client's language: as chosen on this device, else that of the practice."""
        chosen = self.cookies.get("foldspan_language", "")
        return chosen if chosen in LANGUAGE_NAMES else self.desk.language

    def field(self, name: str) -> str:
        """Return the first value of a field, "" where there is none."""
        return (self.fields.get(name) or [""])[0]


def application(desk: Desk, log: Callable[[str], None] | None = None) -> Starlette:
    """Return the ASGI application.

    Parameters
    ----------
    desk : Desk
        What its pages share.
    log : callable, optional
        Takes a line for each request: method, kind of page, status; no address, value or code.
    """
    turn = ThreadPoolExecutor(max_workers=1, thread_name_prefix="foldspan-book")

    def endpoint(name: str) -> Callable[[Request], Awaitable[Response]]:
        async def answer(request: Request) -> Response:
            asked = await _asked(request, desk)
            loop = asyncio.get_running_loop()
            response = await loop.run_in_executor(turn, _answered, name, asked)
            if log is not None:
                log(f"{request.method} {name} {response.status_code}")
            if name == FIRST_PAGE:  # what comes next is loaded while it is looked at
                turn.submit(_get_ready, turn, desk)
            return response

        return answer

    @asynccontextmanager
    async def life(app: Any) -> Any:
        yield
        turn.submit(desk.close).result()
        turn.shutdown()

    static = str(resources.files("foldspan.browser") / "static")
    routes = [
        Route(path, endpoint(name), methods=[method], name=f"{method} {path}")
        for method, path, name in addresses.ROUTES
    ]
    return Starlette(
        routes=[*routes, Mount("/static", StaticFiles(directory=static))],
        lifespan=life,
        exception_handlers={404: _not_found, 405: _not_found},
    )


def _get_ready(turn: ThreadPoolExecutor, desk: Desk) -> None:
    """Load and read ahead what will be asked for, a little at a time: a page goes before it."""
    addresses.load_all()
    _read_ahead(turn, desk)


def _read_ahead(turn: ThreadPoolExecutor, desk: Desk) -> None:
    # a book that cannot be read is told by the page that needs it; the desk may be closed by now
    with contextlib.suppress(FoldspanError, RuntimeError):
        if desk.read_ahead():
            turn.submit(_read_ahead, turn, desk)


async def _asked(request: Request, desk: Desk) -> Asked:
    fields: Fields = {}
    body = b""
    kind = request.headers.get("content-type", "")
    if request.method == "POST" and "json" in kind:
        body = await request.body()
    elif request.method == "POST":
        form = await request.form(max_files=0, max_fields=FIELDS_AT_MOST)
        for name, value in form.multi_items():
            fields.setdefault(name, []).append(str(value))
    return Asked(
        desk, request.scope.get("device"), dict(request.path_params), dict(request.query_params),
        fields, dict(request.cookies), body, request.url.scheme == "https",
    )  # fmt: skip


def _answered(name: str, asked: Asked) -> Response:
    """Answer; whatever goes wrong is said in calm words, without a value in any log."""
    try:
        device, desk = asked.device, asked.desk
        if device is not None and device.kind != "program":
            if desk.devices.is_locked(device) and name not in addresses.WHILE_LOCKED:
                return go_to("/locked")
            if device.digest in desk.turned and name not in addresses.WHILE_TURNED:
                return go_to("/turned")
            desk.devices.touch(device)
        response: Response = addresses.view_of(name)(asked)
        return response
    except FoldspanError as error:
        missing = all(problem.code in ("E706", "E301") for problem in error.problems)
        return error_page(error.problems, 404 if missing else 409)
    except Exception as error:
        if os.environ.get("FOLDSPAN_DEBUG"):
            raise
        last = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{type(error).__name__} at {os.path.basename(last.filename)}:{last.lineno}"
        return error_page((), 500, place)


async def _not_found(request: Request, error: Exception) -> Response:
    return error_page((), 404)

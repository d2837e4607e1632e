"""App: the pages by their addresses, and how one is answered: in turn, in one thread, calmly."""

from __future__ import annotations

import asyncio
import contextlib
import os
import tempfile
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from dataclasses import dataclass
from importlib import resources
from typing import Any, BinaryIO, cast

from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from foldspan.browser import addresses
from foldspan.browser.access import refusals
from foldspan.browser.access.devices import Device
from foldspan.browser.access.guard import BodyTooLarge
from foldspan.browser.desk import Desk
from foldspan.browser.shown import error_page, go_to, problems_response
from foldspan.problems import FoldspanError, Problem
from foldspan.text.on_page import LANGUAGE_NAMES

Fields = dict[str, list[str]]
# a table of a thousand columns asks for two answers each
FIELDS_AT_MOST = 2_100
# how long a page waits for a book that another session holds, and how often it looks [s]
HELD_AT_MOST, HELD_AGAIN = 5.0, 0.05
FIRST_PAGE = "today.today"
TOO_MUCH = "Too much was sent at once. None of it was saved."
TOO_LARGE = (
    "The table is larger than 200 MB, and none of it was saved. Divide it and send the parts, or save"
    " it as .csv.gz or .parquet, which are smaller."
)
UNREADABLE = "What was sent cannot be read. None of it was saved."


@dataclass(frozen=True, slots=True)
class Deferred:
    """What a view returns that has to wait: pages that are asked for meanwhile have their turn."""

    wait: Callable[[], Any]
    """Called outside the turn; may raise."""
    answer: Callable[[Any], Response]
    """Called in turn with what was waited for."""


@dataclass(frozen=True, slots=True, repr=False)
class PageRequest:
    """What a page is asked: the desk, the device, words of the address, fields of the form."""

    desk: Desk
    device: Device | None
    path: dict[str, str]
    query: dict[str, str]
    fields: Fields
    cookies: dict[str, str]
    body: bytes = b""
    is_encrypted: bool = False
    device_cookie: str = ""
    file: UploadFile | None = None

    @property
    def owner(self) -> str:
        """Whose tables are seen: a digest of the device's secret."""
        return self.device.digest if self.device is not None else ""

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
            page_request: PageRequest | None = None
            try:
                page_request = await _page_request(
                    request, desk, takes_file=name in addresses.UPLOADS
                )
                is_held = request.method == "POST" and await _is_held(turn, name, desk)
                response = await _in_turn(turn, name, page_request)
                if is_held and response.status_code == 409:
                    response.headers["retry-after"] = "1"  # the page sends it again by itself
            except BodyTooLarge:
                is_table = name in addresses.UPLOADS
                why = refusals.TOO_LARGE if is_table else refusals.TOO_MUCH
                response = _refused(request, 413, why, TOO_LARGE if is_table else TOO_MUCH)
            except (HTTPException, ClientDisconnect):
                response = _refused(request, 400, refusals.UNREADABLE, UNREADABLE)
            except Exception as error:
                response = _failed_at(request.url.path, error)
            finally:
                if page_request is not None and page_request.file is not None:
                    await page_request.file.close()
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
        exception_handlers={HTTPException: _not_here, Exception: _failed},
    )


async def _in_turn(turn: ThreadPoolExecutor, name: str, request: PageRequest) -> Response:
    """Answer in turn; where there is something to wait for, it is waited for outside."""
    loop = asyncio.get_running_loop()
    found = await loop.run_in_executor(turn, _answered, name, request)
    if not isinstance(found, Deferred):
        return found
    waited = await loop.run_in_executor(None, _waited, found)
    answer = await loop.run_in_executor(turn, _answered, name, request, waited)
    assert not isinstance(answer, Deferred)
    return answer


def _waited(later: Deferred) -> Callable[[PageRequest], Response]:
    """Wait; return the view that answers with what came of it, or raises what went wrong."""
    try:
        came: Any = later.wait()
    except Exception as error:
        raised = error

        def fail(request: PageRequest) -> Response:
            raise raised

        return fail
    return lambda page_request: later.answer(came)


async def _is_held(turn: ThreadPoolExecutor, name: str, desk: Desk) -> bool:
    """Wait while another session holds the book, with the turn left to others; whether it still does."""
    if name not in addresses.WRITES:
        return False
    loop = asyncio.get_running_loop()
    until = loop.time() + HELD_AT_MOST
    with contextlib.suppress(FoldspanError):  # a book that cannot be opened is told by the page
        while await loop.run_in_executor(turn, desk.is_held):
            if loop.time() > until:
                return True
            await asyncio.sleep(HELD_AGAIN)
    return False


def _get_ready(turn: ThreadPoolExecutor, desk: Desk) -> None:
    """Load and read ahead what will be asked for, a little at a time: a page goes before it."""
    addresses.load_all()
    _read_ahead(turn, desk)


def _read_ahead(turn: ThreadPoolExecutor, desk: Desk) -> None:
    # a book that cannot be read is told by the page that needs it; the desk may be closed by now
    with contextlib.suppress(FoldspanError, RuntimeError):
        if desk.read_ahead():
            turn.submit(_read_ahead, turn, desk)


async def _page_request(request: Request, desk: Desk, *, takes_file: bool = False) -> PageRequest:
    fields: Fields = {}
    body = b""
    file = None
    kind = request.headers.get("content-type", "")
    if request.method == "POST" and "json" in kind:
        body = await request.body()
    elif request.method == "POST" and takes_file and _is_bare(request):
        file = await _streamed(request)
    elif request.method == "POST":
        form = await request.form(max_files=int(takes_file), max_fields=FIELDS_AT_MOST)
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                file = value
            else:
                fields.setdefault(name, []).append(value)
    return PageRequest(
        desk, request.scope.get("device"), dict(request.path_params), dict(request.query_params),
        fields, dict(request.cookies), body, request.url.scheme == "https",
        request.scope.get("device_cookie", ""), file,
    )  # fmt: skip


def _is_bare(request: Request) -> bool:
    """Whether a program sends a file without a form around it, whatever it calls its kind."""
    is_form = "multipart" in request.headers.get("content-type", "")
    return refusals.is_for_programs(request.url.path) and not is_form


async def _streamed(request: Request) -> UploadFile:
    """A file that a program sends as the whole of what it says."""
    spooled = cast(BinaryIO, tempfile.SpooledTemporaryFile(1 << 20))  # noqa: SIM115 - passed on
    file = UploadFile(spooled, filename=request.query_params.get("name"))
    try:
        async for some in request.stream():
            await file.write(some)
        await file.seek(0)
    except BaseException:
        await file.close()
        raise
    return file


def _answered(
    name: str, request: PageRequest, view: Callable[[PageRequest], Response] | None = None
) -> Response | Deferred:
    """Answer; whatever goes wrong is said in calm words, without a value in any log."""
    try:
        device, desk = request.device, request.desk
        if device is not None and device.kind != "program":
            if elsewhere := _kept_from(name, device, desk):
                if addresses.is_for_programs(name):
                    return problems_response([refusals.SHUT], 403)
                return go_to(elsewhere)
            if name not in addresses.BY_ITSELF:
                desk.devices.touch(device)
        response: Response | Deferred = (view or addresses.view_of(name))(request)
        return response
    except FoldspanError as error:
        missing = all(problem.code in ("E706", "E301") for problem in error.problems)
        if addresses.is_for_programs(name):
            return problems_response(error.problems, 404 if missing else 409)
        return error_page(error.problems, 404 if missing else 409)
    except Exception as error:
        if os.environ.get("FOLDSPAN_DEBUG"):
            raise
        return _failed_at(refusals.API if addresses.is_for_programs(name) else "/", error)


def _kept_from(name: str, device: Device, desk: Desk) -> str:
    """Where a device is sent that may not see a page now, "" where it may."""
    if desk.devices.is_locked(device):
        return "" if name in addresses.WHILE_LOCKED else "/locked"
    if device.digest in desk.turned and name not in addresses.WHILE_TURNED:
        return "/turned"
    return ""


def _failed_at(path: str, error: Exception) -> Response:
    if refusals.is_for_programs(path):
        return problems_response([refusals.failed(refusals.place_of(error))], 500)
    return error_page((), 500, refusals.place_of(error))


def _refused(request: Request, status: int, why: Problem, said: str = "") -> Response:
    if refusals.is_for_programs(request.url.path):
        return problems_response([why], status)
    return error_page((), status, said=said)


async def _not_here(request: Request, error: Any) -> Response:
    """No such page, or not asked for in this way."""
    response = _refused(request, error.status_code, refusals.NOT_HERE)
    response.headers.update(error.headers or {})
    return response


async def _failed(request: Request, error: Exception) -> Response:
    return _failed_at(request.url.path, error)

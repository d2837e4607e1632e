"""Turned round: the client's words and picture only; nothing of the staff's stands in the page."""

from __future__ import annotations

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.shown import go_to, page
from foldspan.pages.document import Document
from foldspan.pages.html_page import kind_of_part, source_of
from foldspan.problems import FoldspanError
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.on_page import STAFF_WORDS, wait_sentence


def turn_round(request: PageRequest) -> Response:
    """Turn the page round: this device shows nothing else until the staff turns it back."""
    key, language = request.field("of"), request.field("language")
    request.desk.outcome(key)  # one that is not there is said now
    if request.device is not None:
        request.desk.turned[request.device.digest] = (
            key,
            language if language in LANGUAGES else "en",
        )
    return go_to("/turned")


def turned_page(request: PageRequest) -> Response:
    """Show the client's page."""
    found = _of(request)
    return go_to("/") if found is None else _shown(request, *found)


def turn_back(request: PageRequest) -> Response:
    """Turn it back: by the Practice PIN where one is set, else by holding the button."""
    found = _of(request)
    if found is None or request.device is None:
        return go_to("/")
    desk = request.desk
    if desk.pin and not desk.pin_tries.is_right(request.field("pin"), desk.pin):
        if paused := desk.pin_tries.seconds_paused:
            return _shown(request, *found, problem=wait_sentence(paused), status=429)
        return _shown(request, *found, problem=STAFF_WORDS["wrong"], status=403)
    if request.field("hold") != "yes":
        return _shown(request, *found)
    del desk.turned[request.device.digest]
    return go_to(f"/session/{found[0]}/result")


def _of(request: PageRequest) -> tuple[str, str] | None:
    return None if request.device is None else request.desk.turned.get(request.device.digest)


def _shown(
    request: PageRequest, key: str, language: str, *, problem: str = "", status: int = 200
) -> Response:
    try:
        document = request.desk.outcome(key).page("client", language=language).document
    except FoldspanError:  # deleted meanwhile: what is left is the way back
        document = Document(STAFF_WORDS["gone"], "en", ())
    return page(
        "turned", status,
        language=document.language, title=document.title, head=document.letterhead,
        parts=document.parts, small=document.small, kind=kind_of_part, source=source_of,
        has_pin=bool(request.desk.pin), problem=problem, words=STAFF_WORDS,
    )  # fmt: skip

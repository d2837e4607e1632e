"""Turned round: the client's words and picture only; nothing of the staff's stands in the page."""

from __future__ import annotations

from starlette.responses import Response

from foldspan.browser.app import Asked
from foldspan.browser.shown import go_to, page
from foldspan.pages.document import Document
from foldspan.pages.html_page import kind_of_part, source_of
from foldspan.problems import FoldspanError
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.on_page import STAFF_WORDS, wait_sentence


def turn_round(asked: Asked) -> Response:
    """Turn the page round: this device shows nothing else until the staff turns it back."""
    key, language = asked.field("of"), asked.field("language")
    asked.desk.outcome(key)  # one that is not there is said now
    if asked.device is not None:
        asked.desk.turned[asked.device.digest] = (key, language if language in LANGUAGES else "en")
    return go_to("/turned")


def turned_page(asked: Asked) -> Response:
    """Show the client's page."""
    found = _of(asked)
    return go_to("/") if found is None else _shown(asked, *found)


def turn_back(asked: Asked) -> Response:
    """Turn it back: by the Practice PIN where one is set, else by holding the button."""
    found = _of(asked)
    if found is None or asked.device is None:
        return go_to("/")
    desk = asked.desk
    if desk.pin and not desk.pin_tries.is_right(asked.field("pin"), desk.pin):
        if paused := desk.pin_tries.seconds_paused:
            return _shown(asked, *found, problem=wait_sentence(paused), status=429)
        return _shown(asked, *found, problem=STAFF_WORDS["wrong"], status=403)
    if asked.field("hold") != "yes":
        return _shown(asked, *found)
    del desk.turned[asked.device.digest]
    return go_to(f"/session/{found[0]}/result")


def _of(asked: Asked) -> tuple[str, str] | None:
    return None if asked.device is None else asked.desk.turned.get(asked.device.digest)


def _shown(
    asked: Asked, key: str, language: str, *, problem: str = "", status: int = 200
) -> Response:
    try:
        document = asked.desk.outcome(key).page("client", language=language).document
    except FoldspanError:  # deleted meanwhile: what is left is the way back
        document = Document(STAFF_WORDS["gone"], "en", ())
    return page(
        "turned", status,
        language=document.language, title=document.title, head=document.letterhead,
        parts=document.parts, small=document.small, kind=kind_of_part, source=source_of,
        has_pin=bool(asked.desk.pin), problem=problem, words=STAFF_WORDS,
    )  # fmt: skip

"""Session: ask a prompt, take its answer; the same line that a terminal would hear."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.desk import Desk
from foldspan.browser.prompts import prompt_values, turn_of
from foldspan.browser.shown import error_page, go_to, page, remember
from foldspan.browser.typed import NOTHING_TICKED, first, line_of
from foldspan.measuring.conducted import ConductedSession, LineOutcome, as_read
from foldspan.measuring.said import said_after
from foldspan.problems import FoldspanError, Problem
from foldspan.session.events import Noted, event_of
from foldspan.session.parse_input import parse_line
from foldspan.session.parsed import ParsedLine
from foldspan.session.state import replayed
from foldspan.text import on_page
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.tapped import tapped


def ask_page(request: PageRequest) -> Response:
    """Show what is asked; a session in which everything was asked shows its result."""
    key = request.path["key"]
    session = request.desk.session(key)
    if session.state.prompt.kind == "done":
        session.end()  # where it was broken off between the last answer and its end
        return go_to(f"/session/{key}/result")
    return _shown(request, session)


def answer(request: PageRequest) -> Response:
    """Take an answer: keep it, then show the next prompt; or say beside the field why not."""
    desk, key = request.desk, request.path["key"]
    session: ConductedSession = desk.session(key)
    is_done = session.state.prompt.kind == "done"
    if is_done or request.field("turn") != turn_of(session):
        fields, led_to = desk.sent.get(session.number, ({}, ""))
        if fields == request.fields:
            return go_to(led_to)
        if place := _place_of_repeated(session, request):
            has_ended = session.events[place][0] == "ended"
            return go_to(_address(desk, session, key) + "/result" * has_ended)
        return _came_late(request, session)
    line = line_of(session.state.prompt, request.fields)
    if line == NOTHING_TICKED:
        what, remedy = on_page.NOTHING_TICKED
        nothing = Problem("E101", "Your answer", what, remedy)
        return _shown(request, session, problems=[nothing], status=422)
    outcome = session.enter(
        line, asked_back=request.field("asked_back"), meant=request.field("meant"),
        language=LANGUAGES[request.language],
    )  # fmt: skip
    if outcome.problems:
        status = 409 if any(_is_of_book(problem) for problem in outcome.problems) else 422
        return _shown(request, session, problems=outcome.problems, outcome=outcome, status=status)
    said = [*said_after(outcome), *[on_page.NOTE_KEPT] * isinstance(outcome.parsed.moves, Noted)]
    desk.said[session.number] = (turn_of(session), tuple(said))
    if outcome.parsed.command == "end":
        try:
            session.end()
        except FoldspanError as error:
            return _shown(request, session, problems=error.problems, status=409)
    led_to = "/" if outcome.parsed.command == "stop" else _address(desk, session, key)
    if outcome.parsed.command == "end" or session.state.prompt.kind == "done":
        led_to += "/result"
    desk.sent[session.number] = (request.fields, led_to)
    if session.state.prompt.kind == "done":
        session.end()
    response = go_to(led_to)
    if outcome.answers.get("tester"):  # who measures is asked once on a device
        said_once = str(outcome.answers["tester"])
        remember(response, "tester", said_once, is_encrypted=request.is_encrypted)
    return response


def _address(desk: Desk, session: ConductedSession, key: str) -> str:
    return f"/session/{desk.key_of(session, key)}"


def turn(request: PageRequest) -> Response:
    """Tell which moment a session is at, so that another device can follow."""
    session = request.desk.session(request.path["key"])
    return Response(turn_of(session), media_type="text/plain")


def _place_of_repeated(session: ConductedSession, request: PageRequest) -> int:
    """The place of the event that an answer came to when it came before, 0 where it came to none.

    It comes twice where the first reply was lost on its way; another server may have taken it then.
    """
    place, _, key = request.field("turn").partition(":")
    if not place.isdecimal() or len(place) > 6 or not 0 < int(place) < len(session.events):
        return 0
    before = replayed(session.events[: int(place)])
    state = replace(before, last=session.state.last)
    if state.prompt.key != key:
        return 0
    kind, body = session.events[int(place)]
    line = as_read(state.prompt, line_of(state.prompt, request.fields), LANGUAGES[request.language])
    if isinstance(line, ParsedLine):
        return 0
    # what was asked back stands by now, or it would not have been kept
    parsed = parse_line(
        state, line, asked_back=" ".join(line.split()), meant=request.field("meant")
    )
    if parsed.command == "end":
        return int(place) if kind == "ended" else 0
    event = (kind, event_of(kind, body).body())
    is_same = parsed.moves is not None and (parsed.event, parsed.body) == event
    return int(place) if is_same else 0


def _came_late(request: PageRequest, session: ConductedSession) -> Response:
    """An answer to something that was answered meanwhile: what was sent is told, and not used."""
    prompt = session.state.prompt
    sent = [on_page.YOU_SENT.format(sent=sent)] if (sent := _sent(request)) else []
    if prompt.kind == "done":
        to = f"{_address(request.desk, session, request.path['key'])}/result"
        return error_page((), 409, said=" ".join([on_page.ENDED_FIRST, *sent]), to=to)
    was_asked = request.field("turn").partition(":")[2]
    asks_the_same = was_asked == prompt.key
    # a number is not to stand in the field of another site, nor by the next reading of its own
    is_blind_to_it = prompt.kind == "reading" and was_asked.endswith(f".{prompt.quantity}")
    notices = [on_page.ANSWERED_FIRST] + sent * (not asks_the_same and not is_blind_to_it)
    return _shown(request, session, notices=notices, status=409, keeps_fields=asks_the_same)


def _sent(request: PageRequest) -> str:
    """What was sent, as it was typed or tapped."""
    words = []
    for name, values in request.fields.items():
        for value in values if name not in ("turn", "asked_back", "meant", "say") else ():
            is_tick = value in ("on", "yes", "no")
            words.append(f"{name} {value}" if is_tick and name != "line" else value)
    return ", ".join(word.strip() for word in words if word.strip())


def _shown(
    request: PageRequest,
    session: ConductedSession,
    *,
    problems: Any = (),
    notices: list[str] | None = None,
    outcome: LineOutcome | None = None,
    status: int = 200,
    keeps_fields: bool = False,
) -> Response:
    """The page of the prompt, with what was typed still in its place where it did not stand."""
    desk = request.desk
    key = desk.key_of(session, request.path["key"])
    values = prompt_values(session, LANGUAGES[request.language])
    at, said = desk.said.get(session.number, ("", ()))
    fields = request.fields if problems or keeps_fields else {}
    template = "reading" if session.state.prompt.kind == "reading" else "ask"
    return page(
        template, status,
        key=key,
        remarks=[tapped(line) for line in said] if at == values["turn"] else (),
        notices=notices or [],
        problems=[_problem_lines(problem) for problem in problems],
        asked_back=outcome.asked_back if outcome is not None else "",
        meant=outcome.parsed.meant if outcome is not None else "",
        was=lambda name: first(fields, name),
        ticked=lambda name, value: value in fields.get(name, ()),
        **values,
    )  # fmt: skip


def _problem_lines(problem: Problem) -> str:
    """A problem as it stands beside its field: the button says what a terminal would have one type."""
    remedy = tapped(problem.advice(problem.given))
    if _is_of_book(problem):
        return f"Record book: {problem.what}. {remedy}"
    return f"{problem.what[:1].upper()}{problem.what[1:]}. {remedy}".strip()


def _is_of_book(problem: Problem) -> bool:
    """Whether the answer would stand, but could not be kept."""
    return problem.code.startswith("E7")

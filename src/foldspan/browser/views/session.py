"""Session: ask a prompt, take its answer; the same line that a terminal would hear."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from foldspan.browser.app import Asked
from foldspan.browser.prompts import prompt_values, turn_of
from foldspan.browser.shown import go_to, page
from foldspan.browser.typed import NOTHING_TICKED, first, line_of
from foldspan.measuring.conducted import ConductedSession, Heard
from foldspan.measuring.said import said_after
from foldspan.problems import Problem
from foldspan.session.answer_words import in_english
from foldspan.session.answers import Prompt
from foldspan.session.checks import IF_RIGHT
from foldspan.session.events import event_of
from foldspan.session.parse_input import parse_line
from foldspan.session.parsed import ParsedLine
from foldspan.session.state import replayed
from foldspan.text import on_page
from foldspan.text.catalogue import ENGLISH, LANGUAGES
from foldspan.text.client_answers import answer_words


def ask_page(asked: Asked) -> Response:
    """Show what is asked; a session in which everything was asked shows its result."""
    key = asked.path["key"]
    session = asked.desk.session(key)
    if session.state.prompt.kind == "done":
        return go_to(f"/session/{key}/result")
    return _shown(asked, session)


def answer(asked: Asked) -> Response:
    """Take an answer: keep it, then show the next prompt; or say beside the field why not."""
    desk, key = asked.desk, asked.path["key"]
    session: ConductedSession = desk.session(key)
    if asked.field("turn") != turn_of(session):
        if _is_repeated(session, asked):
            return go_to(f"/session/{desk.key_of(session, key)}")
        return _shown(asked, session, notices=[on_page.ANSWERED_FIRST], status=409)
    line = _in_english(session.state.prompt, line_of(session.state.prompt, asked.fields), asked)
    if isinstance(line, ParsedLine):
        problems = [problem for problem in (line.first, line.problem) if problem is not None]
        return _shown(asked, session, problems=problems, status=422)
    if line == NOTHING_TICKED:
        what, remedy = on_page.NOTHING_TICKED
        nothing = Problem("E101", "Your answer", what, remedy)
        return _shown(asked, session, problems=[nothing], status=422)
    heard = session.hear(line, asked_back=asked.field("asked_back"), meant=asked.field("meant"))
    if heard.problems:
        return _shown(asked, session, problems=heard.problems, heard=heard, line=line, status=422)
    desk.said[id(session)] = (turn_of(session), tuple(said_after(heard)))
    if heard.parsed.command == "end" or session.state.prompt.kind == "done":
        session.end()
        return go_to(f"/session/{desk.key_of(session, key)}/result")
    if heard.parsed.command == "stop":
        return go_to("/")
    return go_to(f"/session/{desk.key_of(session, key)}")


def _in_english(prompt: Prompt, line: str, asked: Asked) -> str | ParsedLine:
    """A line in the words that a session reads; the client's own language is understood too."""
    if asked.language == ENGLISH.code or line == NOTHING_TICKED:
        return line
    return in_english(prompt, line, answer_words(asked.language))


def turn(asked: Asked) -> Response:
    """Tell which moment a session is at, so that another device can follow."""
    session = asked.desk.session(asked.path["key"])
    return Response(turn_of(session), media_type="text/plain")


def _is_repeated(session: ConductedSession, asked: Asked) -> bool:
    """Whether an answer came twice: by a double tap, or since the first reply was lost on its way."""
    place, _, key = asked.field("turn").partition(":")
    if not place.isdecimal() or not 0 < int(place) < len(session.events):
        return False
    state = replayed(session.events[: int(place)])
    if state.prompt.key != key:
        return False
    kind, body = session.events[int(place)]
    line = line_of(state.prompt, asked.fields)
    # what was asked back stands by now, or it would not have been kept
    parsed = parse_line(state, line, asked_back=" ".join(line.split()), meant=asked.field("meant"))
    return parsed.moves is not None and (parsed.event, parsed.body) == (
        kind,
        event_of(kind, body).body(),
    )


def _shown(
    asked: Asked,
    session: ConductedSession,
    *,
    problems: Any = (),
    notices: list[str] | None = None,
    heard: Heard | None = None,
    line: str = "",
    status: int = 200,
) -> Response:
    """The page of the prompt, with what was typed still in its place where it did not stand."""
    desk = asked.desk
    key = desk.key_of(session, asked.path["key"])
    values = prompt_values(session, LANGUAGES[asked.language])
    at, said = desk.said.get(id(session), ("", ()))
    asks_back = heard is not None and heard.parsed.asks_back
    fields = asked.fields if problems or notices else {}
    template = "reading" if session.state.prompt.kind == "reading" else "ask"
    return page(
        template, status,
        key=key,
        remarks=said if at == values["turn"] else (),
        notices=notices or [],
        problems=[_problem_lines(problem) for problem in problems],
        asked_back=" ".join(line.split()) if asks_back else "",
        meant=heard.parsed.meant if heard is not None else "",
        was=lambda name: first(fields, name),
        ticked=lambda name, value: value in fields.get(name, ()),
        **values,
    )  # fmt: skip


def _problem_lines(problem: Problem) -> str:
    """A problem as it stands beside its field: the button says what a terminal would have one type."""
    remedy = problem.advice(problem.given).replace(IF_RIGHT, "").strip()
    return f"{problem.what[:1].upper()}{problem.what[1:]}. {remedy}".strip()

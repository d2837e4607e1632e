"""Today: begin a session, take one up again, the last clients."""

from __future__ import annotations

from typing import Any
from urllib.parse import unquote

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.desk import Desk
from foldspan.browser.shown import go_to, page, problem_line, remember
from foldspan.problems import FoldspanError, Problem
from foldspan.text.on_page import LANGUAGE_NAMES

RULES = {
    "growing": "The larger of 2 mm and 10%, less for thin skinfolds (default)",
    "2mm": "2 mm", "1mm": "1 mm", "10%": "10%", "5%": "5%",
    "adaptive": "Depends on the thickness of the skinfold",
}  # fmt: skip
UNITS = {"metric": "Kilograms and centimetres", "us": "Pounds and inches"}
MOST_CLIENTS = 12
# what is said once and holds for the next session on this device
REMEMBERED = ("tester", "calliper", "rule", "units", "step", "language")


def today(request: PageRequest) -> Response:
    """Show what can be done today."""
    return _shown(request)


def begin(request: PageRequest) -> Response:
    """Begin a session, of a client whom the book knows where one of their visits is named."""
    facts, problems = _facts(request)
    if problems:
        return _shown(request, problems=problems)
    from foldspan.measuring.conducted import facts_of_now

    desk, visit = request.desk, request.field("visit")
    code = desk.kept(visit).code if visit else ""
    key = desk.begin(facts_of_now(**facts, asked_for=desk.asked_for))
    if code:
        _answer_who(desk, key, code)
    response = go_to(f"/session/{key}")
    for name in (name for name in REMEMBERED if name in request.fields):
        remember(response, name, request.field(name), is_encrypted=request.is_encrypted)
    return response


def _answer_who(desk: Desk, key: str, code: str) -> None:
    """Answer the first question for a client who was tapped on."""
    from foldspan.browser.prompts import turn_of
    from foldspan.measuring.said import said_after

    session = desk.session(key)
    outcome = session.enter(code)
    desk.said[session.number] = (turn_of(session), tuple(said_after(outcome)))


def _given(request: PageRequest, name: str) -> str:
    """What a form says, or what this device remembers where it does not ask."""
    if name in request.fields:
        return request.field(name)
    return unquote(request.cookies.get(f"foldspan_{name}", ""))


def _facts(request: PageRequest) -> tuple[dict[str, Any], list[Problem]]:
    """What was said on the form, with what cannot be meant."""
    from foldspan.visit.how_taken import STEPS_MM
    from foldspan.visit.keys import LONGEST_CODE

    problems = []
    for name, label in (("tester", "Your code"), ("calliper", "Calliper")):
        text = _given(request, name)
        if len(text) > LONGEST_CODE or not text.isprintable():
            problems.append(
                Problem("E121", label, "too long", f"Use up to {LONGEST_CODE} plain characters.")
            )
    step, low, high = 0.0, *STEPS_MM
    if typed := _given(request, "step").replace(",", ".").strip():
        try:
            step = float(typed)
        except ValueError:
            step = float("nan")
        if not low <= step <= high:
            remedy = "Check the scale of the calliper."
            problems.append(
                Problem(
                    "E501",
                    "Smallest division on the calliper",
                    f"not a number from {low:g} to {high:g} mm",
                    remedy,
                )
            )
    rule = _given(request, "rule") or "growing"
    units = _given(request, "units") or "metric"
    if rule not in RULES or units not in UNITS:
        problems.append(
            Problem("E501", "Settings", "not one of the choices", "Choose one from the list.")
        )
    return {
        "tester": _given(request, "tester").strip(), "calliper": _given(request, "calliper").strip(),
        "step_mm": step, "rule": rule, "units": units,
    }, problems  # fmt: skip


def _shown(request: PageRequest, problems: list[Problem] | None = None) -> Response:
    desk = request.desk
    from foldspan.measuring.conducted import unfinished_sessions

    try:
        waiting = [
            {"key": f"v{kept.row}", "code": kept.code, "day": kept.day}
            for kept in unfinished_sessions(desk.book)
        ]
        latest = {code: row for row, code in desk.book.all_visits()}
        clients = sorted(desk.book.clients(), key=lambda client: client[3], reverse=True)
    except FoldspanError as error:
        from foldspan.browser.shown import error_page

        return error_page(error.problems, 409)
    return page(
        "today", 422 if problems else 200,
        waiting=waiting,
        clients=[
            {"row": latest[code], "code": code, "visits": visits, "day": last[:10]}
            for code, _, visits, last in clients[:MOST_CLIENTS] if code in latest
        ],
        more=max(len(clients) - MOST_CLIENTS, 0),
        problems=[problem_line(problem) for problem in problems or ()],
        given={
            name: request.field(name) or unquote(request.cookies.get(f"foldspan_{name}", ""))
            for name in REMEMBERED
        },
        rules=RULES, units=UNITS, languages=LANGUAGE_NAMES, language=request.language,
        is_on_network=desk.is_on_network,
    )  # fmt: skip

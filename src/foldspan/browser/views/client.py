"""Client: visits, the trend and what changed; correct, export, erase, pages and the letter."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.shown import go_to, page, problem_line
from foldspan.export.report import Report
from foldspan.measuring.outcome import Outcome
from foldspan.pages.html_page import kind_of_part, source_of
from foldspan.pages.pictures import trend_picture
from foldspan.pages.staff_parts import change_lines
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.records.export import client_json
from foldspan.records.visits import KeptVisit, correct, correction_of, kept_visits
from foldspan.text.on_page import CORRECTED_FIRST, LANGUAGE_NAMES
from foldspan.text.tapped import unwritten

KINDS = {
    "pdf": "application/pdf", "html": "text/html; charset=utf-8", "fhir.json": "application/fhir+json",
}  # fmt: skip
READERS = ("client", "trainer", "clinician")


def client_page(request: PageRequest) -> Response:
    """Show a client by one of their visits: every visit, the trend, what changed, what can be done."""
    return _shown(request)


def all_clients(request: PageRequest) -> Response:
    """Show every client by code, or those with what is looked for in it: no address holds a code."""
    book = request.desk.book
    latest = {code: row for row, code in book.all_visits()}
    wanted = request.field("code").strip().casefold()
    listed = [
        {"row": latest[code], "code": code, "visits": visits, "day": last[:10]}
        for code, _, visits, last in book.clients()
        if code in latest and wanted in code.casefold()
    ]
    return page("clients", clients=listed, wanted=request.field("code"))


def document(request: PageRequest) -> Response:
    """Return a page to hand over as a file: for the client, the trainer or a clinician."""
    reader, ending = request.query.get("for", ""), request.query.get("as", "pdf")
    language = request.query.get("language", "en")
    if reader not in READERS or ending not in KINDS or language not in LANGUAGE_NAMES:
        what, remedy = "is not one of the choices", "Choose it on the client's page."
        raise FoldspanError([Problem("E501", "This page", what, remedy)])
    outcome = request.desk.outcome(request.path["key"])
    report = outcome.page(reader, language=language if reader == "client" else "en")
    if ending == "pdf":
        body: bytes | str = report.pdf()
    elif ending == "html":
        body = report.html()
    else:
        body = json.dumps(report.fhir(), indent=2, ensure_ascii=False)
    # a name without the client's code: what is downloaded may lie in a folder that others see
    name = f"{reader}-{outcome.kept.day or 'visit'}.{ending}"
    disposition = "inline" if ending == "pdf" else "attachment"
    return Response(
        body, media_type=KINDS[ending],
        headers={"content-disposition": f'{disposition}; filename="{name}"'},
    )  # fmt: skip


def export(request: PageRequest) -> Response:
    """Return everything that is kept of the client, to hand over or to move."""
    book, code = request.desk.book, _kept(request).code
    text = client_json(code, book.name_of(code), kept_visits(book, code))
    return Response(
        text, media_type="application/json",
        headers={"content-disposition": 'attachment; filename="client.json"'},
    )  # fmt: skip


def correct_visit(request: PageRequest) -> Response:
    """Put a reading or a line of a visit right; what was typed first stays in the book."""
    kept = _kept(request)
    turn = request.field("reading")
    try:
        meant = correction_of(
            request.field("name"), request.field("value"), int(turn) if turn in ("1", "2", "3") else 0,
            who=request.field("who"), why=request.field("why"),
        )  # fmt: skip
        if request.field("events") != str(len(kept.events)):
            # sent again, it is made once: a reading that is taken out must not take the next one with it
            if kept.corrections and replace(kept.corrections[-1], at="") == meant:
                return go_to(f"/visit/{kept.row}")
            return _shown(request, correcting=[CORRECTED_FIRST], status=409)
        correct(request.desk.book, kept, meant)
    except FoldspanError as error:
        return _shown(request, correcting=_on_page(error), status=422)
    return go_to(f"/visit/{kept.row}")


def erase(request: PageRequest) -> Response:
    """Erase a client for good: asked twice, and only where the code is typed."""
    kept = _kept(request)
    typed = request.field("code").strip()
    if typed != kept.code:
        wrong = ["Type the client's code exactly as shown above."] if typed else []
        return page(
            "erase", 422 if wrong else 200,
            row=kept.row, code=kept.code, problems=wrong, typed=typed,
        )  # fmt: skip
    count = request.desk.book.erase(kept.code)
    return page("erased", count=count)


def _on_page(error: FoldspanError) -> list[str]:
    """Problems without the names that options have at a terminal."""
    named = {
        "--reading": "Reading", "--who": "Corrected by", "--why": "Reason", "NAME": "What to correct",
    }  # fmt: skip
    return [problem_line(problem, named.get(problem.where, "")) for problem in error.problems]


def _kept(request: PageRequest) -> KeptVisit:
    kept: KeptVisit = request.desk.kept(request.path["key"])
    return kept


def _shown(
    request: PageRequest, *, correcting: list[str] | None = None, status: int = 200
) -> Response:
    desk, key = request.desk, request.path["key"]
    kept = _kept(request)
    every = kept_visits(desk.book, kept.code)
    outcome: Outcome | None = None
    report: Report | None = None
    try:
        outcome = desk.outcome(f"v{kept.row}")
        report = outcome.page("trainer", language="en") if outcome is not None else None
    except FoldspanError:
        outcome = None
    material = None if report is None else report.material
    return page(
        "client", status,
        key=key, row=kept.row, code=kept.code, events=len(kept.events),
        visits=[_row(visit) for visit in reversed(every)],
        trend=_trend(material), kind=kind_of_part, source=source_of,
        changes=[] if material is None else [*map(unwritten, change_lines(material))],
        is_careful=outcome is not None and outcome.beside.is_careful,
        has_pages=report is not None,
        agreed=outcome is not None and outcome.beside.agreed is not False,
        languages=LANGUAGE_NAMES, language=request.language,
        names=[(name, BY_NAME[name].label) for name in MEASURED],
        lines=[name.replace("_", " ") for name in CLIENT_LINES],
        line_keys=CLIENT_LINES,
        correcting=correcting or [],
        given={name: request.field(name) for name in ("name", "reading", "value", "who", "why")},
    )  # fmt: skip


CLIENT_LINES = ("age_years", "sex", "date", "tester", "calliper", "code")


def _row(visit: KeptVisit) -> dict[str, Any]:
    corrections = [
        f"{BY_NAME[made.name].label if made.name in BY_NAME else made.name.replace('_', ' ')}"
        f"{f', reading {made.turn}' if made.turn else ''}: corrected by {made.who} ({made.why})"
        for made in visit.corrections
    ]
    return {
        "row": visit.row, "number": visit.number, "day": visit.day, "tester": visit.tester,
        "has_ended": visit.has_ended, "corrections": corrections,
    }  # fmt: skip


def _trend(material: Any) -> Any:
    """The picture of the trend where there is one, else None."""
    if material is None or not material.earlier or not material.result.has_range:
        return None
    return trend_picture(material)

"""Table row: one client of a screened table as a page, as it would be made of a visit."""

from __future__ import annotations

import json
import secrets
import shutil
from contextlib import suppress
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import Deferred, PageRequest
from foldspan.browser.jobs.job import Job
from foldspan.browser.shown import page, problem_line
from foldspan.browser.views.client import KINDS, READERS
from foldspan.browser.views.result import unwritten_part
from foldspan.browser.views.table_results import screened_job
from foldspan.export.report import Report
from foldspan.pages.html_page import kind_of_part, source_of
from foldspan.problems import FoldspanError, Problem
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.on_page import LANGUAGE_NAMES
from foldspan.text.tables.tapped import labelled, tapped_problem, tapped_table
from foldspan.visit.model import Visit


def row_page(request: PageRequest) -> Deferred:
    """Show the trainer's page of a row, or why there is none."""
    job, row = screened_job(request), _row(request)

    def shown(found: Any) -> Response:
        report, lines = _made(found, request, "trainer", "en")
        unsaid = _unsaid(found, report)
        parts = [] if report is None else [unwritten_part(part) for part in report.document.parts]
        notes = (
            []
            if report is None
            else [labelled(tapped_table(line)) for line in found["problems_of_row"]]
        )
        return page(
            "tables/row", key=job.key, name=job.name, row=row, parts=parts, lines=lines, notes=notes,
            code=found["code"], unsaid=unsaid,
            kind=kind_of_part, source=source_of, languages=LANGUAGE_NAMES, language=request.language,
        )  # fmt: skip

    return Deferred(lambda: _asked_of_row(job, row), shown)


def document(request: PageRequest) -> Deferred:
    """Return a page of a row to hand over as a file."""
    job, row = screened_job(request), _row(request)
    reader, ending = request.query.get("for", ""), request.query.get("as", "pdf")
    language = request.query.get("language", "en")
    if reader not in READERS or ending not in KINDS or language not in LANGUAGE_NAMES:
        what, remedy = (
            "not one of the choices",
            "Choose a page or letter at the foot of the row’s page.",
        )
        raise FoldspanError([Problem("E501", "This page", what, remedy)])

    def sent(found: Any) -> Response:
        body: bytes | str
        if isinstance(found, bytes):
            report, body = None, found
        else:
            report, _ = _made(found, request, reader, language if reader == "client" else "en")
            if report is None:
                raise FoldspanError(
                    tapped_problem(Problem(**problem)) for problem in found["unmade"]
                )
            body = report.html() if ending == "html" else report.pdf()
        if report is not None and ending == "fhir.json":
            body = json.dumps(report.fhir(), indent=2, ensure_ascii=False)
        disposition = "inline" if ending == "pdf" else "attachment"
        name = f"{reader}-row-{row}.{ending}"  # a name without the client's code
        return Response(
            body, media_type=KINDS[ending],
            headers={"content-disposition": f'{disposition}; filename="{name}"'},
        )  # fmt: skip

    is_letter = (reader, ending) == ("clinician", "pdf")
    return Deferred(lambda: (is_letter and _letter(job, row)) or _asked_of_row(job, row), sent)


def _letter(job: Job, row: int) -> bytes | None:
    """The letter of a row that is referred, as in the archive of all of them; None for another row."""
    try:
        place = job.aside("row", row=row, letter=secrets.token_hex(8))["letter"]
    except FoldspanError as error:
        raise FoldspanError(map(tapped_problem, error.problems)) from None
    if not place:
        return None
    letter: bytes = (job.made / place).read_bytes()
    shutil.rmtree((job.made / place).parent, ignore_errors=True)
    return letter


def _unsaid(found: Any, report: Report | None) -> list[tuple[str, str]]:
    """Why a row is referred that a page made of its visits does not say: how soon, and the reason."""
    said = set() if report is None else {flag.code for flag in report.material.flags}
    rules = [RULE_BY_CODE[code] for code in found["referring"] if code not in said]
    return [(LEVEL_WORDS[rule.level], rule.when) for rule in rules]


def _asked_of_row(job: Job, row: int) -> dict[str, Any]:
    """What a row says, also where no visit can be made of it."""
    try:
        return job.aside("row", row=row)
    except FoldspanError as error:
        raise FoldspanError(map(tapped_problem, error.problems)) from None


def _made(
    found: Any, request: PageRequest, reader: str, language: str
) -> tuple[Report | None, list[str]]:
    """The page of a row, None with the reasons where there is none."""
    from foldspan.api.report import report

    problems = tuple(Problem(**problem) for problem in found["unmade"])
    if not problems:
        desk = request.desk
        try:
            visit = Visit.from_dict(found["visit"], where="This row")
            how: dict[str, Any] = {
                "reader": reader,
                "language": language,
                "practice": desk.practice,
            }
            if found["earlier"]:
                with suppress(FoldspanError):  # two visits without their days show no change
                    earlier = Visit.from_dict(found["earlier"], where="The earlier table")
                    return report(earlier, visit, **how, **desk.settings), []
            return report(visit, **how, **desk.settings), []
        except FoldspanError as error:
            problems = error.problems
    return None, [problem_line(tapped_problem(problem)) for problem in problems]


def _row(request: PageRequest) -> int:
    text = request.path["row"]
    if not text.isdecimal() or len(text) > 9 or int(text) < 1:
        raise FoldspanError(
            [Problem("E706", "This row", "not in the table", "Choose another row.")]
        )
    return int(text)

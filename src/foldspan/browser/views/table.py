"""Table: a spreadsheet is sent, its columns are confirmed, it is screened; nothing of it is kept."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from foldspan.browser.app import Deferred, PageRequest
from foldspan.browser.jobs.choices import ENDINGS, chosen_on_page, columns_shown, missing_units
from foldspan.browser.jobs.job import Job
from foldspan.browser.shown import go_to, page, problem_line
from foldspan.browser.views.table_results import results
from foldspan.problems import FoldspanError, Problem
from foldspan.text.tables.columns_in_words import choices
from foldspan.text.tables.on_page import AS, DOING, NOTHING_KEPT, STATES, progress_words
from foldspan.text.tables.tapped import tapped_problem

# columns of which nothing is known that can be chosen; each has a list of its own
MOST_OTHERS = 60
UNITS = ("kg", "lb", "st", "g", "cm", "m", "in", "ft", "mm", "years", "months")


def job_of(request: PageRequest) -> Job:
    """Return the table that an address names; E706 where it is not here."""
    job: Job = request.desk.tables.of(request.path["key"], request.owner)
    return job


def tables_page(request: PageRequest) -> Response:
    """Show where a table is sent, and those that are here."""
    return _sending(request)


def send(request: PageRequest) -> Response | Deferred:
    """Take a table, and have its columns looked at."""
    if not _has_file(request):
        return _sending(request, [_no_file()])
    return Deferred(lambda: _taken(request), go_to)


def _has_file(request: PageRequest) -> bool:
    return request.file is not None and bool(request.file.filename)


def _taken(request: PageRequest, main: str = "") -> str:
    """Keep the file that was sent; return the address of its page."""
    file, tables = request.file, request.desk.tables
    assert file is not None
    assert file.filename
    job = tables.take(file.file, file.filename, request.owner, request.desk.packed(), main)
    return f"/tables/{job.key}"


def _no_file() -> str:
    what, remedy = "no file was chosen", "Choose a file, or drop it on the field."
    return problem_line(Problem("E301", "Table", what, remedy))


def table_page(request: PageRequest) -> Response:
    """Show how a table stands: being worked on, its columns to confirm, or what came of it."""
    job = job_of(request)
    if job.is_at_work:
        return page(
            "tables/wait", key=job.key, name=job.name, doing=DOING[job.doing], **_progress(job)
        )
    if job.state == "choosing":
        if job.looked["sheets"] and not job.looked["columns"]:
            return page("tables/sheet", key=job.key, name=job.name, sheets=job.looked["sheets"])
        return go_to(f"/tables/{job.key}/columns")
    if job.state == "done":
        return results(job)
    lines = [problem_line(tapped_problem(problem)) for problem in job.problems]
    return page(
        "tables/over", key=job.key, name=job.name, state=job.state, lines=lines, place=job.place,
        has_columns=bool(job.looked), has_result=bool(job.found),
    )  # fmt: skip


def now(request: PageRequest) -> Response:
    """Tell a page how far its table is."""
    job = job_of(request)
    return JSONResponse({"is_at_work": job.is_at_work, **_progress(job)})


def choose_sheet(request: PageRequest) -> Response:
    """Look at a sheet of a workbook."""
    job = job_of(request)
    sheet = request.field("sheet")
    if sheet not in job.looked.get("sheets", ()):
        what, remedy = "not in this workbook", "Choose one from the list."
        raise FoldspanError([Problem("E501", "Sheet", what, remedy)])
    job.start("look", sheet=sheet)
    return go_to(f"/tables/{job.key}")


def columns_page(request: PageRequest) -> Response:
    """Show what each column is taken for, to be confirmed or changed."""
    job = job_of(request)
    if job.is_at_work or not job.looked.get("columns"):
        return go_to(f"/tables/{job.key}")
    lines = [problem_line(tapped_problem(problem)) for problem in job.problems]
    columns = columns_shown(job.looked["columns"], job.chosen)
    return page(
        "tables/columns", 422 if lines else 200,
        key=job.key, name=job.name, problems=lines, sheet=job.looked["sheet"],
        notes=job.looked["notes"],
        columns=[column for column in columns if column["is_first"]],
        others=[column for column in columns if not column["is_first"]][:MOST_OTHERS],
        more=max(sum(not column["is_first"] for column in columns) - MOST_OTHERS, 0),
        choices=choices(), units=UNITS, kinds=AS,
        kind=job.chosen.get("as") or ENDINGS[job.looked["kind_of_table"]],
        is_earlier=bool(job.main), earlier=job.before.get("path", ""),
    )  # fmt: skip


def screen(request: PageRequest) -> Response:
    """Screen the table with the columns as confirmed."""
    job = job_of(request)
    if job.looked.get("columns") and not job.is_at_work:
        chosen = chosen_on_page(job.looked, request.fields)
        job.problems = tuple(missing_units(job.looked, request.fields))
        if job.problems:
            job.chosen = chosen
            return columns_page(request)
        if job.main:
            return _compare(request, job)
        job.screen(chosen)
    return go_to(f"/tables/{job.key}")


def _compare(request: PageRequest, earlier: Job) -> Response:
    """Take an earlier table with its columns as confirmed, and go back to the one that is screened."""
    job: Job = request.desk.tables.of(earlier.main, request.owner)
    earlier.chosen = chosen_on_page(earlier.looked, request.fields, says_all=True)
    try:
        job.compare_with(earlier, earlier.chosen)
    except FoldspanError as error:
        earlier.problems = tuple(error.problems)
        return columns_page(request)
    return go_to(f"/tables/{job.key}/columns")


def before_page(request: PageRequest) -> Response:
    """Show where an earlier table is sent."""
    return page("tables/before", key=job_of(request).key, name=job_of(request).name, problems=[])


def send_before(request: PageRequest) -> Response | Deferred:
    """Take an earlier table, and have its columns looked at; or leave it out again."""
    job = job_of(request)
    if request.field("leave_out"):
        job.leave_earlier()
        return go_to(f"/tables/{job.key}/columns")
    if not _has_file(request):
        return page("tables/before", 422, key=job.key, name=job.name, problems=[_no_file()])
    return Deferred(lambda: _taken(request, main=job.key), go_to)


def stop(request: PageRequest) -> Response:
    """Stop what is being done; what was found before stays."""
    job = job_of(request)
    job.stop()
    return go_to(f"/tables/{job.key}")


def delete(request: PageRequest) -> Response:
    """Delete a table with everything that came of it; sent twice, it is deleted once."""
    for job in request.desk.tables.sent_by(request.owner):
        if job.key == request.path["key"]:
            request.desk.tables.forget(job.key, request.owner)
    return go_to("/tables")


def _progress(job: Job) -> dict[str, Any]:
    return {
        "share": job.share,
        "progress": progress_words(job.rows, job.share, job.seconds_left),
    }


def _sending(request: PageRequest, problems: list[str] | None = None) -> Response:
    tables = [
        {"key": job.key, "name": job.name, "state": STATES[job.state]}
        for job in request.desk.tables.sent_by(request.owner)
        if not job.main
    ]
    return page(
        "tables/send", 422 if problems else 200, tables=tables, nothing_kept=NOTHING_KEPT,
        problems=problems or [],
    )  # fmt: skip

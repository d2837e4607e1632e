"""Table API: a table sent by a program, screened as one that is sent to the pages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.responses import JSONResponse, Response

from foldspan.api.schemas.published import component
from foldspan.browser import openapi
from foldspan.browser.app import Deferred, PageRequest
from foldspan.browser.jobs.choices import ENDINGS
from foldspan.browser.jobs.job import STATES, Job
from foldspan.browser.openapi import Operation, an_object
from foldspan.browser.shown import problems_response
from foldspan.browser.views.json_api import tree_of
from foldspan.browser.views.table_results import sent
from foldspan.problems import FoldspanError, Problem
from foldspan.results.result import SCHEMA_VERSION, problem_list

MAPPINGS = ("columns", "units", "words")
NAMES = (*MAPPINGS, "sheet", "as", "accept_unusual", "before")
OF_EARLIER = (*MAPPINGS, "sheet", "table")
_BODY = "an object with columns, units and words, each an object of texts, or an empty one"


def send_table(request: PageRequest) -> Response | Deferred:
    """Take a table, whose name tells its kind; its columns are looked at."""
    file = request.file
    if file is None or not file.filename:
        remedy = (
            "Add the name of the file to the address: ?name=day.csv. Its ending tells its kind."
        )
        return problems_response([Problem("E121", "name", "missing", remedy)], 422)

    def taken() -> Job:
        job: Job = request.desk.tables.take(
            file.file, file.filename, request.owner, request.desk.packed()
        )
        return job

    return Deferred(taken, lambda job: _state(job, 202))


def table_state(request: PageRequest) -> Response:
    """Tell how a table stands, with its columns or with what came of it."""
    return _state(_job(request))


def screen_table(request: PageRequest) -> Response:
    """Screen a table; what is not said of its columns is as their names say."""
    try:
        tree = _tree(request.body)
        job = _ready(_job(request))
        if before := tree.get("before"):
            earlier = request.desk.tables.of(before.get("table", ""), request.owner)
            job.compare_with(earlier, _said(before))
        else:
            job.leave_earlier()
    except FoldspanError as error:
        return problems_response(error.problems, _status(error))
    job.screen(
        {
            **_said(tree),
            "as": tree.get("as") or ENDINGS[job.looked["kind_of_table"]],
            "accept_unusual": tree.get("accept_unusual", False),
        }
    )  # fmt: skip
    return _state(job, 202)


def _said(tree: Mapping[str, Any]) -> dict[str, Any]:
    """What is said of the columns of a table."""
    return {
        "names": tree.get("columns", {}), "units": tree.get("units", {}),
        "words": tree.get("words", {}), "sheet": tree.get("sheet", ""),
    }  # fmt: skip


def write_letters(request: PageRequest) -> Response:
    """Write a letter for everybody who is referred, except those whose unit has to be confirmed."""
    try:
        job = _ready(_job(request))
        if not job.found:
            remedy = "Screen it first, and wait until its state is done."
            raise FoldspanError([Problem("E706", "Table", "has not been screened", remedy)])
    except FoldspanError as error:
        return problems_response(error.problems, _status(error))
    job.start("letters")
    return _state(job, 202)


def table_file(request: PageRequest) -> Response:
    """Return a file that came of a table."""
    job, name = _job(request), request.path["name"]
    if name not in job.files:
        remedy = "The state of the table names its files."
        return problems_response([Problem("E706", "File", "there is no such file", remedy)], 404)
    return sent(job, name, openapi.BYTES)


def delete_table(request: PageRequest) -> Response:
    """Delete a table with everything that came of it; what is being done is stopped."""
    job = _job(request)
    request.desk.tables.forget(job.key, request.owner)
    return JSONResponse({"schema_version": SCHEMA_VERSION, "table": job.key, "state": "deleted"})


def _job(request: PageRequest) -> Job:
    job: Job = request.desk.tables.of(request.path["key"], request.owner)
    return job


def _ready(job: Job) -> Job:
    """Return a table that can be worked on; E120 for one that is worked on now, or cannot be read."""
    if job.is_at_work or job.state == "refused":
        what = f"cannot be screened while its state is {job.state}"
        remedy = "Ask for its state until it is choosing or done; a refused table is sent again."
        raise FoldspanError([Problem("E120", "Table", what, remedy)])
    return job


def _status(error: FoldspanError) -> int:
    codes = {problem.code for problem in error.problems}
    return 404 if codes == {"E706"} else 409 if codes == {"E120"} else 422


def _tree(body: bytes) -> Mapping[str, Any]:
    tree = tree_of(body or b"{}", _BODY)
    found = _unfit(tree, NAMES)
    before = tree.get("before", {})
    if isinstance(before, Mapping):
        found += _unfit(before, OF_EARLIER)
    else:
        remedy = f"Use {', '.join(OF_EARLIER)}."
        found.append(Problem("E121", "before", "not an object", remedy))
    if tree.get("as", "csv") not in ENDINGS.values():
        found.append(Problem("E501", "as", "unknown kind", f"Use {', '.join(ENDINGS.values())}."))
    if not isinstance(tree.get("accept_unusual", False), bool):
        found.append(Problem("E501", "accept_unusual", "not true or false", "Write true or false."))
    if found:
        raise FoldspanError(found)
    return tree


def _unfit(tree: Mapping[str, Any], known: Sequence[str]) -> list[Problem]:
    """What is wrong with what is said of the columns of a table."""
    found = [
        Problem("E115", name[:60], "unknown name", f"Use {', '.join(known)}.")
        for name in tree
        if name not in known
    ]
    found += [
        Problem("E121", name, "not an object of texts", f"Send {_BODY}.")
        for name in MAPPINGS
        if not _is_of_texts(tree.get(name, {}), deep=name == "words")
    ]
    found += [
        Problem("E121", name, "not a text", f"Give the {what}.")
        for name, what in (("sheet", "name of a sheet"), ("table", "key of a table"))
        if not isinstance(tree.get(name, ""), str)
    ]
    return found


def _is_of_texts(some: Any, *, deep: bool) -> bool:
    return isinstance(some, Mapping) and all(
        isinstance(value, str) or (deep and _is_of_texts(value, deep=False))
        for value in some.values()
    )


def _state(job: Job, status: int = 200) -> Response:
    """How a table stands, as plain values."""
    about: dict[str, Any] = {
        "schema_version": SCHEMA_VERSION, "table": job.key, "name": job.name, "state": job.state,
        "rows": job.rows, "share": job.share, "seconds_left": job.seconds_left,
        "sheets": list(job.looked.get("sheets", ())),
        "columns": [
            {
                "given": column["given"], "name": column["name"], "unit": column["unit"],
                "is_known": column["is_known"], "is_open": column["is_open"], "why": column["why"],
                "examples": column["examples"],
            }
            for column in job.looked.get("columns", ())
        ],
        "problems": problem_list(job.problems),
        "failed_at": job.place, "letters": job.found.get("letters"), "files": job.files,
        "summary": job.found.get("summary"),
    }  # fmt: skip
    return JSONResponse(about, status)


_KEY = {"key": {"type": "string", "description": "As returned when the table was sent."}}
_TEXTS = {"type": "object", "additionalProperties": {"type": "string"}}
_COLUMN = an_object(
    {
        **{key: {"type": "string"} for key in ("given", "name", "unit", "why")},
        **{key: {"type": "boolean"} for key in ("is_known", "is_open")},
        "examples": {"type": "array", "items": {"type": "string"}},
    },
    "given", "name", "unit", "why", "is_known", "is_open", "examples",
)  # fmt: skip
STATE: dict[str, Any] = an_object(
    {
        "schema_version": {"type": "integer"},
        "table": {"type": "string"},
        "name": {"type": "string"},
        "state": {"type": "string", "enum": list(STATES)},
        "rows": {"type": "integer"},
        "share": {"type": ["number", "null"]},
        "seconds_left": {"type": ["number", "null"]},
        "sheets": {"type": "array", "items": {"type": "string"}},
        "columns": {"type": "array", "items": _COLUMN},
        "problems": openapi.PROBLEMS["properties"]["problems"] | {"minItems": 0},
        "failed_at": {"type": "string"},
        "letters": {"type": ["integer", "null"]},
        "files": {"type": "array", "items": {"type": "string"}},
        "summary": {"anyOf": [component("screen"), {"type": "null"}]},
    },
    "schema_version", "table", "name", "state", "columns", "problems", "files", "summary",
)  # fmt: skip
_SAID: dict[str, Any] = {
    "columns": _TEXTS | {"description": "Column in the table, and the name used here."},
    "units": _TEXTS | {"description": "Column in the table, and the unit of its numbers."},
    "words": {"type": "object", "description": "Word in the table, and the word used here."},
    "sheet": {"type": "string"},
}
_CHOSEN = an_object(
    {
        **_SAID,
        "before": an_object(
            {**_SAID, "table": {"type": "string"}}, "table", additionalProperties=False
        )
        | {"description": "An earlier table, sent in the same way."},
        "as": {"type": "string", "enum": list(ENDINGS.values())},
        "accept_unusual": {"type": "boolean"},
    },
    additionalProperties=False,
)
_NOT_NOW = {"409": "The table is being worked on, or cannot be read."}
OPERATIONS: dict[str, Operation] = {
    "send_table": Operation(
        "Send a table, up to 200 MB; its columns are read",
        STATE,
        body={"type": "string", "format": "binary"},
        body_type=openapi.BYTES,
        query={"name": {"type": "string", "description": "Name of the file, with its ending."}},
        status="202",
    ),
    "table_state": Operation("Tell how a table stands, and what came of it", STATE, path=_KEY),
    "screen_table": Operation(
        "Screen a table; columns that are not named go by their own names",
        STATE, body=_CHOSEN, path=_KEY, status="202", refused=_NOT_NOW,
        example={"columns": {"Staff no": "code"}, "units": {"Weight": "lb"}, "as": "csv"},
    ),
    "write_letters": Operation(
        "Write letters to clinicians, one for each client who is referred",
        STATE, body={"type": "object"}, path=_KEY, status="202", refused=_NOT_NOW, example={},
    ),
    "table_file": Operation(
        "Return a file that came of a table",
        {"type": "string", "format": "binary"},
        path={**_KEY, "name": {"type": "string", "description": "As the state names it."}},
        result_type=openapi.BYTES,
    ),
    "delete_table": Operation(
        "Delete a table with everything that came of it",
        an_object(
            {"schema_version": {"type": "integer"}, "table": {"type": "string"},
             "state": {"type": "string", "enum": ["deleted"]}},
            "schema_version", "table", "state",
        ),
        path=_KEY,
    ),
}  # fmt: skip

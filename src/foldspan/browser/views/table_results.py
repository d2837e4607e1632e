"""Table results: the summary of a table, who to refer, what is wrong by row, files to take away."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import groupby
from typing import Any

from starlette.responses import FileResponse, Response

from foldspan.browser.app import Deferred, PageRequest
from foldspan.browser.jobs.job import LETTERS, Job
from foldspan.browser.jobs.listing import ORDERS, SHOWN, ReferralFilter, flags_listed, referred
from foldspan.browser.shown import go_to, page, problem_line
from foldspan.problems import FoldspanError, Problem
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE
from foldspan.text.en.flags import LEVEL_MEANING, LEVEL_WORDS
from foldspan.text.screen import LOOK_FIRST, SCREENING
from foldspan.text.tables.on_page import EXPECTED, FILES, FLAGS, HOW_READ, SMALL_PRINT
from foldspan.text.tables.on_page import ORDERS as ORDER_WORDS
from foldspan.text.tables.tapped import labelled, tapped_problem, tapped_table

REFERRING = tuple(level for level in reversed(LEVELS) if level.startswith("refer"))
# those to be referred that stand on the page of the summary
FIRST = 10
KINDS = {
    "csv": "text/csv; charset=utf-8", "parquet": "application/vnd.apache.parquet",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "json": "application/json", "zip": "application/zip", "pdf": "application/pdf",
    "html": "text/html; charset=utf-8",
}  # fmt: skip
GROUPS = ("pdf", "html", "xlsx")
# on a page, a flag needs no code and an earlier table no folder
_CODE_OF_FLAG = re.compile(rf" \((?:{'|'.join(RULE_BY_CODE)})\)$")
_EARLIER = "before/"


def screened_job(request: PageRequest) -> Job:
    """Return the table that an address names, screened.

    Raises
    ------
    FoldspanError
        E706 where it is not here, or not screened yet.
    """
    job: Job = request.desk.tables.of(request.path["key"], request.owner)
    if not job.found:
        what, remedy = "not screened yet", "Confirm its columns first."
        if job.is_at_work:
            what, remedy = (
                "still being worked on",
                "Wait until it is done, then open this page again.",
            )
        raise FoldspanError([Problem("E706", "Table", what, remedy)])
    return job


def results(job: Job) -> Response:
    """Show what came of a table."""
    found = job.found
    first, others = _summary(found["lines"])
    people, _ = referred(job.made, ReferralFilter())
    return page(
        "tables/done",
        key=job.key, name=job.name, rows=found["rows"], with_range=found["with_range"],
        referred=found["referred"], look_first=first, tables=others,
        levels=[
            (LEVEL_WORDS[level], LEVEL_MEANING[level], found["levels"][level])
            for level in REFERRING
            if found["levels"][level]
        ],
        people=[_person(row) for row in people[:FIRST]], has_more=found["referred"] > FIRST,
        problem_rows=len(found["problem_rows"]),
        problems=[problem_line(tapped_problem(problem)) for problem in job.problems],
        files=[_file(job, name) for name in found["files"]],
        letters=_letters(job), unit_first=found["unit_first"],
        groups=GROUPS, has_group=found["has_group"],
        small=SCREENING,
    )  # fmt: skip


Tables = dict[str, list[tuple[str, list[Any]]]]


def _summary(lines: Iterable[list[Any]]) -> tuple[list[str], Tables]:
    """What to look at first, and the rest of the summary: heading to unfold, "" for none → tables."""
    first: list[str] = []
    tables: Tables = {"": [], FLAGS: [], EXPECTED: [], HOW_READ: []}
    for what, some in groupby(lines, key=lambda line: line[0]):
        if what == LOOK_FIRST:
            first += [tapped_table(line[1]) for line in some]
        elif what != SMALL_PRINT:
            table = [(_CODE_OF_FLAG.sub("", tapped_table(line[1])), *line[2:]) for line in some]
            folded = (name for name in tables if name and name.casefold() in what.casefold())
            tables[next(folded, "")].append((what.replace(_EARLIER, "", 1), table))
    return first, tables


def referrals(request: PageRequest) -> Response:
    """Show who to refer, as many as stand on a page; no address holds a code."""
    job = screened_job(request)
    wish = ReferralFilter(
        level=_among(request.query.get("level", ""), REFERRING),
        flag=_among(request.query.get("flag", ""), RULE_BY_CODE),
        code=request.field("code").strip(),
        order=_among(request.query.get("order", ""), ORDERS) or "urgency",
        page=_page(request.query.get("page", "")),
    )
    people, count = referred(job.made, wish)
    return page(
        "tables/referrals",
        key=job.key, name=job.name, people=[_person(row) for row in people], count=count,
        wish=wish, pages=-(-count // SHOWN),
        levels={level: LEVEL_WORDS[level] for level in REFERRING},
        flags={code: RULE_BY_CODE[code].when for code in flags_listed(job.made)},
        orders=ORDER_WORDS, first=(wish.page - 1) * SHOWN + 1,
    )  # fmt: skip


def problems(request: PageRequest) -> Response:
    """Show what is wrong, row by row, with what to do."""
    job = screened_job(request)
    here, found = _page(request.query.get("page", "")), job.found["problem_rows"]
    shown = found[(here - 1) * SHOWN : here * SHOWN]
    rows = [
        (row, code, list(map(labelled, re.split(r"(?<=\]); ", tapped_table(text)))))
        for row, code, text in shown
    ]
    return page(
        "tables/problems", key=job.key, name=job.name, rows=rows, page=here,
        pages=-(-len(found) // SHOWN), is_cut=len(found) >= 1000,
    )  # fmt: skip


def letters(request: PageRequest) -> Response:
    """Write the letters; where somebody says so, also of weights in a doubtful unit."""
    job = screened_job(request)
    if not job.is_at_work:
        accepts = request.field("accept_unusual") == "yes"
        job.start("letters", chosen={**job.chosen, "accept_unusual": accepts})
    return go_to(f"/tables/{job.key}")


def file(request: PageRequest) -> Response:
    """Return a file to take away."""
    job, name = screened_job(request), request.path["name"]
    if name not in job.files:
        what, remedy = "not found", "Choose a file on the page with the results."
        raise FoldspanError([Problem("E706", "File", what, remedy)])
    return sent(job, name)


def group(request: PageRequest) -> Deferred:
    """Return the summary without individuals."""
    job = screened_job(request)
    kind = request.query.get("as", "pdf")
    if kind not in (*GROUPS, "json"):
        what, remedy = "no such file type", "Choose one on the page with the results."
        raise FoldspanError([Problem("E501", "Group summary", what, remedy)])

    def made() -> str:
        try:
            return str(job.aside("group", **{"as": kind})["file"])
        except FoldspanError as error:
            raise FoldspanError(map(tapped_problem, error.problems)) from None

    return Deferred(made, lambda name: sent(job, name))


def sent(job: Job, name: str, kind: str = "") -> Response:
    """Return a file of a table as one to be saved."""
    kind = kind or KINDS[name.rpartition(".")[2]]
    return FileResponse(job.made / name, media_type=kind, filename=name)


def _letters(job: Job) -> dict[str, Any] | None:
    """What became of the letters, None where none were asked for."""
    if "letters" not in job.found:
        return None
    notes = [tapped_table(note) for note in job.found["letter_notes"]]
    return {"count": job.found["letters"], "notes": notes, "file": _file(job, LETTERS)}


def _file(job: Job, name: str) -> dict[str, str]:
    size = (job.made / name).stat().st_size
    words = f"{size / 1e6:.1f} MB" if size >= 1e5 else f"{max(round(size / 1e3), 1)} kB"
    return {"name": name, "label": FILES[name], "size": words}


def _person(row: dict[str, Any]) -> dict[str, Any]:
    return {
        **row,
        "level_words": LEVEL_WORDS[row["level"]],
        "in_doubt": labelled(tapped_table(row["in_doubt"])),
        "is_borderline": bool(row["borderline"]),
    }


def _among(word: str, known: Iterable[str]) -> str:
    return word if word in known else ""


def _page(text: str) -> int:
    return int(text) if text.isdecimal() and int(text[:9] or "0") > 0 and len(text) < 7 else 1

"""Many pages in one run: one for each visit or client, each in files of its own."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import typer

from foldspan.cli.reporting.report_options import ReportOptions
from foldspan.cli.visits_given import GivenVisits, Records, visits_from
from foldspan.problems import FoldspanError, Problem
from foldspan.text.en.staff_pages import MANY_PAGES

# what is wrong with the book and not with one client of it
BOOK_CODES = ("E701", "E702", "E703", "E704", "E705")
FORCE = "Add --force to overwrite it, or choose another folder."
EXIT_NONE, EXIT_UNREADABLE, EXIT_PARTLY = 1, 2, 3


@dataclass(frozen=True, slots=True, repr=False)
class Planned:
    """A page to be written: what it was asked for by, its visits, and its files."""

    name: str
    given: GivenVisits
    paths: tuple[str, ...]


def write_pages(
    names: Sequence[str],
    options: ReportOptions,
    folder: str,
    endings: Sequence[str],
    *,
    local: str = "",
) -> int:
    """Write a page for each visit or client that is named, for all of the book where none is.

    A page that cannot be made is told, and the others are written. Returns the exit code: 0 where every
    page has a range, 1 where none has one, 2 where none could be made, 3 for anything between.

    Raises
    ------
    FoldspanError
        E308 where a file is there already and may not be replaced, before anything is written; for a
        book that cannot be read; E303 where a page cannot be written, with how many were.
    """
    from foldspan.tables.paths import make_folder

    read, unread = _read(names, options)
    planned = _planned(read, options.reader, folder, endings)
    if planned:
        make_folder(folder)
    _spare(planned, names, options, local)
    written, with_range = 0, 0
    for plan in planned:
        try:
            made = options.page(plan.given)
            # all files of a page are made before the first is written
            contents = [
                made.content(path, with_sex_and_age=options.with_sex_and_age) for path in plan.paths
            ]
        except FoldspanError as error:
            _tell(plan.name, error)
            continue
        _write(plan, contents, replaces=options.replace, before=written)
        files = ", ".join(map(os.path.basename, plan.paths))
        for line in (files, *options.remarks(plan.given, made, plan.paths)):
            typer.echo(f"{plan.name}: {line}", err=True)
        written += 1
        with_range += made.material.result.has_range
    wanted = len(planned) + unread
    typer.echo(MANY_PAGES["end"].format(written=written, wanted=wanted, folder=folder), err=True)
    if not written:
        return EXIT_UNREADABLE
    if not with_range:
        return EXIT_NONE
    return 0 if with_range == wanted else EXIT_PARTLY


def _read(
    names: Sequence[str], options: ReportOptions
) -> tuple[list[tuple[str, GivenVisits]], int]:
    """Return the visits behind each name, and how many names have none that can be read."""
    if list(names).count("-") > 1:
        remedy = "Use - once; give the other visits as files."
        raise FoldspanError([Problem("E501", "VISIT", "standard input is given twice", remedy)])
    read: list[tuple[str, GivenVisits]] = []
    unread = 0
    with Records(options.book) as records:
        for name in dict.fromkeys(names) or _every_client(records, options.book):
            try:
                found = visits_from([name], records, accept_unusual=options.accept_unusual)
                read.append((name, found))
            except FoldspanError as error:
                if any(problem.code in BOOK_CODES for problem in error.problems):
                    raise
                unread += 1
                _tell(name, error)
    return _with_worries(read), unread


def _every_client(records: Records, book: str) -> list[str]:
    codes = [code for code in records.clients if code]
    if not codes:
        remedy = "Measure somebody first: foldspan measure."
        raise FoldspanError([Problem("E706", book or "the book", "no client in it", remedy)])
    return codes


def _with_worries(read: Sequence[tuple[str, GivenVisits]]) -> list[tuple[str, GivenVisits]]:
    """Return the visits, careful with a client who told of a worry about eating at another one."""
    with_concern = {
        visit.client.code
        for _, given in read
        for visit in given.visits
        if given.is_careful or visit.intake.has_eating_concern
    } - {""}
    return [
        (name, given.careful() if given.visits[-1].client.code in with_concern else given)
        for name, given in read
    ]


def _planned(
    read: Sequence[tuple[str, GivenVisits]], reader: str, folder: str, endings: Sequence[str]
) -> list[Planned]:
    """Return the files of each page: the client's code, the day and the reader, each name once."""
    taken: set[str] = set()
    found = []
    for name, given in read:
        stem = next(stem for stem in _stems(given, reader) if stem.lower() not in taken)
        taken.add(stem.lower())
        paths = tuple(os.path.join(folder, f"{stem}{ending}") for ending in endings)
        found.append(Planned(name, given, paths))
    return found


def _stems(given: GivenVisits, reader: str) -> Iterator[str]:
    """Yield names for the files of a page. The name of a visit file may be a person's: it is no part."""
    from foldspan.files.output import name_part

    visit = given.visits[-1]
    day = "" if visit.day is None else visit.day.isoformat()
    parts = (name_part(visit.client.code) or "visit", day, reader)
    stem = "_".join(part for part in parts if part)
    yield stem
    count = 1
    while count := count + 1:
        yield f"{stem}_{count}"


def _spare(
    planned: Sequence[Planned], names: Sequence[str], options: ReportOptions, local: str
) -> None:
    """Raise for a page that would be written over what is read, or unasked over what is there."""
    from foldspan.cli.reporting.report_options import files_kept
    from foldspan.files.output import check_outputs

    paths = [path for plan in planned for path in plan.paths]
    check_outputs(
        paths, (*names, *files_kept(options.book, local)), replace=options.replace, remedy=FORCE
    )


def _write(plan: Planned, contents: Sequence[str | bytes], *, replaces: bool, before: int) -> None:
    """Write the files of one page; where that fails, how many pages were written before is told."""
    from foldspan.files.output import write_private

    try:
        for path, content in zip(plan.paths, contents, strict=True):
            write_private(path, content, replace=replaces)
    except FoldspanError as error:
        more = MANY_PAGES["before"].format(count=before)
        problems = [
            replace(problem, remedy=f"{problem.remedy} {more}") for problem in error.problems
        ]
        raise FoldspanError(problems) from None


def _tell(name: str, error: FoldspanError) -> None:
    """Say what is wrong with one of many, with what was typed, for the person who typed it."""
    for problem in error.problems:
        sentence = problem.sentence(show_given=True)
        typer.echo(sentence if problem.where.startswith(name) else f"{name}: {sentence}", err=True)

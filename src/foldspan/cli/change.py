"""``foldspan change EARLIER LATER``: is the difference between visits real?"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsJson,
    BookFile,
    ConversionWanted,
    ScaleWanted,
    WithDisputed,
)
from foldspan.cli.words import one_of

if TYPE_CHECKING:
    from foldspan.visit import Visit


def command(
    visits: Annotated[
        list[str],
        typer.Argument(
            metavar="EARLIER LATER ...",
            help="Visit files, or CODE:VISIT of the book, earliest first; CODE alone for all.",
        ),
    ],
    book: BookFile = "",
    as_json: AsJson = False,
    scale: ScaleWanted = "density",
    units: Annotated[
        str, typer.Option(metavar="metric|us", help="Units of masses in the text.")
    ] = "metric",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    accept_unusual: AcceptUnusual = False,
) -> None:
    """Tell whether a change between visits of one client is real.

    Example: foldspan change examples/visit.toml examples/visit_later.toml
    """
    from foldspan.api_change import change
    from foldspan.cli.change_text import page
    from foldspan.problems import FoldspanError, Problem

    one_of("--units", units, ("metric", "us"))
    read = [one for given in visits for one in _visits(given, book, accept_unusual=accept_unusual)]
    if len(read) < 2:
        remedy = "Give two visits or more, the earliest first: files, or a code of the book."
        raise FoldspanError([Problem("E501", "EARLIER LATER", "one visit only", remedy)])
    for one in read:
        for problem in one.warnings:
            typer.echo(problem.sentence(show_given=True), err=True)
    result = change(*read, scale=scale, conversion=conversion, with_disputed=with_disputed)
    typer.echo(json.dumps(result.to_dict(), indent=2) if as_json else page(result, units))
    sys.exit(0 if result.change.percent is not None else 1)


def _visits(given: str, book: str, *, accept_unusual: bool) -> list[Visit]:
    """Return the visit of a file, or those of a client of the book, with the tester's own errors."""
    from foldspan.api import refusal_of
    from foldspan.book_place import book_path
    from foldspan.kept_visit import kept_visits
    from foldspan.own_errors import visits_with_own
    from foldspan.problems import FoldspanError, Problem
    from foldspan.records import Book
    from foldspan.visit import Visit

    if given == "-" or Path(given).suffix.lower() in (".toml", ".json") or Path(given).exists():
        return [Visit.from_file(given, accept_unusual=accept_unusual)]
    code, _, number = given.partition(":")
    place = book_path(book)
    if not Path(place).is_file():
        what = "no such file, and no book of records to look for a client"
        remedy = "Check the name; a visit file ends in .toml or .json, a book is named by --book."
        raise FoldspanError([Problem("E301", given, what, remedy)])
    with Book.read(place) as opened:
        if code not in {known for _, known in opened.all_visits()}:
            what = "neither a visit file nor a client of the book"
            remedy = "Check the name; foldspan records list shows the clients."
            raise FoldspanError([Problem("E706", given, what, remedy)])
        found = list(visits_with_own(opened, kept_visits(opened, code, number)))
    fitting = []
    for one in found:
        if (problem := refusal_of(one)) is None:
            fitting.append(one)
        else:
            typer.echo(f"Visit of {one.day} left out: {problem.what}. [{problem.code}]", err=True)
    return fitting

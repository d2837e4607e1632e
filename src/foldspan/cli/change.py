"""``foldspan change EARLIER LATER``: is the difference between visits real?"""

from __future__ import annotations

import json
import sys
from typing import Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsJson,
    AsPrinted,
    BookFile,
    ConversionWanted,
    LocalWanted,
    ScaleWanted,
    WithDisputed,
    reference_and_local,
)
from foldspan.cli.words import one_of


def command(
    visits: Annotated[
        list[str],
        typer.Argument(
            metavar="EARLIER LATER ...",
            help=(
                "Visit files or CODE:VISIT from the record book, earliest first; CODE alone"
                " for all visits."
            ),
        ),
    ],
    book: BookFile = "",
    as_json: AsJson = False,
    reference_method: ScaleWanted = "",
    units: Annotated[str, typer.Option(metavar="metric|us", help="Units for masses.")] = "metric",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    as_printed: AsPrinted = False,
    local: LocalWanted = "",
    accept_unusual: AcceptUnusual = False,
) -> None:
    """Show whether the change between visits of one client is real.

    Example: foldspan change examples/visit.toml examples/visit_later.toml
    """
    from foldspan.api.change import change
    from foldspan.cli.printed.change import page
    from foldspan.cli.visits_given import visits_given
    from foldspan.problems import FoldspanError, Problem

    one_of("--units", units, ("metric", "us"))
    reference_method, taught = reference_and_local(reference_method, local)
    given = visits_given(visits, book, accept_unusual=accept_unusual, only_with_range=True)
    read = given.visits
    if len(read) < 2:
        remedy = (
            "Give two or more visits, earliest first: files, or a client's code from the record"
            " book."
        )
        raise FoldspanError([Problem("E501", "EARLIER LATER", "only one visit", remedy)])
    for visit in read:
        for problem in visit.warnings:
            typer.echo(problem.sentence(show_given=True), err=True)
    result = change(
        *read,
        reference_method=reference_method,
        conversion=conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=taught,
    )
    typer.echo(json.dumps(result.to_dict(), indent=2) if as_json else page(result, units))
    sys.exit(0 if result.has_fat else 1)

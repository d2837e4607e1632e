"""``foldspan change EARLIER LATER``: is the difference between visits real?"""

from __future__ import annotations

import json
from typing import Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsJson,
    ConversionWanted,
    ScaleWanted,
    WithDisputed,
)
from foldspan.cli.words import one_of


def command(
    visits: Annotated[
        list[str], typer.Argument(metavar="EARLIER LATER ...", help="Visit files, earliest first.")
    ],
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
    from foldspan.visit import Visit

    one_of("--units", units, ("metric", "us"))
    if len(visits) < 2:
        remedy = "Give two visit files or more, the earliest first."
        raise FoldspanError([Problem("E501", "EARLIER LATER", "one visit only", remedy)])
    read = [Visit.from_file(path, accept_unusual=accept_unusual) for path in visits]
    for one in read:
        for problem in one.warnings:
            typer.echo(problem.sentence(show_given=True), err=True)
    result = change(*read, scale=scale, conversion=conversion, with_disputed=with_disputed)
    typer.echo(json.dumps(result.to_dict(), indent=2) if as_json else page(result, units))

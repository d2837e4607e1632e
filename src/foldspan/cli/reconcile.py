"""``foldspan reconcile VISIT``: the agreement range of one visit."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError

if TYPE_CHECKING:
    from foldspan.local import LocalCorrection
    from foldspan.result import Result


def command(
    visit: Annotated[str, typer.Argument(help="Visit file, .toml or .json; - for standard input.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON (schema version 1).")] = False,
    scale: Annotated[
        str, typer.Option(metavar="density|dxa", help="Criterion the answer is stated on.")
    ] = "density",
    units: Annotated[
        str, typer.Option(metavar="metric|us", help="Units of masses in the text.")
    ] = "metric",
    show_all: Annotated[
        bool, typer.Option("--all", help="List every equation, used or left out, with the reasons.")
    ] = False,
    budget: Annotated[
        bool, typer.Option("--budget", help="Show where the uncertainty comes from.")
    ] = False,
    conversion: Annotated[
        str, typer.Option(help="Density-to-fat conversion (foldspan equations --conversions).")
    ] = "siri1961",
    with_disputed: Annotated[
        bool, typer.Option("--with-disputed", help="Use equations whose digits are disputed.")
    ] = False,
    local: Annotated[
        str, typer.Option(help="Local correction written by foldspan calibrate --fit.")
    ] = "",
    include_outside: Annotated[
        bool, typer.Option("--include-outside", help="Take outside results into the range.")
    ] = False,
    accept_unusual: Annotated[
        bool, typer.Option("--accept-unusual", help="Use very unusual values as they are.")
    ] = False,
) -> None:
    """Reconcile one visit into one agreement range.

    Example: foldspan reconcile examples/visit.toml
    """
    from foldspan import api
    from foldspan.cli.reconcile_text import page
    from foldspan.result import Result
    from foldspan.visit import Visit

    one_of("--units", units, ("metric", "us"))
    try:
        read = Visit.from_file(visit, accept_unusual=accept_unusual)
        taught = _local(local)
        result = api.reconcile(
            read,
            scale=scale,
            conversion=conversion,
            with_disputed=with_disputed,
            local=taught,
            include_outside=include_outside,
        )
    except FoldspanError as error:
        if as_json:
            typer.echo(_as_json(Result(scale, problems=error.problems)))
        raise
    for problem in (*read.warnings, *(result.problems if as_json else ())):
        typer.echo(problem.sentence(show_given=True), err=True)
    text = _as_json(result) if as_json else page(read, result, units, show_all, budget)
    typer.echo(text)
    sys.exit(0 if result.has_range else 1)


def _local(path: str) -> LocalCorrection | None:
    """Read a local correction; its reader brings the table library, so only where it is asked for."""
    if not path:
        return None
    from foldspan import local_file

    return local_file.read(path)


def _as_json(result: Result) -> str:
    return json.dumps(result.to_dict(), indent=2)

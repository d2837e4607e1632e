"""``foldspan reconcile VISIT``: the agreement range of one visit."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsJson,
    AsPrinted,
    BookFile,
    ConversionWanted,
    IncludeOutside,
    LocalWanted,
    ScaleWanted,
    VisitGiven,
    WithDisputed,
    reference_and_local,
)
from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError

if TYPE_CHECKING:
    from foldspan.results.result import Result
    from foldspan.visit.model import Visit


def command(
    visit: VisitGiven,
    book: BookFile = "",
    as_json: AsJson = False,
    reference_method: ScaleWanted = "",
    units: Annotated[str, typer.Option(metavar="metric|us", help="Units for masses.")] = "metric",
    show_all: Annotated[
        bool, typer.Option("--all", help="List every equation, used or left out, with reasons.")
    ] = False,
    budget: Annotated[
        bool, typer.Option("--budget", help="Show the sources of uncertainty.")
    ] = False,
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    as_printed: AsPrinted = False,
    local: LocalWanted = "",
    own_errors: Annotated[
        str, typer.Option(help="The tester's own errors, from foldspan precision -o.")
    ] = "",
    include_outside: IncludeOutside = False,
    accept_unusual: AcceptUnusual = False,
) -> None:
    """Reconcile one visit into one agreement range.

    Example: foldspan reconcile examples/visit.toml
    """
    from foldspan.api import reconcile
    from foldspan.cli.printed.reconcile import page
    from foldspan.cli.visits_given import visit_given

    one_of("--units", units, ("metric", "us"))
    read: Visit | None = None
    try:
        read = _with_own(visit_given(visit, book, accept_unusual=accept_unusual), own_errors)
        reference_method, taught = reference_and_local(reference_method, local)
        result = reconcile.reconcile(
            read,
            reference_method=reference_method,
            conversion=conversion,
            with_disputed=with_disputed,
            as_printed=as_printed,
            local=taught,
            include_outside=include_outside,
        )
    except FoldspanError as error:
        raise _refused(error, read, reference_method if as_json else None) from None
    for problem in (*read.warnings, *(result.problems if as_json else ())):
        typer.echo(problem.sentence(show_given=True), err=True)
    text = _as_json(result) if as_json else page(read, result, units, show_all, budget)
    typer.echo(text)
    sys.exit(0 if result.has_range else 1)


def _refused(
    error: FoldspanError, read: Visit | None, reference_method: str | None
) -> FoldspanError:
    """Return the error with what cannot wait first; as JSON where a scale is given, it is printed."""
    from foldspan.catalogue.card import DEFAULT_REFERENCE
    from foldspan.results.result import Result
    from foldspan.results.who_gets_a_range import with_what_cannot_wait

    error = with_what_cannot_wait([read] if read else [], error)
    if reference_method is not None:
        typer.echo(_as_json(Result(reference_method or DEFAULT_REFERENCE, problems=error.problems)))
    return error


def _with_own(visit: Visit, path: str) -> Visit:
    """Return the visit with its tester's own errors, where a file of them is named."""
    if not path:
        return visit
    from foldspan.records.tester_error import read_own_errors

    return visit.with_own_errors(read_own_errors(path, visit.tester))


def _as_json(result: Result) -> str:
    return json.dumps(result.to_dict(), indent=2)

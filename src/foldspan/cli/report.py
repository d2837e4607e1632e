"""``foldspan report VISIT -o FILE``: the page to hand over."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    BookFile,
    ConversionWanted,
    IncludeOutside,
    ScaleWanted,
    WithDisputed,
)
from foldspan.cli.words import one_of


def command(
    visits: Annotated[
        list[str],
        typer.Argument(
            metavar="VISIT ...",
            help="Visit file, or CODE or CODE:VISIT of the book; several show the trend, the earliest"
            " first, and the page is about the last.",
        ),
    ],
    out: Annotated[
        str,
        typer.Option(
            "--out",
            "-o",
            metavar="FILE",
            help="Where to: .html, .pdf, .json or .fhir.json; .png or .svg for one figure.",
        ),
    ],
    reader: Annotated[
        str, typer.Option("--for", metavar="client|trainer|clinician", help="Who reads it.")
    ] = "trainer",
    figure: Annotated[
        str,
        typer.Option(
            metavar="NAME",
            help="One figure: agreement, equations, bands, budget, narrowing, profile or trend.",
        ),
    ] = "",
    units: Annotated[
        str, typer.Option(metavar="metric|us", help="Units, and the paper that goes with them.")
    ] = "metric",
    language: Annotated[
        str, typer.Option(metavar="en|de", help="Language of the client's page.")
    ] = "en",
    agreed: Annotated[
        bool,
        typer.Option(
            "--agreed", help="The client agreed to share it with a clinician; the letter says so."
        ),
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
    book: BookFile = "",
    include_outside: IncludeOutside = False,
    scale: ScaleWanted = "density",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    accept_unusual: AcceptUnusual = False,
) -> None:
    """Write a page to hand over: for the client, the trainer or a clinician.

    Example: foldspan report examples/visit.toml -o page.html --for client
    """  # fmt: skip
    from foldspan.api_report import report
    from foldspan.cli.visits_given import visits_given
    from foldspan.pages.page_report import ending_of
    from foldspan.pages.pdf_page import missing_glyphs

    one_of("--for", reader, ("client", "trainer", "clinician"))
    one_of("--units", units, ("metric", "us"))
    one_of("--language", language, ("en", "de"))
    ending = ending_of(out, figure)
    given = visits_given(visits, book, accept_unusual=accept_unusual)
    for one in () if reader == "client" else given.visits:  # a client reads no spans
        for problem in one.warnings:
            typer.echo(problem.sentence(show_given=True), err=True)
    made = report(
        *given.visits,
        reader=reader,
        units=units,
        language=language,
        agreed_to_share=True if agreed else given.agreed,
        notes=given.notes,
        not_taken=given.not_taken,
        scale=scale,
        conversion=conversion,
        with_disputed=with_disputed,
        include_outside=include_outside,
    )
    made.write(out, figure=figure, replace=force)
    if ending == ".pdf" and missing_glyphs(made.document):
        typer.echo(
            "Some signs are not in the font of the PDF and stand as squares; .html shows them.",
            err=True,
        )
    typer.echo(f"Written to {out}.", err=True)
    sys.exit(0 if made.material.result.has_range else 1)

"""``foldspan report VISIT -o FILE``: the page to hand over."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsPrinted,
    BookFile,
    ConversionWanted,
    Force,
    IncludeOutside,
    LocalWanted,
    ScaleWanted,
    WithDisputed,
    scale_and_local,
)
from foldspan.cli.words import one_of
from foldspan.files.output import check_outputs, files_of_book

if TYPE_CHECKING:
    from foldspan.visit.model import Visit

FIGURE_NAMES = (
    "dots", "agreement", "equations", "bands", "budget", "narrowing", "profile", "trend",
)  # fmt: skip

Visits = Annotated[
    list[str],
    typer.Argument(
        metavar="VISIT ...",
        help="Visit file, or CODE or CODE:VISIT from the record book. Several, earliest"
        " first, show the trend; the page is about the last.",
    ),
]
Out = Annotated[
    str,
    typer.Option(
        "--out", "-o", metavar="FILE",
        help="File to write: .html, .pdf, .json or .fhir.json; .png or .svg for one figure.",
    ),
]  # fmt: skip
Reader = Annotated[
    str, typer.Option("--for", metavar="client|trainer|clinician", help="Who it is for.")
]
Figure = Annotated[
    str, typer.Option(metavar="NAME", help=f"One figure: {', '.join(FIGURE_NAMES)}.")
]
UnitsWanted = Annotated[
    str, typer.Option(metavar="metric|us", help="Units, and the matching paper size.")
]
LanguageWanted = Annotated[
    str,
    typer.Option(
        metavar="en|de|es|fr",
        help="Language of the client's page; otherwise that of your settings file, or en.",
    ),
]
PaperWanted = Annotated[
    str,
    typer.Option(
        metavar="a4|letter",
        help="Paper; otherwise that of your settings file, or what goes with the units.",
    ),
]
Agreed = Annotated[
    bool,
    typer.Option("--agreed", help="The client has just agreed to share it with a clinician."),
]
WithPatient = Annotated[
    bool,
    typer.Option(
        "--with-patient", help="In .fhir.json, also the sex used in the equations and the age."
    ),
]

All = Annotated[
    bool,
    typer.Option(
        "--all", help="Trainer's page with every equation and all sources of uncertainty."
    ),
]


def command(
    visits: Visits,
    out: Out,
    reader: Reader = "trainer",
    figure: Figure = "",
    units: UnitsWanted = "metric",
    language: LanguageWanted = "",
    paper: PaperWanted = "",
    agreed: Agreed = False,
    with_sex_and_age: WithPatient = False,
    force: Force = False,
    book: BookFile = "",
    include_outside: IncludeOutside = False,
    reference_method: ScaleWanted = "",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    as_printed: AsPrinted = False,
    local: LocalWanted = "",
    accept_unusual: AcceptUnusual = False,
    full: All = False,
) -> None:
    """Write a page to hand over: for the client, the trainer or a clinician.

    Example: foldspan report examples/visit.toml -o page.html --for client
    """
    from foldspan.api.report import report
    from foldspan.cli.visits_given import visits_given
    from foldspan.export.report import ending_of
    from foldspan.practice.settings import site_practice
    from foldspan.text.en.staff_pages import PAGE_REMARKS

    _check_words(reader, units, language, paper, figure)
    _check_patient(ending_of(out, figure), wanted=with_sex_and_age)
    _spare(out, visits, book, local, force=force)
    reference_method, taught = scale_and_local(reference_method, local)
    given = visits_given(visits, book, accept_unusual=accept_unusual)
    if reader != "client":  # a client reads no spans
        _warn(given.visits)
    made = report(
        *given.visits,
        reader=reader, units=units, language=language, paper=paper, practice=site_practice(),
        careful=given.is_careful, was_asked=given.was_asked,
        agreed_to_share=True if agreed else given.agreed, agreed_anew=agreed and given.agreed is False,
        notes=given.notes, not_taken=given.not_taken, plan=given.plan, full=full,
        reference_method=reference_method, conversion=conversion, with_disputed=with_disputed,
        as_printed=as_printed, local=taught, include_outside=include_outside,
    )  # fmt: skip
    made.write(out, figure=figure, replace=force, with_sex_and_age=with_sex_and_age)
    remarks = [PAGE_REMARKS["wants_none"]] if given.wants_none and reader == "client" else []
    remarks += [PAGE_REMARKS["said_no"]] if agreed and given.agreed is False else []
    for line in (*remarks, *made.remarks(out)):
        typer.echo(line, err=True)
    typer.echo(f"Written to {out}.", err=True)
    sys.exit(0 if made.material.result.has_range else 1)


def _check_words(reader: str, units: str, language: str, paper: str, figure: str) -> None:
    one_of("--for", reader, ("client", "trainer", "clinician"))
    one_of("--units", units, ("metric", "us"))
    for name, given, known in (
        ("--language", language, ("en", "de", "es", "fr")),
        ("--paper", paper, ("a4", "letter")),
        ("--figure", figure, FIGURE_NAMES),
    ):
        if given:
            one_of(name, given, known)


def _check_patient(ending: str, *, wanted: bool) -> None:
    """Raise E501 where sex and age are asked for in a file that does not change by it."""
    from foldspan.problems import FoldspanError, Problem

    if wanted and ending != ".fhir.json":
        remedy = "Name a file that ends in .fhir.json, or leave the option out."
        raise FoldspanError([Problem("E501", "--with-patient", "is for .fhir.json only", remedy)])


def _spare(out: str, visits: Sequence[str], book: str, local: str, *, force: bool) -> None:
    """Raise for a page that would be written over what is read, or unasked over what is there."""
    from foldspan.practice.settings import files_of_settings
    from foldspan.records.location import book_path
    from foldspan.validation.correction_file import files_read

    settings = (*files_of_settings(), *files_read(local))
    read = (*visits, *files_of_book(book_path(book)), *settings)
    check_outputs([out], read, replace=force)


def _warn(visits: Sequence[Visit]) -> None:
    for visit in visits:
        for problem in visit.warnings:
            typer.echo(problem.sentence(show_given=True), err=True)

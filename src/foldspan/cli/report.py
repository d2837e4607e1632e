"""``foldspan report VISIT -o FILE``: the page to hand over."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsPrinted,
    BookFile,
    ConversionWanted,
    Force,
    IncludeOutside,
    LanguageWanted,
    LocalWanted,
    ScaleWanted,
    WithDisputed,
    reference_and_local,
)
from foldspan.cli.reporting.report_options import (
    FIGURE_NAMES,
    FORMATS,
    ReportOptions,
    check_one_or_many,
    check_patient,
    check_words,
    files_kept,
)

Visits = Annotated[
    list[str],
    typer.Argument(
        metavar="VISIT",
        help=(
            "Visit file, or CODE or CODE:VISIT from the record book. With -o, several visits must"
            " be of one client, earliest first, and the page is about the last. With --out-dir"
            " each has a page of its own."
        ),
    ),
]
Out = Annotated[
    str,
    typer.Option(
        "--out", "-o", metavar="FILE",
        help="File to write: .html, .pdf, .json or .fhir.json; .png or .svg for one figure.",
    ),
]  # fmt: skip
OutDir = Annotated[
    str,
    typer.Option(
        metavar="DIR",
        help="Folder for many pages: one for each VISIT, named by code, day and reader.",
    ),
]
Every = Annotated[
    bool, typer.Option("--every-client", help="With --out-dir: every client in the record book.")
]
Formats = Annotated[
    list[str],
    typer.Option(
        "--format", metavar="|".join(FORMATS),
        help="With --out-dir: type of file; can be repeated.",
        show_default="pdf",
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
PaperWanted = Annotated[
    str,
    typer.Option(
        metavar="a4|letter",
        help="Paper size.",
        show_default="the one in your settings file, or the one that goes with the units",
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
    visits: Visits = [],  # noqa: B006
    out: Out = "",
    out_dir: OutDir = "",
    every: Every = False,
    formats: Formats = [],  # noqa: B006
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
    check_words(reader, units, language, paper, figure)
    check_one_or_many(visits, out, out_dir, formats, figure, every=every, agreed=agreed)
    endings = [f".{word}" for word in dict.fromkeys(formats or ["pdf"])]
    if out:
        endings = [_ending(out, figure)]
        _spare(out, visits, book, local, force=force)
    check_patient(endings, wanted=with_sex_and_age)
    reference_method, taught = reference_and_local(reference_method, local)
    from foldspan.practice.settings import site_practice

    options = ReportOptions(
        reader, book, agreed, with_sex_and_age, force, accept_unusual,
        {
            "units": units, "language": language, "paper": paper, "practice": site_practice(),
            "full": full, "reference_method": reference_method, "conversion": conversion,
            "with_disputed": with_disputed, "as_printed": as_printed, "local": taught,
            "include_outside": include_outside,
        },
    )  # fmt: skip
    if out_dir:
        from foldspan.cli.reporting.many import write_pages

        sys.exit(write_pages(visits, options, out_dir, endings, local=local))
    sys.exit(_one_page(visits, out, figure, options))


def _one_page(visits: Sequence[str], out: str, figure: str, options: ReportOptions) -> int:
    """Write one page about the last of the visits; return the exit code."""
    from foldspan.cli.visits_given import visits_given

    given = visits_given(visits, options.book, accept_unusual=options.accept_unusual)
    made = options.page(given)
    made.write(
        out, figure=figure, replace=options.replace, with_sex_and_age=options.with_sex_and_age
    )
    for line in options.remarks(given, made, [out]):
        typer.echo(line, err=True)
    typer.echo(f"Written to {out}.", err=True)
    return 0 if made.material.result.has_range else 1


def _ending(out: str, figure: str) -> str:
    from foldspan.export.report import ending_of

    return ending_of(out, figure)


def _spare(out: str, visits: Sequence[str], book: str, local: str, *, force: bool) -> None:
    """Raise for a page that would be written over what is read, or unasked over what is there."""
    from foldspan.files.output import check_outputs

    check_outputs([out], (*visits, *files_kept(book, local)), replace=force)

"""Options that several commands share: one name, one help text each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from foldspan.estimation.local_correction import LocalCorrection

VISIT_HELP = (
    "Visit file (- for standard input), or CODE:VISIT from the record book; CODE alone means"
    " the last visit."
)

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON (schema version 2).")]
VisitGiven = Annotated[str, typer.Argument(metavar="VISIT", help=VISIT_HELP)]
ScaleWanted = Annotated[
    str,
    typer.Option(
        metavar="density|dxa",
        help="Reference method for the result.",
        show_default="that of your local correction, or dxa",
    ),
]
LocalWanted = Annotated[
    str,
    typer.Option(
        "--local", metavar="FILE|none",
        help="Local correction file (foldspan calibrate --fit).",
        show_default="the one in your settings file",
    ),
]  # fmt: skip
ConversionWanted = Annotated[
    str,
    typer.Option(help="Density-to-fat conversion; foldspan equations --conversions lists them."),
]
WithDisputed = Annotated[
    bool,
    typer.Option("--with-disputed", help="Also use equations whose coefficients are disputed."),
]
AsPrinted = Annotated[
    bool,
    typer.Option(
        "--as-printed", help="Use equations as published, without correcting known errors."
    ),
]
IncludeOutside = Annotated[
    bool,
    typer.Option("--include-outside", help="Let results from elsewhere count towards the range."),
]
LANGUAGE_CODES = ("en", "de", "es", "fr")
LanguageWanted = Annotated[
    str,
    typer.Option(
        metavar="|".join(LANGUAGE_CODES),
        help="Language that the client hears and reads.",
        show_default="the one in your settings file, or en",
    ),
]
BookFile = Annotated[
    str,
    typer.Option("--book", metavar="FILE", help="Record book.", show_default="your own"),
]
Force = Annotated[bool, typer.Option("--force", help="Overwrite existing files.")]
TableGiven = Annotated[
    str,
    typer.Argument(
        metavar="TABLE",
        help=(
            ".csv, .tsv, .csv.gz, .xlsx, .ods or .parquet, a folder of .parquet parts, or - for"
            " standard input."
        ),
    ),
]
Map = Annotated[
    list[str],
    typer.Option(
        "--map", metavar="THEIR=OURS", help="Your column name and the name here; can be repeated."
    ),
]
MapFile = Annotated[
    str,
    typer.Option(
        "--map-file", metavar="FILE", help="The same in a TOML file, including units and words."
    ),
]
SheetWanted = Annotated[
    str,
    typer.Option("--sheet", metavar="NAME", help="Sheet of a workbook, where there are several."),
]
Unit = Annotated[
    list[str],
    typer.Option("--unit", metavar="COLUMN=UNIT", help="Unit of a column without one; can be repeated."),
]  # fmt: skip
AcceptUnusual = Annotated[
    bool, typer.Option("--accept-unusual", help="Accept very unusual values.")
]


def reference_and_local(reference_method: str, local: str) -> tuple[str, LocalCorrection | None]:
    """Return the scale of the answer and the site's correction that it is to hold.

    Without a scale that is asked for the answer stands on that of the correction: a site that learnt on
    underwater weighing reads on it everywhere.

    Raises
    ------
    FoldspanError
        As ``validation.correction_file.site_correction``.
    """
    from foldspan.catalogue.card import DEFAULT_REFERENCE
    from foldspan.validation.correction_file import site_correction

    taught = site_correction(local)
    return reference_method or (
        DEFAULT_REFERENCE if taught is None else taught.reference_method
    ), taught


def session_settings(options: Mapping[str, Any], local: str) -> dict[str, Any]:
    """Return the settings of every answer of a session; ``asked`` are its facts or the options given.

    Raises
    ------
    FoldspanError
        As ``measuring.settings.session_settings`` and ``validation.correction_file.site_correction``.
    """
    from foldspan.measuring.settings import session_settings as settings_of
    from foldspan.validation.correction_file import site_correction

    return settings_of(options, site_correction(local))

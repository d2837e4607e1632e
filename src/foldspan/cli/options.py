"""Options that several commands share: one name, one help text each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from foldspan.estimation.local_correction import LocalCorrection

VISIT_HELP = "Visit file (- for standard input), or CODE:VISIT of the book, CODE for the last."

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON (schema version 1).")]
VisitGiven = Annotated[str, typer.Argument(metavar="VISIT", help=VISIT_HELP)]
ScaleWanted = Annotated[
    str,
    typer.Option(
        metavar="density|dxa",
        help="Reference method to state fat by; else that of the site's correction, or dxa.",
    ),
]
LocalWanted = Annotated[
    str,
    typer.Option(
        "--local", metavar="FILE|none",
        help="Local correction (foldspan calibrate --fit); else the one of your settings file.",
    ),
]  # fmt: skip
ConversionWanted = Annotated[
    str, typer.Option(help="Density-to-fat conversion (foldspan equations --conversions).")
]
WithDisputed = Annotated[
    bool, typer.Option("--with-disputed", help="Use equations whose digits are disputed.")
]
AsPrinted = Annotated[
    bool,
    typer.Option("--as-printed", help="Take equations as printed; take off no known error."),
]
IncludeOutside = Annotated[
    bool, typer.Option("--include-outside", help="Take outside results into the range.")
]
BookFile = Annotated[
    str, typer.Option("--book", metavar="FILE", help="The book of records; else your own.")
]
Force = Annotated[bool, typer.Option("--force", help="Write over files of these names.")]
TableGiven = Annotated[
    str,
    typer.Argument(
        metavar="TABLE",
        help=".csv, .tsv, .csv.gz or .parquet, a folder of .parquet parts, or - for standard input.",
    ),
]
Map = Annotated[
    list[str],
    typer.Option("--map", metavar="THEIR=OURS", help="A column of yours and its name here; repeat it."),
]  # fmt: skip
MapFile = Annotated[
    str,
    typer.Option(
        "--map-file", metavar="FILE", help="The same in a TOML file, with units and words."
    ),
]
Unit = Annotated[
    list[str],
    typer.Option("--unit", metavar="COLUMN=UNIT", help="Unit of a column's bare numbers; repeat it."),
]  # fmt: skip
AcceptUnusual = Annotated[
    bool, typer.Option("--accept-unusual", help="Use very unusual values as they are.")
]


def scale_and_local(scale: str, local: str) -> tuple[str, LocalCorrection | None]:
    """Return the scale of the answer and the site's correction that it is to hold.

    Without a scale that is asked for the answer stands on that of the correction: a site that learnt on
    underwater weighing reads on it everywhere.

    Raises
    ------
    FoldspanError
        As ``validation.correction_file.site_correction``.
    """
    from foldspan.catalogue.card import DEFAULT_SCALE
    from foldspan.validation.correction_file import site_correction

    taught = site_correction(local)
    return scale or (DEFAULT_SCALE if taught is None else taught.scale), taught

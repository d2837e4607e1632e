"""Options that several commands share: one name, one help text each."""

from __future__ import annotations

from typing import Annotated

import typer

VISIT_HELP = "Visit file, .toml or .json; - for standard input."

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON (schema version 1).")]
ScaleWanted = Annotated[
    str, typer.Option(metavar="density|dxa", help="Criterion the answer is stated on.")
]
ConversionWanted = Annotated[
    str, typer.Option(help="Density-to-fat conversion (foldspan equations --conversions).")
]
WithDisputed = Annotated[
    bool, typer.Option("--with-disputed", help="Use equations whose digits are disputed.")
]
IncludeOutside = Annotated[
    bool, typer.Option("--include-outside", help="Take outside results into the range.")
]
BookFile = Annotated[
    str, typer.Option("--book", metavar="FILE", help="The book of records; else your own.")
]
AcceptUnusual = Annotated[
    bool, typer.Option("--accept-unusual", help="Use very unusual values as they are.")
]

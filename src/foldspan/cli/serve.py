"""``foldspan serve``: measure, see and hand over in a browser."""

from __future__ import annotations

from typing import Annotated

import typer

from foldspan.cli.options import AsPrinted, BookFile, LocalWanted, ScaleWanted, scale_and_local


def command(
    book: BookFile = "",
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port; otherwise the first free one from 8471 on.")
    ] = 0,
    opens: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the first page in your browser.")
    ] = True,
    logs: Annotated[
        bool, typer.Option("--log", help="Print a line for each page asked for, without any value.")
    ] = False,
    reference_method: ScaleWanted = "",
    local: LocalWanted = "",
    as_printed: AsPrinted = False,
) -> None:
    """Measure, see the result and hand it over in a browser on this computer.

    Example: foldspan serve
    """
    from foldspan.browser.desk import Desk
    from foldspan.browser.serve import serve
    from foldspan.records.location import book_path

    asked = {"reference_method": reference_method, "as_printed": as_printed}
    reference_method, correction = scale_and_local(reference_method, local)
    settings = {"reference_method": reference_method, "local": correction, "as_printed": as_printed}
    desk = Desk(book_path(book), settings, asked_for={key: given for key, given in asked.items() if given})
    serve(desk, port=port, say=lambda line: typer.echo(line), opens=opens, logs=logs)

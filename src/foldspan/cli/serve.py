"""``foldspan serve``: measure, see and hand over in a browser."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.cli.options import AsPrinted, BookFile, LocalWanted, ScaleWanted, session_settings
from foldspan.extras import require

if TYPE_CHECKING:
    from foldspan.browser.access.devices import Devices
    from foldspan.browser.desk import Desk

PortWanted = Annotated[
    int,
    typer.Option(min=0, max=65534, help="Port.", show_default="the first free one from 8471 up"),
]


def command(
    book: BookFile = "",
    port: PortWanted = 0,
    opens: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the start page in your browser.")
    ] = True,
    tablet: Annotated[
        bool,
        typer.Option("--tablet", help="Also allow paired devices on your network (encrypted)."),
    ] = False,
    address: Annotated[
        str,
        typer.Option(metavar="IP", help="With --tablet: this computer's address on the network."),
    ] = "",
    pin: Annotated[
        bool,
        typer.Option(
            "--pin",
            help="Ask for a PIN that unlocks devices and returns from a client's page to yours.",
        ),
    ] = False,
    token_for: Annotated[
        str,
        typer.Option("--token-for", metavar="NAME", help="Print a token for a program, and exit."),
    ] = "",
    logs: Annotated[
        bool,
        typer.Option("--log", help="Print a line for each page requested, without any values."),
    ] = False,
    reference_method: ScaleWanted = "",
    local: LocalWanted = "",
    as_printed: AsPrinted = False,
) -> None:
    """Measure, see the result and hand it over in a browser on this computer.

    Example: foldspan serve
    """
    require("browser")
    from foldspan.browser.serve import own_network_address, serve
    from foldspan.records.location import book_path, browser_folder

    if token_for:
        typer.echo(_devices().let_in(token_for, "program"))
        return
    options = {"reference_method": reference_method, "as_printed": as_printed}
    desk = _desk(book_path(book), {key: given for key, given in options.items() if given}, local)
    desk.pin = typer.prompt("PIN", hide_input=True) if pin else ""
    network = (address or own_network_address()) if tablet or address else ""
    serve(
        desk, port=port, say=typer.echo, opens=opens, logs=logs, network_address=network,
        folder=browser_folder(),
    )  # fmt: skip


def _desk(book: str, options: Mapping[str, Any], local: str) -> Desk:
    """Return what the pages share, with the settings of every answer."""
    from foldspan.browser.desk import Desk
    from foldspan.practice.settings import site_practice

    settings = session_settings(options, local)
    return Desk(book, settings, devices=_devices(), practice=site_practice(), asked_for=options)


def _devices() -> Devices:
    from foldspan.browser.access.devices import Devices
    from foldspan.records.location import browser_folder

    return Devices(f"{browser_folder()}/devices.json")

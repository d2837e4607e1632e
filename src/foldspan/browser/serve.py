"""Serve: start the pages on this computer, and let devices of the network in where that is asked for."""

from __future__ import annotations

import secrets
import socket
import sys
import webbrowser
from collections.abc import Callable, Sequence
from threading import Timer

import uvicorn

from foldspan.browser.access.guard import Guard
from foldspan.browser.app import application
from foldspan.browser.desk import Desk
from foldspan.problems import FoldspanError, Problem

FIRST_PORT, TRIED = 8471, 40
HERE = "127.0.0.1"


def serve(
    desk: Desk,
    *,
    port: int = 0,
    say: Callable[[str], None],
    opens: bool = True,
    logs: bool = False,
) -> None:
    """Serve the pages until Ctrl-C.

    Parameters
    ----------
    desk : Desk
        What the pages share.
    port : int
        The port, 0 for the first free one from 8471 on.
    say : callable
        Takes a line for whoever started it.
    opens : bool
        Whether the first page is opened in the browser.
    logs : bool
        Whether a line is said for each request: kind of page and status, no value.

    Raises
    ------
    FoldspanError
        E501 for a port that is not free.
    """
    listening = _listening(HERE, port)
    number = listening.getsockname()[1]
    desk.start_key = secrets.token_urlsafe(18)
    desk.address = f"http://{HERE}:{number}"
    entrance = f"{desk.address}/enter/{desk.start_key}"
    hosts = [f"{HERE}:{number}", f"localhost:{number}"]
    app = Guard(application(desk, say if logs else None), desk.devices, hosts)
    config = uvicorn.Config(
        app, lifespan="on", log_level="error", access_log=False, server_header=False,
        timeout_graceful_shutdown=2, h11_max_incomplete_event_size=64 * 1024,
    )  # fmt: skip
    say(f"foldspan runs at {entrance}")
    say("Open that address in a browser on this computer. Press Ctrl-C here to stop.")
    if opens:
        soon = Timer(0.3, webbrowser.open, [entrance])
        soon.daemon = True
        soon.start()
    _run(uvicorn.Server(config), [listening])
    say("Stopped. Everything that was saved is in the record book.")


def _run(server: uvicorn.Server, sockets: Sequence[socket.socket]) -> None:
    try:
        server.run(sockets=list(sockets))
    except KeyboardInterrupt:  # raised again by the server once everything is closed
        pass
    finally:
        for listening in sockets:
            listening.close()
        sys.stdout.flush()


def _listening(host: str, port: int) -> socket.socket:
    """A socket that listens, at a port that is free."""
    tried = [port] if port else range(FIRST_PORT, FIRST_PORT + TRIED)
    for number in tried:
        listening = socket.socket()
        if sys.platform != "win32":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((host, number))
            listening.listen(128)
        except OSError:
            listening.close()
        else:
            return listening
    what = f"port {port} is taken" if port else f"no free port from {FIRST_PORT} on"
    raise FoldspanError([Problem("E501", "--port", what, "Name another: --port 9000.")])

"""Serve: start the pages on this computer, and let devices of the network in where that is asked for."""

from __future__ import annotations

import asyncio
import contextlib
import errno
import ipaddress
import secrets
import signal
import socket
import ssl
import sys
import webbrowser
from collections.abc import Callable, Iterator, Sequence
from threading import Timer

import uvicorn

from foldspan.browser.access.certificate import Certificate, certificate_for
from foldspan.browser.access.guard import App, Guard
from foldspan.browser.app import application
from foldspan.browser.desk import Desk
from foldspan.problems import FoldspanError, Problem

FIRST_PORT, TRIED, LAST_PORT = 8471, 40, 65535
HERE = "127.0.0.1"
# what ends it: Ctrl-C, the system, a terminal that is closed
ENDS = [signal.SIGINT, signal.SIGTERM, *([signal.SIGHUP] if hasattr(signal, "SIGHUP") else [])]


def serve(
    desk: Desk,
    *,
    port: int = 0,
    say: Callable[[str], None],
    opens: bool = True,
    logs: bool = False,
    network_address: str = "",
    folder: str = "",
) -> None:
    """Serve the pages until Ctrl-C, or until the system ends it.

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
    network_address : str
        This computer's address in the local network, for tablets; "" to serve this computer alone.
    folder : str
        Where the certificate for the network is kept.

    Raises
    ------
    FoldspanError
        E501 for a port that is not free, or an address that is not this computer's; E303 where the
        certificate cannot be kept.
    """
    desk.start_key = secrets.token_urlsafe(18)
    app = application(desk, say if logs else None)
    with contextlib.ExitStack() as opened:
        listening = opened.enter_context(_listening(HERE, port))
        number = listening.getsockname()[1]
        entrance = f"http://{HERE}:{number}/enter/{desk.start_key}"
        hosts = [f"{HERE}:{number}", f"localhost:{number}"]
        servers = [(_server(Guard(app, desk.devices, hosts)), listening)]
        if network_address:
            wide = opened.enter_context(_listening(_own(network_address), 0, first=number + 1))
            servers.append((_for_network(desk, app, wide, folder), wide))
        say(f"foldspan runs at {entrance}")
        say("Open that address in a browser on this computer. Press Ctrl-C here to stop.")
        if network_address:
            _tell_network(desk, say)
        if opens:
            soon = Timer(0.3, webbrowser.open, [entrance])
            soon.daemon = True
            soon.start()
        _run(servers)
    say("Stopped. Everything that was saved is in the record book.")


def own_network_address() -> str:
    """Return this computer's address in the local network.

    Raises
    ------
    FoldspanError
        E501 where it has none.
    """
    # nothing is sent: the system only tells by which of its addresses it would go
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, contextlib.suppress(OSError):
        asking.connect(("192.0.2.1", 9))
        address = str(asking.getsockname()[0])
        if not ipaddress.ip_address(address).is_loopback:
            return address
    remedy = "Connect to the network, or give the address: --address 192.168.1.20."
    raise FoldspanError([Problem("E501", "--tablet", "no local network was found", remedy)])


def _for_network(desk: Desk, app: App, listening: socket.socket, folder: str) -> uvicorn.Server:
    """A second server for the network, encrypted."""
    address, port = listening.getsockname()
    made = certificate_for(address, folder)
    desk.address, desk.fingerprint = f"https://{address}:{port}", made.fingerprint
    desk.is_on_network = True
    return _server(Guard(app, desk.devices, [f"{address}:{port}"], "https"), certificate=made)


def _own(address: str) -> str:
    """An address that is one of this computer's, and no other way to say all of them."""
    with contextlib.suppress(ValueError, OSError):
        if not ipaddress.IPv4Address(address).is_unspecified:
            with socket.socket() as tried:
                tried.bind((address, 0))
            return address
    what, remedy = (
        "is not an address of this computer",
        "Give one of its own, such as 192.168.1.20.",
    )
    raise FoldspanError([Problem("E501", "--address", what, remedy, address)])


def _tell_network(desk: Desk, say: Callable[[str], None]) -> None:
    say("")
    say(f"Tablets on this network: {desk.address}")
    for line in _picture(desk.address):
        say(line)
    say(f"Fingerprint of its certificate (SHA-256): {desk.fingerprint}")
    say(f"Pairing code, for one device within five minutes: {desk.pairing.new_code()}")


def _picture(address: str) -> Iterator[str]:
    """The address as a QR code of letters."""
    import io

    import segno

    out = io.StringIO()
    segno.make(address, error="m").terminal(out, compact=True)
    yield from out.getvalue().splitlines()


class _Server(uvicorn.Server):
    """A server whose signals are heard by ``_run``, for all servers of this process at once."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals alone."""
        yield


def _server(app: Guard, *, certificate: Certificate | None = None) -> uvicorn.Server:
    config = uvicorn.Config(
        app,
        lifespan="off" if certificate else "on", log_level="critical", access_log=False,
        server_header=False, timeout_graceful_shutdown=2,
        ssl_certfile=certificate.certificate_file if certificate else None,
        ssl_keyfile=certificate.key_file if certificate else None,
        ssl_version=ssl.PROTOCOL_TLS_SERVER,
    )  # fmt: skip
    return _Server(config)


def _run(servers: Sequence[tuple[uvicorn.Server, socket.socket]]) -> None:
    """Run the servers until they are told to stop, by Ctrl-C or by the system; twice means at once."""

    def stop(*_: object) -> None:
        for server, _listening in servers:
            server.force_exit = server.should_exit
            server.should_exit = True

    async def serve_on(server: uvicorn.Server, listening: socket.socket) -> None:
        try:
            await server.serve(sockets=[listening])
        finally:
            for other, _listening in servers:
                other.should_exit = True

    async def every() -> None:
        await asyncio.gather(*(serve_on(server, listening) for server, listening in servers))

    # what a program was told to pass over when it was started, it passes over
    handled = [number for number in ENDS if signal.getsignal(number) is not signal.SIG_IGN]
    before = {number: signal.signal(number, stop) for number in handled}
    try:
        asyncio.run(every())
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        sys.stdout.flush()


def _listening(host: str, port: int, first: int = FIRST_PORT) -> socket.socket:
    """A socket that listens, at a port that is free."""
    why = ""
    for number in [port] if port else range(first, min(first + TRIED, LAST_PORT + 1)):
        # by its protocol: only then does asyncio send small pieces at once, not 40 ms later
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        if sys.platform != "win32":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((host, number))
            listening.listen(128)
        except OSError as error:
            listening.close()
            why = "is taken" if error.errno == errno.EADDRINUSE else "cannot be used"
        else:
            return listening
    what = f"port {port} {why}" if port else f"no free port from {first} up"
    raise FoldspanError([Problem("E501", "--port", what, "Choose another: --port 9000.")])

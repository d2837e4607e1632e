"""``foldspan serve`` as a program: its beginning, its end, and what it says where it cannot begin."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import ssl
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from time import monotonic

import pytest

from browser_attacks import SCRIPT
from foldspan.browser import serve
from foldspan.browser.access.devices import Devices
from program_starts import server_started

Run = Callable[..., tuple[int, str, str]]


@contextmanager
def _taken(port: int) -> Iterator[int]:
    """A port that another program has, this test's own where nobody else has it."""
    with socket.socket() as other:
        # as the server does: a connection that a test before this one had may still linger there
        other.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        with suppress(OSError):
            other.bind(("127.0.0.1", port))
            other.listen(1)
        yield other.getsockname()[1]


def test_it_starts_at_the_next_free_port_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    with _taken(serve.FIRST_PORT), server_started(folder=tmp_path) as site:
        port = int(site.address.split(":")[2].split("/")[0])
        assert serve.FIRST_PORT < port < serve.FIRST_PORT + serve.TRIED
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with opener.open(site.address) as first_page:
            assert b"Today" in first_page.read()
        # a server speaks to whoever connects: the host that is asked for must be its own
        with socket.create_connection(("127.0.0.1", port)) as raw:
            raw.sendall(b"GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n")
            assert raw.recv(999).startswith(b"HTTP/1.1 421")
        with socket.create_connection(("127.0.0.1", port)) as raw:
            raw.sendall(
                f"GET /enter/ HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n".encode() * 2 + b"\r\n"
            )
            assert raw.recv(999).startswith(b"HTTP/1.1 400")
        with socket.create_connection(("127.0.0.1", port)):  # one that says nothing keeps nobody
            os.kill(site.pid, signal.SIGINT)
            said = site.out.read()
        assert site.wait() == 0
    assert said.splitlines()[-1] == "Stopped. Everything that was saved is in the record book."
    assert "Traceback" not in said


def test_a_page_is_not_held_back_by_the_network(tmp_path: Path) -> None:
    """Before, every page came 40 ms late: its last piece waited for a word that the first had come."""
    with server_started("--book", str(tmp_path / "b.sqlite"), folder=tmp_path) as server:
        host = server.address.split("/")[2]
        asking = http.client.HTTPConnection(host, timeout=20)
        took = []
        for _ in range(30):
            begins = monotonic()
            asking.request("GET", "/static/icon.svg")
            assert asking.getresponse().read()
            took.append(monotonic() - begins)
        asking.close()
        os.kill(server.pid, signal.SIGTERM)
        server.wait()
        assert sorted(took)[10] < 0.03


def test_for_tablets_on_a_disk_that_takes_nothing_and_ended_by_the_system(tmp_path: Path) -> None:
    """Encrypted beside the own computer; the book cannot be begun, which its pages say."""
    certificates = tmp_path / "foldspan" / "browser"
    book = tmp_path / "a file" / "book.sqlite"
    (tmp_path / "a file").write_text("no folder")
    with server_started("--address", "127.0.0.1", "--book", str(book), folder=tmp_path) as site:
        said = []
        while not (said and said[-1].startswith("Pairing code")):
            said.append(site.out.readline())
        found = re.search(r"https://127\.0\.0\.1:\d+", "".join(said))
        assert found is not None
        trusting = ssl.create_default_context(cafile=str(certificates / "certificate.pem"))
        with urllib.request.urlopen(f"{found[0]}/", context=trusting) as answer:
            assert answer.url == f"{found[0]}/pair"
            answer.read()
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with pytest.raises(urllib.error.HTTPError) as refused:
            opener.open(site.address)
        assert refused.value.code == 409
        with refused.value as answer:
            assert "cannot be read or written" in answer.read().decode()
        os.kill(site.pid, signal.SIGTERM)
        assert site.out.read().splitlines()[-1].startswith("Stopped.")
        assert site.wait() == 0
    for path in certificates.iterdir():
        assert path.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--address", "no.such.host"], "--address: is not an address of this computer"),
        (["--address", "0.0.0.0"], "--address: is not an address of this computer"),
        (["--address", "203.0.113.77"], "--address: is not an address of this computer"),
        (["--address", "::1"], "--address: is not an address of this computer"),
        (["--port", "70000"], "--port"),
        (["--book", "/dev/null", "--local", "/none.json"], "none.json"),
    ],
)
def test_what_cannot_be_served_is_said(run: Run, words: list[str], sentence: str) -> None:
    code, out, err = run("serve", "--no-open", *words)
    assert code == 2
    assert sentence in err
    assert "runs at" not in out


def test_a_port_that_is_named_and_taken_is_said(run: Run) -> None:
    with _taken(0) as port:
        code, out, err = run("serve", "--no-open", "--port", str(port))
    assert (code, "runs at" in out) == (2, False)
    assert f"--port: port {port} is taken. Choose another: --port 9000." in err


def test_no_network_is_said(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    class Nowhere(socket.socket):
        def connect(self, address: object) -> None:
            raise OSError("Network is unreachable")

    monkeypatch.setattr(serve.socket, "socket", Nowhere)
    code, out, err = run("serve", "--no-open", "--tablet")
    assert (code, "runs at" in out) == (2, False)
    assert "--tablet: no local network was found" in err


def test_a_certificate_that_cannot_be_kept_is_said(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "foldspan").write_text("no folder")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    code, out, err = run("serve", "--no-open", "--address", "127.0.0.1")
    assert (code, "runs at" in out) == (2, False)
    assert "cannot be read or written" in err
    code, out, err = run("serve", "--token-for", "a program")
    assert (code, out) == (2, "")
    assert "cannot be written" in err


def test_a_token_made_while_it_serves_is_good_at_once_and_stays(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another process writes the same file: neither may write over what the other let in or revoked."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    path = tmp_path / "foldspan" / "browser" / "devices.json"
    serving = Devices(str(path))
    own, tablet = serving.let_in("This computer", "own"), serving.let_in("Tablet", "paired")
    code, token, _ = run("serve", "--token-for", SCRIPT)
    assert code == 0
    token = token.strip()
    program = serving.with_secret(token)
    assert program is not None
    assert program.kind == "program"
    second = serving.let_in("Another", "paired")
    later = Devices(str(path))
    assert all(later.with_secret(secret) for secret in (token, tablet, second))
    assert later.with_secret(own) is None
    later.revoke(program.digest)
    assert serving.with_secret(token) is None
    assert serving.with_secret(tablet) is not None
    text = path.read_text()
    assert not any(secret in text for secret in (own, token, tablet, second))
    assert path.stat().st_mode & 0o077 == 0
    path.write_text("{half a fi")
    assert serving.with_secret(tablet) is not None
    assert Devices(str(path)).listed() == ()


def test_a_disk_that_takes_nothing_keeps_no_device_out(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    devices = Devices(str(tmp_path / "file" / "devices.json"), lambda: 1000.0)
    for kind in ("own", "paired"):
        assert devices.with_secret(devices.let_in("Tablet", kind)) is not None

"""Nothing of a table is left: deleted, stopped or killed, the server takes it along."""

from __future__ import annotations

import contextlib
import http.client
import os
import signal
import stat
import time
from pathlib import Path

import pytest

from browser_hand import TableHand
from foldspan.browser.jobs import folder, held
from foldspan.browser.jobs.folder import PREFIX, TablesFolder, remove_left_over
from program_starts import server_started

SMALL = b"sex,age_years,weight_kg,height_cm\nfemale,41,71.3,168\n"
BORDER = "a-border-of-this-test"
pytestmark = pytest.mark.usefixtures("from_nothing")


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for temporary files of this test alone."""
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setenv("TMPDIR", str(place))
    monkeypatch.setattr(folder.tempfile, "tempdir", None)
    return place


def _left(place: Path) -> list[Path]:
    return [path for path in place.rglob("*") if path.is_file()]


def _until_nothing_is_left(place: Path) -> None:
    until = time.monotonic() + 20.0
    while list(place.iterdir()):
        assert time.monotonic() < until, _left(place)
        time.sleep(0.05)


def test_only_its_owner_can_look_and_nothing_is_left(temporary: Path, hand: TableHand) -> None:
    hand.send("day.csv", SMALL)
    hand.confirm()
    assert "1 row screened" in hand.said
    found = [path for path in temporary.rglob("*") if "in-use" not in path.name]
    assert any(path.name == "day.csv" for path in found)
    for path in found:
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, path.name
    hand.press("delete")
    assert not [path for path in temporary.rglob("*") if path.name == "day.csv"]
    hand.send("day.csv", SMALL)
    hand.hand.desk.tables.close()
    assert list(temporary.iterdir()) == []


def test_the_oldest_makes_room_and_what_nobody_uses_goes(
    temporary: Path, hand: TableHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held, "MOST", 2)
    monkeypatch.setattr(held, "_LOOKS_EVERY", 0.05)
    keys = []
    for _ in range(3):
        hand.send("day.csv", SMALL)
        keys.append(hand.key)
    there = {path.name for place in temporary.iterdir() for path in place.iterdir()}
    assert there & set(keys) == set(keys[1:])
    monkeypatch.setattr(held, "UNUSED", 0.0)
    until = time.monotonic() + 20.0
    while any(path.name in keys for place in temporary.iterdir() for path in place.iterdir()):
        assert time.monotonic() < until
        time.sleep(0.05)
    hand.hand.go(f"/tables/{keys[2]}")
    assert (hand.hand.status, "no longer here" in hand.said) == (404, True)


def _large() -> bytes:
    """A table that takes some seconds: long enough to be stopped or killed over it."""
    rows = b"".join(b"female,%d,71.%d,168\n" % (20 + n % 50, n % 10) for n in range(60_000))
    return b"sex,age_years,weight_kg,height_cm\n" + rows


def test_a_screening_is_stopped_with_all_its_processes(temporary: Path, hand: TableHand) -> None:
    hand.send("day.csv", _large())
    chosen = hand.chosen()
    hand.hand.send(f"/tables/{hand.key}/columns", **chosen)
    assert "Screening" in hand.said
    process = hand.hand.desk.tables.of(hand.key, _owner(hand))._process
    hand.press("stop")
    assert "No unfinished result was kept." in hand.said
    assert process.poll() is not None
    assert not [path for path in _left(temporary) if path.name.startswith("screened")]
    hand.hand.go(f"/tables/{hand.key}/columns")
    assert "Are these columns right?" in hand.said


def _owner(hand: TableHand) -> str:
    return next(iter(hand.hand.desk.tables._jobs.values())).owner


class _Visitor:
    """A browser at a server that is a process of its own."""

    def __init__(self, address: str) -> None:
        self._base, _, key = address.partition("/enter")
        self._cookie = ""
        self._asked("GET", f"/enter{key}")

    def _asked(self, method: str, path: str, data: bytes = b"", kind: str = "") -> tuple[str, str]:
        """Return where a reply leads and what it says."""
        line = http.client.HTTPConnection(self._base.removeprefix("http://"), timeout=30)
        headers = {"origin": self._base, "cookie": self._cookie, "content-type": kind}
        with contextlib.closing(line):
            line.request(method, path, data or None, headers)
            reply = line.getresponse()
            self._cookie = reply.headers.get("set-cookie", self._cookie).partition(";")[0]
            return reply.headers.get("location", ""), reply.read().decode()

    def send(self, path: str, data: bytes, kind: str) -> str:
        return self._asked("POST", path, data, kind)[0]

    def reads(self, path: str) -> str:
        return self._asked("GET", path)[1]

    def send_table(self, data: bytes) -> str:
        head = f'--{BORDER}\r\nContent-Disposition: form-data; name="table"; filename="day.csv"\r\n\r\n'
        body = head.encode() + data + f"\r\n--{BORDER}--\r\n".encode()
        return self.send("/tables", body, f"multipart/form-data; boundary={BORDER}")

    def until_ready(self, path: str) -> None:
        while '"is_at_work":true' in self.reads(f"{path}/now"):
            time.sleep(0.05)


@pytest.mark.parametrize("moment", ["while its columns are read", "while it runs", "afterwards"])
def test_a_killed_server_leaves_nothing(moment: str, temporary: Path, tmp_path: Path) -> None:
    with server_started(folder=tmp_path, TMPDIR=str(temporary)) as server:
        visitor = _Visitor(server.address)
        path = visitor.send_table(_large() if moment == "while it runs" else SMALL)
        if moment != "while its columns are read":
            visitor.until_ready(path)
            visitor.send(f"{path}/columns", b"as=csv", "application/x-www-form-urlencoded")
        if moment == "afterwards":
            visitor.until_ready(path)
            assert "1 row screened" in visitor.reads(path)
        assert _left(temporary)
        os.kill(server.pid, signal.SIGKILL)
        server.wait()
        _until_nothing_is_left(temporary)


def test_a_server_that_is_stopped_leaves_nothing(temporary: Path, tmp_path: Path) -> None:
    with server_started(folder=tmp_path, TMPDIR=str(temporary)) as server:
        visitor = _Visitor(server.address)
        visitor.until_ready(visitor.send_table(SMALL))
        assert _left(temporary)
        os.kill(server.pid, signal.SIGTERM)
        server.wait()
        assert list(temporary.iterdir()) == []


def test_what_was_left_by_a_power_failure_goes_at_the_next_start(temporary: Path) -> None:
    """A folder whose server is gone has a lock that nobody holds."""
    left = temporary / f"{PREFIX}left"
    left.mkdir()
    (left / "in-use").touch()
    (left / "day.csv").write_bytes(SMALL)
    others = temporary / "foldspan-something-else"
    others.mkdir()
    used = TablesFolder()
    assert {path.name for path in temporary.iterdir()} == {others.name, used.path.name}
    remove_left_over()
    assert used.path.exists()
    used.close()

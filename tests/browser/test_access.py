"""Access: who is kept out, from where, and for how long; each rule with an attack that has to fail."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from browser_attacks import NETWORK, START_KEY, Site, addresses, raw, site_at
from browser_hand import HOST, ORIGIN
from foldspan.browser.access.guard import COOKIE

OPEN = ("entrance.pair_page", "entrance.pair", "entrance.enter")


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with site_at(tmp_path / "book.sqlite") as opened:
        yield opened


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[Site]:
    """The same, with a Practice PIN."""
    with site_at(tmp_path / "book.sqlite", pin="4711") as opened:
        yield opened


def _secret(client: Any) -> str:
    [value] = [value for name, value in client.cookies.items() if name.startswith(COOKIE)]
    return str(value)


@pytest.mark.parametrize(
    "hosts",
    [
        [],
        [""],
        ["evil.example"],
        [f"{HOST}.evil.example"],
        [f"{HOST}:80"],
        ["127.0.0.1"],
        [HOST, "evil.example"],
        ["evil.example", HOST],
        [f"{HOST}, evil.example"],
    ],
)
def test_only_its_own_host_is_answered(site: Site, hosts: list[str]) -> None:
    """A page on the web whose name was made to lead here names itself as the host."""
    cookie = ("cookie", f"{COOKIE}={_secret(site.come_in())}")
    reply = raw(site.here, "GET", "/", [*[("host", host) for host in hosts], cookie])
    assert reply.status == 421
    assert "foldspan_" not in reply.body


@pytest.mark.parametrize(
    "origins",
    [
        [],
        ["null"],
        ["https://evil.example"],
        [f"https://{HOST}"],
        [f"http://{HOST}:9"],
        [f"{ORIGIN}.evil.example"],
        [ORIGIN, "https://evil.example"],
        ["https://evil.example", ORIGIN],
    ],
)
def test_a_form_of_another_site_changes_nothing(site: Site, origins: list[str]) -> None:
    cookie = ("cookie", f"{COOKIE}={_secret(site.come_in())}")
    given = [("host", HOST), cookie, *[("origin", origin) for origin in origins]]
    for method, path, _ in addresses(["POST"]):
        assert raw(site.here, method, path, given).status == 403, path
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS"):
        assert raw(site.here, method, "/session", given).status == 403


def test_a_word_of_authority_does_not_stand_for_an_origin(site: Site) -> None:
    """A header of another kind must not open what only our own pages may send."""
    cookie = ("cookie", f"{COOKIE}={_secret(site.come_in())}")
    for word in ("x", "Basic eDp4", "Bearer", "Bearer x"):
        given = [("host", HOST), cookie, ("authorization", word)]
        assert raw(site.here, "POST", "/session", given).status in (401, 403), word
        assert raw(site.here, "POST", "/pair", given).status in (401, 403), word


@pytest.mark.parametrize(
    "cookie",
    [
        None,
        "",
        "x",
        f"{COOKIE}=",
        f"{COOKIE}=stale-stale-stale",
        f'{COOKIE}="',
        f"{COOKIE}=" + "A" * 60_000,
        f"{COOKIE}=\xff\xfe",
        "; ; = ; =;",
        "$Version=1; \x00=\x01",
    ],
)
def test_without_the_secret_nothing_is_shown(site: Site, cookie: str | None) -> None:
    given = [("host", HOST), ("origin", ORIGIN)]
    given += [] if cookie is None else [("cookie", cookie)]
    for method, path, name in addresses():
        if name in OPEN:
            continue
        reply = raw(site.here, method, path, given)
        if path.startswith("/api/"):
            assert reply.status == 401
        else:
            assert (reply.status, reply.header("location")) == (303, "/pair"), path
    # a page is not shown either to one who brings somebody else's digest
    site.come_in()
    [device] = site.desk.devices.listed()
    digest = [*given[:2], ("cookie", f"{COOKIE}={device.digest}")]
    assert raw(site.here, "GET", "/", digest).status == 303


def test_a_cookie_of_another_program_of_this_computer_locks_nobody_out(site: Site) -> None:
    """Cookies of every port of a host come together; some are in no form that a reader knows."""
    ours = f"{COOKIE}={_secret(site.come_in())}"
    for others in ("a b=c d", 'q="half', "x@y=1", "{json:1}", f"{COOKIE}=theirs"):
        for header in (f"{others}; {ours}", f"{ours}; {others}"):
            given = [("host", HOST), ("cookie", header)]
            assert raw(site.here, "GET", "/", given).status == 200, header


def test_a_token_is_no_cookie_and_a_cookie_no_token(site: Site) -> None:
    token = site.desk.devices.let_in("a program", "program")
    secret = _secret(site.come_in())
    api = "/api/v1/openapi.json"
    host = ("host", HOST)
    assert raw(site.here, "GET", api, [host, ("authorization", f"Bearer {token}")]).status == 200
    assert raw(site.here, "GET", api, [host, ("cookie", f"{COOKIE}={token}")]).status == 401
    assert raw(site.here, "GET", api, [host, ("authorization", f"Bearer {secret}")]).status == 401
    assert raw(site.here, "GET", api, [host, ("authorization", token)]).status == 401


def test_a_token_opens_the_api_only(site: Site) -> None:
    token = site.desk.devices.let_in("a program", "program")
    given = [("host", HOST), ("authorization", f"Bearer {token}")]
    for method, path, _ in addresses():
        reply = raw(site.here, method, path, given)
        assert (reply.status == 403) == (not path.startswith("/api/")), path
    [device] = site.desk.devices.listed()
    site.desk.devices.revoke(device.digest)
    assert raw(site.here, "GET", "/api/v1/openapi.json", given).status == 401


def test_the_own_key_is_good_at_the_own_computer_only(site: Site) -> None:
    """Also for a device that was paired: it would be more than it was made."""
    assert site.device().get(f"/enter/{START_KEY}").status_code == 403
    assert site.paired().get(f"/enter/{START_KEY}").status_code == 403
    assert [device.kind for device in site.desk.devices.listed()] == ["paired"]
    secret = _secret(site.come_in())
    there = [("host", NETWORK), ("cookie", f"{COOKIE}_8472={secret}")]
    assert raw(site.there, "GET", "/", there, scheme="https").status == 303


def test_a_wrong_key_lets_nobody_in(site: Site) -> None:
    for key in ("", "x", START_KEY[:-1], f"{START_KEY}x", "%00", "ключ", "a" * 5000):
        reply = raw(site.here, "GET", f"/enter/{key}", [("host", HOST)])
        assert reply.status in (303, 403, 404)
        assert not reply.header("set-cookie")
    assert site.desk.devices.listed() == ()


def test_five_wrong_codes_lock_for_five_minutes(site: Site) -> None:
    stranger = site.device()
    code = site.desk.pairing.new_code()
    for tried in ("", "AAAA AAAA", code[:-1], "ключ", "a" * 10_000):
        answer = stranger.post("/pair", data={"code": tried})
        assert answer.status_code in (403, 429)
    for _ in range(2):
        answer = stranger.post("/pair", data={"code": code})
        assert answer.status_code == 429
        assert "Try again in 5 minutes" in answer.text or "Too many" in answer.text
    site.clock.now += 299.0
    fresh = site.desk.pairing.new_code()
    assert stranger.post("/pair", data={"code": fresh}).status_code == 429
    site.clock.now += 2.0
    assert stranger.post("/pair", data={"code": fresh}).url.path == "/"


def test_a_wrong_code_leaves_what_was_typed_in_its_place(site: Site) -> None:
    """Before, the name of the device had to be written again."""
    page = site.device().post("/pair", data={"code": "AAAA 1111", "name": "Tablet in room 2"}).text
    assert 'value="AAAA 1111"' in page
    assert 'value="Tablet in room 2"' in page


def test_a_code_holds_once_and_for_five_minutes(site: Site) -> None:
    code = site.desk.pairing.new_code()
    assert site.device().post("/pair", data={"code": f" {code.lower()}-"}).url.path == "/"
    assert site.device().post("/pair", data={"code": code}).status_code == 403
    late = site.desk.pairing.new_code()
    site.clock.now += 300.0
    assert site.device().post("/pair", data={"code": late}).status_code == 403
    old, new = site.desk.pairing.new_code(), site.desk.pairing.new_code()
    assert site.device().post("/pair", data={"code": old}).status_code == 403
    assert site.device().post("/pair", data={"code": new}).url.path == "/"


def test_a_device_is_let_in_for_twelve_hours(site: Site) -> None:
    tablet = site.paired()
    for _ in range(12 * 6 - 1):  # in use all the time
        site.clock.now += 600.0
        assert raw_get(site, tablet, "/devices") == 200
    site.clock.now += 600.0
    assert raw_get(site, tablet, "/devices") == 303
    assert site.desk.devices.listed() == ()


def raw_get(site: Site, client: Any, path: str) -> int:
    given = [("host", NETWORK), ("cookie", f"{COOKIE}_8472={_secret(client)}")]
    return raw(site.there, "GET", path, given, scheme="https").status


def test_a_revoked_device_is_out_at_once(site: Site) -> None:
    tablet, own = site.paired(), site.come_in()
    [digest] = [device.digest for device in site.desk.devices.listed() if device.kind == "paired"]
    # a device of the network revokes nobody, and shows no code
    assert tablet.post("/devices/revoke", data={"device": digest}).status_code == 409
    assert tablet.post("/devices/code").status_code == 409
    assert "revoke" not in tablet.get("/devices").text
    assert own.post("/devices/revoke", data={"device": digest}).status_code == 200
    assert tablet.get("/").url.path == "/pair"


def test_idle_for_ten_minutes_a_device_of_the_network_is_locked(site: Site) -> None:
    tablet, own = site.paired(), site.come_in()
    site.clock.now += 599.0
    assert tablet.get("/").url.path == "/"
    site.clock.now += 601.0
    assert tablet.get("/").url.path == "/locked"
    assert own.get("/").url.path == "/"  # the own computer has a lock of its own


def test_a_page_that_follows_by_itself_is_no_use_of_the_device(site: Site) -> None:
    """A page of a session asks every few seconds how far it is: nobody touched anything then."""
    tablet = site.paired()
    address = tablet.post("/session", data={"rule": "growing", "units": "metric"}).url.path
    for _ in range(4):
        site.clock.now += 200.0
        tablet.get(f"{address}/turn", follow_redirects=False)
    assert tablet.get(address).url.path == "/locked"


@pytest.mark.parametrize("way", ["button", "idle"])
def test_a_locked_device_is_shown_nothing(site: Site, way: str) -> None:
    tablet = site.paired()
    if way == "button":
        tablet.post("/lock")
    else:
        site.clock.now += 601.0
    for method, path, name in addresses():
        if name in ("devices.locked_page", "devices.unlock", *OPEN):
            continue
        answer = tablet.request(method, path, follow_redirects=False)
        shut = (403, "") if path.startswith("/api/") else (303, "/locked")
        assert (answer.status_code, answer.headers.get("location", "")) == shut, path
    assert tablet.post("/unlock", data={"pin": ""}).status_code == 403
    assert tablet.post("/unlock", data={"pin": site.desk.pairing.new_code()}).url.path == "/"


def test_the_pin_may_be_wrong_five_times(guarded: Site) -> None:
    tablet = guarded.paired()
    tablet.post("/lock")
    for tried in ("", "0000", "ключ", "4711 4711", "9" * 9000):
        assert tablet.post("/unlock", data={"pin": tried}).status_code in (403, 429)
    answer = tablet.post("/unlock", data={"pin": "4711"})
    assert answer.status_code == 429
    assert "Try again" in answer.text
    guarded.clock.now += 299.0
    for _ in range(6):  # whoever goes on trying does not keep the staff out for longer
        assert tablet.post("/unlock", data={"pin": "0000"}).status_code == 429
    guarded.clock.now += 2.0
    assert tablet.post("/unlock", data={"pin": "4711"}).url.path == "/"

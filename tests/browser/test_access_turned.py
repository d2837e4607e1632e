"""A device that is turned round to a client shows the client's page, whatever is asked of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from browser_attacks import START_KEY, Sender, Site, addresses, site_at
from foldspan.browser.addresses import WHILE_TURNED
from measure_driver import MAN

pytestmark = pytest.mark.usefixtures("no_numbers")


@pytest.fixture
def site(begun: Path) -> Iterator[Site]:
    with site_at(begun, pin="4711") as opened:
        yield opened


def _turned(site: Site) -> Sender:
    """A tablet that is turned round after a session ended."""
    tablet = Sender(site.desk, site.paired())
    tablet.go("/session/v1")
    tablet.fill(line="end")
    tablet.send("/turned", of="v1", language="de")
    assert (tablet.status, tablet.address) == (200, "/turned")
    return tablet


def test_a_client_with_the_device_in_hand_gets_nowhere(site: Site) -> None:
    tablet = _turned(site)
    shown = tablet.page
    for staffs in ("/visit/", "/session/", "/clients", "Today"):
        assert staffs not in shown
    for method, path, name in addresses():
        if name in WHILE_TURNED:
            continue
        answer = tablet.client.request(method, path, follow_redirects=False)
        elsewhere = (answer.status_code, answer.headers.get("location"))
        assert elsewhere in [(303, "/turned"), (403, None)], path
        is_refused = name == "entrance.enter" or path.startswith("/api/")
        assert (elsewhere[0] == 403) == is_refused
    # nor by the right key, a new code, or turning another visit round
    assert tablet.client.get(f"/enter/{START_KEY}").status_code == 403
    code = site.desk.pairing.new_code()
    assert tablet.client.post("/pair", data={"code": code}).url.path == "/turned"
    assert len(site.desk.devices.listed()) == 1
    tablet.go("/turned")
    assert tablet.page == shown


def test_five_wrong_pins_do_not_turn_it_back(site: Site) -> None:
    tablet = _turned(site)
    for tried in ("", "0000", "471", "47111", "ключ"):
        tablet.send("/turned/back", pin=tried, hold="yes")
        assert tablet.status in (403, 429)
    tablet.send("/turned/back", pin="4711", hold="yes")
    assert (tablet.status, "Try again in 5 minutes" in tablet.said) == (429, True)
    site.clock.now += 301.0
    tablet.send("/turned/back", pin="4711", hold="yes")
    assert tablet.address == "/session/v1/result"


def test_a_button_that_is_not_held_does_not_turn_it_back(site: Site) -> None:
    site.desk.pin = ""
    tablet = _turned(site)
    for hold in ("", "no", "on"):
        tablet.send("/turned/back", pin="", hold=hold)
        assert tablet.client.get("/").url.path == "/turned"
    tablet.send("/turned/back", hold="yes")
    assert tablet.address == "/session/v1/result"


def test_turned_round_and_idle_it_is_locked_and_comes_back_turned(site: Site) -> None:
    """A client who reads for long: the lock has to be reached, and behind it still the client's page."""
    tablet = _turned(site)
    site.clock.now += 601.0
    tablet.go("/turned")
    assert (tablet.status, tablet.address) == (200, "/locked")
    tablet.send("/unlock", pin="4711")
    assert tablet.address == "/turned"


def test_one_device_is_turned_round_the_other_is_not(site: Site) -> None:
    tablet = _turned(site)
    own = Sender(site.desk, site.come_in())
    own.go("/session/v1/result")
    assert own.address == "/session/v1/result"
    own.send("/turned/back", pin="4711", hold="yes")
    assert tablet.client.get("/").url.path == "/turned"


def test_a_device_that_is_turned_round_is_locked_by_the_next_start(site: Site, begun: Path) -> None:
    """What it showed is not known to the next server: it must not show the staff's pages instead."""
    listed = begun.parent / "devices.json"
    with site_at(begun, pin="4711", devices_file=str(listed)) as restarted:
        tablet = restarted.paired()
        tablet.post("/turned", data={"of": "v1", "language": "en"})
    with site_at(begun, pin="4711", devices_file=str(listed)) as restarted:
        again = restarted.device()
        again.cookies.update(tablet.cookies)
        assert again.get("/").url.path == "/locked"
    assert listed.stat().st_mode & 0o077 == 0
    assert MAN["code"] not in listed.read_text()

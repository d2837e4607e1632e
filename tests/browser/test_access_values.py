"""What people type is never markup, in no address and in no log; files are for their owner alone."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from browser_attacks import SCRIPT, WORDS, Sender, Site, events, hold, site_at
from browser_hand import forms_of
from measure_driver import MAN

# none of these may be seen outside the pages and the book
CLIENT_VALUES = {
    "code": "K-ZQ77", "tester": "T-ZQ77", "calliper": "cal-zq77", "age_years": "34.77",
    "weight_kg": "80.77", "chest_mm": "12.77", "earlier_weight_kg": "88.77",
}  # fmt: skip
TYPED: tuple[dict[str, str], ...] = (
    {"typed": SCRIPT, "word": SCRIPT, "change": SCRIPT, "site": "chest_mm", "distance chest_mm": SCRIPT},
    {"line": SCRIPT}, {"say": "note", "note": SCRIPT}, {"say": "plan", "plan": f"+ {SCRIPT}"},
)  # fmt: skip


@pytest.fixture
def site(begun: Path) -> Iterator[Site]:
    with site_at(begun) as opened:
        yield opened


def test_script_in_any_field_stays_a_text(site: Site) -> None:
    """Every answer is held against it (see ``hold``); here every field that takes a text is tried."""
    own = Sender(site.desk, site.come_in())
    for name in ("tester", "calliper", "step", "rule", "units"):
        own.begin(**{name: SCRIPT})
        assert own.status in (200, 422)
    own.begin(tester=SCRIPT, calliper=SCRIPT)
    tried: set[str] = set()
    while not own.address.endswith("/result"):
        place, kind = own.address, own.state.prompt.kind
        for more in TYPED if kind not in tried else ():
            own.send(place, turn=own.form.fields["turn"], meant=SCRIPT, **more)
            own.go(place)  # wherever that led
        tried.add(kind)
        own.answer(MAN | WORDS)
    assert len(tried) > 8
    assert own.address == "/session/v2/result"
    own.go("/visit/2")
    for name in ("tester", "calliper", "code", "family_background"):
        [form] = [form for form in forms_of(own.page) if form.action.endswith("/correct")]
        wanted = {"name": name, "reading": "", "value": SCRIPT, "who": SCRIPT, "why": SCRIPT}
        own.send(form.action, **{**form.fields, **wanted})
        own.go("/visit/2")
    assert "alert(1)" in own.page  # it is there, as a text
    own.send("/visit/2/erase", code=SCRIPT)
    own.send("/session/v2/why", method=SCRIPT, fat_percent=SCRIPT, weight_kg=SCRIPT)
    for path in ("/", "/session/v2/result?see=yes", "/session/v2/why", "/precision", "/clients",
                 f"/session/v2/why?first={SCRIPT}&second={SCRIPT}", f"/clients?code={SCRIPT}",
                 f"/visit/v2/page?for={SCRIPT}", f"/visit/{SCRIPT}"):  # fmt: skip
        own.go(path)
    own.send("/turned", of="v2", language=SCRIPT)
    own.send("/turned/back", pin=SCRIPT, hold="yes")
    site.paired(SCRIPT)
    own.go("/devices")
    assert "alert(1)" in own.page


def test_a_whole_session_leaves_no_value_in_a_log_or_an_address(
    tmp_path: Path, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    """With what goes wrong in it: values refused, old pages, pages that fail, requests of nobody."""
    caplog.set_level(logging.DEBUG)
    asked: list[str] = []
    with site_at(tmp_path / "book.sqlite") as site:
        own = Sender(site.desk, site.come_in())

        def noted(answer: Any) -> None:
            hold(answer)
            asked.extend([str(answer.url), str(answer.headers.get("location", ""))])

        own.client.event_hooks = {"response": [noted]}
        answers = MAN | WORDS | CLIENT_VALUES
        own.begin(tester=CLIENT_VALUES["tester"], calliper=CLIENT_VALUES["calliper"])
        own.walk(answers, until="1.chest_mm")
        for typed in ("1277.77", "K-ZQ77", "12.77 12.77"):
            own.fill(typed=typed)
            assert own.status == 422
        own.again(turn="3:code")
        own.go("/session/none")
        own.send("/session/v1/more", sites="K-ZQ77")
        own.go("/session/v1")
        own.walk(answers)
        own.send("/session/v1/why", method="dxa", fat_percent="K-ZQ77", weight_kg="80.77")
        own.send("/clients", code="K-ZQ77")
        assert "K-ZQ77" in own.page
        own.go("/visit/1")
        for form in forms_of(own.page):
            assert form.method == "post" or "code" not in form.fields
        own.client.post("/api/v1/reconcile", json={"visit": {"client": {"code": "K-ZQ77"}}})
        own.send("/visit/1/erase", code="K-ZQ7")
    seen = capfd.readouterr()
    logged = [*site.lines, *asked, seen.out, seen.err]
    # what speaks here is ours and the server's: the test's own client logs what it asks for
    logged += [
        record.getMessage() for record in caplog.records if not record.name.startswith("httpx")
    ]
    for value in (*CLIENT_VALUES.values(), "ZQ7"):
        assert not [line for line in logged if value in line], value
    assert len(site.lines) > 40
    assert all(len(line.split()) == 3 for line in site.lines)
    for path in tmp_path.iterdir():
        assert path.stat().st_mode & 0o077 == 0, path.name


def test_letters_of_any_alphabet_may_stand_in_a_name(site: Site, begun: Path) -> None:
    """They are remembered in a cookie, which holds plain letters only."""
    own = Sender(site.desk, site.come_in())
    for tester in ("Жанна-7", "测试员", "a;b, c=d", "Zoë \U0001f4cf"):
        own.begin(tester=tester)
        assert (own.status, own.address[:9]) == (200, "/session/"), tester
        own.go("/")
        assert f'name="tester" value="{tester}"' in own.page
    assert len(events(begun)) == 1

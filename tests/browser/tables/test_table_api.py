"""The API for screening: a program sends a table, says what its columns are, and takes the result."""

from __future__ import annotations

import gzip
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

import foldspan
from browser_attacks import Site, site_at
from foldspan.browser.access import guard
from foldspan.browser.jobs import bounds
from foldspan.problems import FoldspanError

TABLE = b"Staff no,sex,age_years,Weight,height_cm\nH-1,female,41,157,168\nH-2,male,52,180,178\n"
EARLIER = b"Staff no,sex,age_years,Weight,height_cm\nH-1,female,40,171,168\n"
CHOSEN: dict[str, Any] = {
    "columns": {"Staff no": "code", "Weight": "weight_kg"},
    "units": {"Weight": "lb"},
}


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with site_at(tmp_path / "book.sqlite") as opened:
        yield opened


class Program:
    """A program with a token of its own."""

    def __init__(self, site: Site, name: str) -> None:
        token = site.desk.devices.let_in(name, "program")
        self.client: TestClient = site.own
        self.head = {"authorization": f"Bearer {token}"}

    def ask(self, method: str, path: str, **more: Any) -> Any:
        return self.client.request(method, f"/api/v1/tables{path}", headers=self.head, **more)

    def send(self, data: bytes, name: str = "day.csv") -> dict[str, Any]:
        reply = self.ask("POST", f"?name={name}", content=data)
        assert reply.status_code == 202
        return self.until_ready(reply.json()["table"])

    def until_ready(self, key: str) -> dict[str, Any]:
        for _ in range(1200):
            state: dict[str, Any] = self.ask("GET", f"/{key}").json()
            if state["state"] not in ("looking", "running"):
                return state
            time.sleep(0.05)
        raise AssertionError("it never came to an end")


@pytest.mark.usefixtures("from_nothing")
def test_a_table_is_screened_as_by_the_command(site: Site, tmp_path: Path) -> None:
    program = Program(site, "nightly")
    state = program.send(TABLE)
    assert state["state"] == "choosing"
    assert [column["name"] for column in state["columns"]][:3] == ["code", "sex", "age_years"]
    key = state["table"]
    assert program.ask("POST", f"/{key}/screen", json=CHOSEN).status_code == 202
    state = program.until_ready(key)
    assert (state["state"], state["summary"]["rows"]) == ("done", 2)
    assert state["files"] == ["screened.csv", "referrals.csv", "summary.json"]
    (tmp_path / "day.csv").write_bytes(TABLE)
    foldspan.screen_table(
        tmp_path / "day.csv", tmp_path / "out.csv",
        names=CHOSEN["columns"], units=CHOSEN["units"],
    )  # fmt: skip
    reply = program.ask("GET", f"/{key}/files/screened.csv")
    assert reply.content == (tmp_path / "out.csv").read_bytes()
    assert program.ask("GET", f"/{key}/files/day.csv").status_code == 404
    other = Program(site, "other")
    assert other.ask("GET", f"/{key}").status_code == 404
    assert other.ask("DELETE", f"/{key}").status_code == 404
    assert program.ask("DELETE", f"/{key}").json()["state"] == "deleted"
    assert program.ask("GET", f"/{key}").status_code == 404


def test_an_earlier_table_is_sent_in_the_same_way(site: Site, tmp_path: Path) -> None:
    program = Program(site, "nightly")
    key, earlier = program.send(TABLE)["table"], program.send(EARLIER)["table"]
    body = {**CHOSEN, "before": {**CHOSEN, "table": earlier}}
    assert program.ask("POST", f"/{key}/screen", json=body).status_code == 202
    assert program.until_ready(key)["state"] == "done"
    for name, data in (("day.csv", TABLE), ("last.csv", EARLIER)):
        (tmp_path / name).write_bytes(data)
    foldspan.screen_table(
        tmp_path / "day.csv", tmp_path / "out.csv", before=tmp_path / "last.csv",
        names=CHOSEN["columns"], units=CHOSEN["units"],
    )  # fmt: skip
    result = program.ask("GET", f"/{key}/files/screened.csv").content
    assert result == (tmp_path / "out.csv").read_bytes()
    body["before"]["table"] = "0" * 16
    assert program.ask("POST", f"/{key}/screen", json=body).status_code == 404
    body["before"] = "last.csv"
    assert program.ask("POST", f"/{key}/screen", json=body).status_code == 422


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ({"columns": {"Nobody": "code"}}, "E501"),
        ({"columns": {"Weight": "weight_kg"}, "units": {"Weight": "furlong"}}, "E104"),
        ({"sheet": "May"}, "E501"),
    ],
)
def test_what_cannot_be_meant_is_told_by_the_state(
    site: Site, body: dict[str, Any], code: str
) -> None:
    program = Program(site, "nightly")
    key = program.send(TABLE)["table"]
    program.ask("POST", f"/{key}/screen", json=body)
    state = program.until_ready(key)
    assert state["state"] == "choosing"
    assert code in [problem["code"] for problem in state["problems"]]


def test_bodies_in_other_forms_are_refused_at_once(site: Site) -> None:
    program = Program(site, "nightly")
    key = program.send(TABLE)["table"]
    for body, code in (
        (b"{", "E305"), (b"[]", "E121"), (b'{"column": {}}', "E115"), (b'{"as": "exe"}', "E501"),
        (b'{"columns": {"a": 1}}', "E121"), (b'{"accept_unusual": "yes"}', "E501"),
        (b'{"sheet": 1}', "E121"), (b'{"words": {"sex": {"m": 1}}}', "E121"),
    ):  # fmt: skip
        kind = {"content-type": "application/json", **program.head}
        reply = site.own.post(f"/api/v1/tables/{key}/screen", content=body, headers=kind)
        assert reply.status_code == 422, body
        assert reply.json()["problems"][0]["code"] == code, body
    reply = program.ask("POST", "", content=TABLE)
    assert (reply.status_code, reply.json()["problems"][0]["where"]) == (422, "name")
    reply = program.ask("POST", f"/{key}/letters", json={})
    assert reply.status_code == 404


def test_more_than_may_be_sent_is_refused(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "LARGEST_FORM", 1000)
    monkeypatch.setattr(guard, "LARGEST_UPLOAD", 5000)
    program = Program(site, "nightly")
    reply = program.ask("POST", "?name=day.csv", content=b"x" * 5001)
    assert (reply.status_code, reply.json()["problems"][0]["code"]) == (413, "E903")
    site.come_in()
    reply = site.own.post("/tables", files={"table": ("day.csv", b"x" * 6000)})
    assert (reply.status_code, "larger than 200 MB" in reply.text) == (413, True)


def test_what_unpacks_to_more_than_it_may_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bounds, "LARGEST_UNPACKED", 1 << 20)
    packed = tmp_path / "day.csv.gz"
    packed.write_bytes(gzip.compress(bytes((1 << 20) + 1)))
    with pytest.raises(FoldspanError, match="unpacks to more than"):
        bounds.check_bounds(str(packed))
    packed.write_bytes(gzip.compress(bytes(1 << 19)))
    bounds.check_bounds(str(packed))
    monkeypatch.setattr(bounds, "LARGEST", 10)
    with pytest.raises(FoldspanError, match="larger than"):
        bounds.check_bounds(str(packed))

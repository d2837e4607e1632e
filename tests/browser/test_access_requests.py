"""Requests in forms that no page of ours sends: answered calmly, with every header, and nothing done."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterator
from typing import Any

import pytest

from browser_attacks import SCRIPT, Site, raw, site_at
from browser_hand import HOST, ORIGIN

FORM = "application/x-www-form-urlencoded"
JSON = "application/json"
LARGE = b"typed=" + b"1" * ((1 << 20) + 1)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """One desk for all: nothing here is kept."""
    with site_at(tmp_path_factory.mktemp("requests") / "book.sqlite") as opened:
        opened.come_in()
        yield opened


def _given(site: Site, **more: str) -> list[tuple[str, str]]:
    cookies = "; ".join(f"{name}={value}" for name, value in site.own.cookies.items())
    given = [("host", HOST), ("origin", ORIGIN), ("cookie", cookies)]
    return given + [(name.replace("_", "-"), value) for name, value in more.items()]


@pytest.mark.parametrize(
    "path",
    [
        "/..",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/static/../../desk.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e%5capp.py",
        "/static//etc/passwd",
        "/static/%00",
        "/static/" + "a" * 5000,
        "/static/" + "a/" * 3000,
        "/static/\u0436",
        "/static",
        "/static/",
        "//",
        "//evil.example/",
        "//evil.example/%2f..",
        "/\\evil.example",
        "/session/",
        "/session/%00",
        "/session/v0",
        "/session/v" + "9" * 15,
        "/session/v" + "9" * 5000,
        "/session/v-1",
        "/session/v1e3",
        "/session/\u0663",
        "/session/%ff%fe",
        "/session/v1%2fresult",
        "/session/v1;x=y",
        "/visit/../clients",
        "/visit/%00/page",
        "/visit/x" + "y" * 60_000,
        "/visit/v1/page?for=%00&as=exe&language=xx",
        "/session/v1/turn",
        "/" + "\u00e4" * 20_000,
        "/api/v1/../../clients",
        "/equations/..%2f..%2fclients",
        "/equations/%00",
        "/equations/" + "a" * 60_000,
        "/api/v1/equations/..%2fopenapi.json",
        "/api/v1/equations/%ff%fe",
        "http://evil.example/",
        "*",
        "",
    ],
)
def test_a_path_leads_to_a_page_of_ours_or_nowhere(site: Site, path: str) -> None:
    reply = raw(site.here, "GET", path, _given(site))
    assert reply.status in (303, 307, 400, 404, 409), reply.status
    assert "import" not in reply.body
    assert "root:" not in reply.body
    there = reply.header("location")
    assert there.startswith((f"{ORIGIN}/", "/")) or not there
    assert not there.startswith("//")


def test_a_way_round_to_the_style_sheet_opens_no_page(site: Site) -> None:
    """What lies under static is open to whoever asks: no other page may be reached through it."""
    for path in (
        "/static/../clients",
        "/static/%2e%2e/",
        "/static/..%2f..%2fdevices",
        "/pairs",
        "/pair/x",
    ):
        reply = raw(site.here, "GET", path, [("host", HOST)])
        assert reply.status in (303, 404)
        assert reply.header("location") in ("", "/pair")


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "GETS", ""])
def test_other_methods_are_not_allowed(site: Site, method: str) -> None:
    for path in (
        "/",
        "/session/v1",
        "/visit/v1/erase",
        "/api/v1/reconcile",
        "/static/page.css",
        "/none",
    ):
        assert raw(site.here, method, path, _given(site)).status in (404, 405), path
    assert raw(site.here, method, "/session/v1", _given(site)).status == 405
    assert raw(site.here, method, "/", [("host", HOST), ("origin", ORIGIN)]).status in (303, 401)


def test_asking_for_the_head_alone_does_nothing_more(site: Site) -> None:
    for path in ("/", "/pair", "/none", "/session/v1"):
        assert raw(site.here, "HEAD", path, _given(site)).status in (200, 404)


@pytest.mark.parametrize(
    "path", ["/session", "/session/v1", "/pair", "/api/v1/reconcile", "/unlock"]
)
@pytest.mark.parametrize("kind", [FORM, JSON, "multipart/form-data; boundary=x", "text/plain", ""])
def test_what_is_too_large_is_not_taken(site: Site, path: str, kind: str) -> None:
    """Whether it says its length, says a wrong one, or none."""
    for length in (str(len(LARGE)), "9" * 5000, "-1", "1e9", "\xb2", "", " "):
        given = _given(site, content_type=kind, content_length=length)
        assert raw(site.here, "POST", path, given, [LARGE]).status == 413, length
    start = (
        b""
        if "multipart" not in kind
        else b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n'
    )
    chunks = [start, *[b"a" * (1 << 16)] * 20]
    reply = raw(site.here, "POST", path, _given(site, content_type=kind), chunks)
    assert reply.status == (413 if kind in (FORM, JSON) or "multi" in kind else reply.status)
    assert reply.status != 500


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        (FORM, b"a=1&" * 5000),
        (FORM, b"&" * 100_000),
        (FORM, b"=" * 100_000),
        (FORM, b"%" * 1000 + b"=%ff%fe%zz"),
        (FORM + "; charset=none-such", b"turn=1"),
        ("multipart/form-data", b"--x\r\n\r\n"),
        ("multipart/form-data; boundary=", b"--\r\n"),
        ("multipart/form-data; boundary=" + "y" * 9000, b"--y\r\n"),
        ("multipart/form-data; boundary=x", b"no boundary"),
        ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data\r\n\r\n1\r\n--x--"),
        ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: \xff\r\n\r\n1\r\n--x--\r\n"),
        ("multipart/form-data; boundary=x; charset=none-such",
         b'--x\r\nContent-Disposition: form-data; name="turn"\r\n\r\n\xff\r\n--x--\r\n'),
        ("multipart/form-data; boundary=x",
         b'--x\r\nContent-Disposition: form-data; name="f"; filename="../../f"\r\n\r\n1\r\n--x--\r\n'),
        ("multipart/form-data; boundary=x",
         b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n1\r\n' * 900 + b"--x--\r\n"),
        ("\xff\xfe/json", b"\xff"),
        ("json", b"[]"),
    ],
)  # fmt: skip
def test_a_form_that_cannot_be_read_is_refused(site: Site, kind: str, body: bytes) -> None:
    for path in ("/session/v1", "/unlock", "/turned/back"):
        reply = raw(site.here, "POST", path, _given(site, content_type=kind), [body])
        assert reply.status in (303, 400, 404), reply.body[-300:]


DEEP = b'{"visit":' + b"[" * 900 + b"]" * 900 + b"}"


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"null",
        b"[]",
        b"{",
        b"\xff\xfe",
        b'{"visit": 1}',
        b'{"visit": {}}',
        b"[" * 200_000,
        DEEP,
        DEEP.replace(b"[", b'{"a":').replace(b"]", b"}").replace(b":}", b":1}"),
        b'{"visit": {"client": ' + b'{"a":' * 400 + b"1" + b"}" * 400 + b"}}",
        b'{"visit": {"readings": {"triceps_mm": NaN}}}',
        b'{"visit": {"body": {"weight_kg": 1e999}}}',
        b'{"visit": {"body": {"weight_kg": ' + b"9" * 5000 + b"}}}",
        b'{"visit": {"client": {"code": "\\ud800", "sex": "male"}}}',
        b'{"visit": {"\\ud800": 1}}',
        b'{"visit": {"client": {"sex": "<script>alert(1)</script>"}}}',
        b'{"visit": {}, "reference_method": {"a": 1}}',
        b'{"visit": {}, "reference_method": "none such", "conversion": 7}',
        b'{"visit": {}, "as_printed": "yes"}',
        b'{"visits": [{}, {}]}',
        b'{"visits": [1, 2]}',
    ],
)
@pytest.mark.parametrize("name", ["reconcile", "change"])
def test_json_that_is_no_visit_is_refused_as_json(site: Site, name: str, body: bytes) -> None:
    given = _given(site, content_type=JSON)
    reply = raw(site.here, "POST", f"/api/v1/{name}", given, [body])
    assert reply.status == 422, reply.body[-300:]
    assert reply.header("content-type") == JSON
    assert "problems" in reply.body


REFUSED = {
    "a foreign host": ("POST", {"host": "evil.example"}, 421, "E901"),
    "a foreign origin": ("POST", {"origin": "http://evil.example"}, 403, "E901"),
    "nobody": ("POST", {"cookie": "x=y"}, 401, "E901"),
    "a wrong token": ("POST", {"authorization": "Bearer none-of-ours"}, 401, "E901"),
    "too large": ("POST", {"content-length": "9999999"}, 413, "E903"),
    "unreadable": ("POST", {"content-type": "multipart/form-data"}, 400, "E903"),
    "not for this method": ("DELETE", {}, 405, "E902"),
    "no such address": ("GET", {"path": "/api/v1/none"}, 404, "E902"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_program_is_refused_in_json(site: Site, name: str) -> None:
    """Before, only what the views refused was JSON: whoever came no further got text or a page."""
    method, more, status, code = REFUSED[name]
    given = dict(_given(site, content_type=JSON)) | {k: v for k, v in more.items() if k != "path"}
    reply = raw(site.here, method, more.get("path", "/api/v1/reconcile"), [*given.items()], [b"{}"])
    assert (reply.status, reply.header("content-type")) == (status, JSON)
    [problem] = json.loads(reply.body)["problems"]
    assert problem["code"] == code
    assert all(problem[word] for word in ("where", "what", "remedy"))
    api = raw(site.here, "GET", "/api/v1/openapi.json", _given(site))
    said = json.loads(api.body)["paths"]["/api/v1/reconcile"]["post"]["responses"][str(status)]
    assert said["content"][JSON]["schema"] == {"$ref": "#/components/schemas/Problems"}
    # the same at an address for people is no JSON
    elsewhere = raw(site.here, method, "/clients", [*given.items()], [b""])
    assert elsewhere.header("content-type") != JSON


def test_a_locked_device_gets_json_from_the_api_and_no_page(site: Site) -> None:
    [device] = site.desk.devices.listed()
    site.desk.turned[device.digest] = ("v1", "en")
    try:
        reply = raw(site.here, "GET", "/api/v1/openapi.json", _given(site))
        assert (reply.status, reply.header("location")) == (403, "")
        assert json.loads(reply.body)["problems"][0]["code"] == "E901"
    finally:
        del site.desk.turned[device.digest]


def test_a_program_is_told_in_json_that_foldspan_failed(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*anything: Any) -> Any:
        raise ValueError("could not read 87.65 of K-0815")

    monkeypatch.setattr("foldspan.browser.addresses.view_of", fails)
    reply = raw(site.here, "POST", "/api/v1/explain", _given(site, content_type=JSON), [b"{}"])
    assert reply.status == 500
    [problem] = json.loads(reply.body)["problems"]
    assert problem["code"] == "E904"
    assert "87.65" not in reply.body


def test_a_socket_that_stays_open_is_closed(site: Site) -> None:
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> dict[str, Any]:
        return {"type": "websocket.connect"}

    scope = {"type": "websocket", "path": "/", "headers": [], "query_string": b""}
    asyncio.run(site.here(scope, receive, send))
    assert [message["type"] for message in sent] == ["websocket.close"]


def test_a_page_that_fails_says_no_value(
    site: Site, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """What an error says may hold what somebody typed; neither the page nor a log repeats it."""

    def fails(*anything: Any, **more: Any) -> Any:
        raise ValueError("could not read 87.65 of K-0815")

    for place in ("view_of", ""):
        with monkeypatch.context() as patch:
            if place:
                patch.setattr("foldspan.browser.addresses.view_of", fails)
            else:
                patch.setattr("foldspan.browser.app._page_request", fails)
            reply = raw(site.here, "POST", "/session/v1", _given(site))
        assert reply.status == 500
        assert "ValueError at test_access_requests.py" in reply.body
        assert "87.65" not in reply.body
        assert "K-0815" not in reply.body
    out = capfd.readouterr()
    assert "87.65" not in out.out + out.err
    assert "K-0815" not in "".join(site.lines)


def test_nothing_of_all_this_was_kept(site: Site) -> None:
    """The last one: no visit was begun, and no other device was let in."""
    answer = site.own.post("/session", data={"tester": SCRIPT, "rule": SCRIPT, "step": SCRIPT})
    assert answer.status_code == 422
    assert "No client" in answer.text or "None yet" in answer.text
    assert len(site.desk.devices.listed()) == 1

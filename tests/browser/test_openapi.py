"""The JSON API held against its own description by a client that is made from it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import jsonschema_rs
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from schemathesis import GenerationMode
from schemathesis.checks import CHECKS, load_all_checks

from browser_attacks import Site, site_at
from example_visits import EXAMPLES
from foldspan.browser import openapi
from foldspan.browser.access.refusals import is_for_programs
from foldspan.browser.addresses import ROUTES
from foldspan.visit.model import Visit

EXAMPLES_EACH = int(os.environ.get("FOLDSPAN_API_EXAMPLES", "20"))
# each starts a process
TABLES, TABLES_EACH = "/api/v1/tables", 3
DESCRIPTION = openapi.description()
OPERATIONS = [
    (path, method) for path, methods in DESCRIPTION["paths"].items() for method in methods
]
load_all_checks()
# what a schema cannot say of a visit is refused all the same, such as a waist wider than the hip is high
UNFIT = CHECKS.get_by_names(["positive_data_acceptance"])


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with site_at(tmp_path_factory.mktemp("api") / "book.sqlite") as opened:
        yield opened


@pytest.fixture(scope="module")
def token(site: Site) -> dict[str, str]:
    return {"Authorization": f"Bearer {site.desk.devices.let_in('made', 'program')}"}


def operation_of(path: str, method: str) -> dict[str, Any]:
    operation: dict[str, Any] = DESCRIPTION["paths"][path][method]
    return operation


def example_of(path: str, method: str) -> str:
    """The address with the examples of what it leaves open."""
    for parameter in operation_of(path, method).get("parameters", ()):
        for example in parameter["schema"].get("examples", ()):
            path = path.replace(f"{{{parameter['name']}}}", example)
    return path


def test_every_address_for_programs_is_described() -> None:
    routed = {(path, method.lower()) for method, path, _ in ROUTES if is_for_programs(path)}
    assert routed == set(OPERATIONS)
    names = [operation_of(*operation)["operationId"] for operation in OPERATIONS]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("mode", [*GenerationMode])
@pytest.mark.parametrize(("path", "method"), OPERATIONS)
def test_a_client_made_from_the_description_is_answered_as_described(
    site: Site, token: dict[str, str], path: str, method: str, mode: GenerationMode
) -> None:
    """Right and wrong requests alike: no failure of ours, every status and every answer described."""
    if mode is GenerationMode.NEGATIVE and not {"parameters", "requestBody"} & set(
        operation_of(path, method)
    ):
        pytest.skip("nothing is sent that could be wrong")
    described = schemathesis.openapi.from_asgi(
        "/api/v1/openapi.json", site.here, headers=dict(token)
    )
    operation = described[path][method.upper()]

    @seed(20261129)
    @settings(
        max_examples=TABLES_EACH if path == TABLES else EXAMPLES_EACH, deadline=None, database=None,
        phases=(Phase.explicit, Phase.generate), suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(case=operation.as_strategy(generation_mode=mode))
    def answered(case: Any) -> None:
        case.call_and_validate(headers=dict(token), excluded_checks=UNFIT)

    answered()


@pytest.mark.parametrize(
    ("path", "method"),
    [operation for operation in OPERATIONS if "requestBody" in operation_of(*operation)],
)
def test_the_examples_of_the_description_are_answered(
    site: Site, token: dict[str, str], path: str, method: str
) -> None:
    """An operation that takes JSON shows what to send."""
    (content,) = operation_of(path, method)["requestBody"]["content"].items()
    if content[0] == openapi.JSON:
        address = example_of(path, method)
        answer = site.own.request(method, address, json=content[1]["example"], headers=token)
        # no table is here that the example could be about
        assert answer.status_code == (404 if path.startswith(TABLES) else 200), answer.text


WHOLE = [
    "visit", "visit_later", "told_at_intake", "disagreement", "outside_results", "careful_words",
]  # fmt: skip


@pytest.mark.parametrize("operation", ["reconcile", "explain", "change", "value"])
@pytest.mark.parametrize("name", WHOLE)
def test_whole_visits_are_answered_as_described(
    site: Site, token: dict[str, str], name: str, operation: str
) -> None:
    """What a made client rarely hits upon: much measured, much told, and results of all kinds."""
    visit = Visit.from_file(str(EXAMPLES / f"{name}.toml"), accept_unusual=True).to_dict()
    minor = {**visit, "client": {"sex": "male", "age_years": 15}}
    both = {**visit, "client": {**visit["client"], "sex": "both"}}
    path = f"/api/v1/{operation}"
    sent: list[dict[str, Any]] = [{"visit": visit} for visit in (visit, minor, both)]
    if operation == "change":
        sent = [{"visits": [visit] * times} for visit in (visit, both) for times in (2, 3)]
    elif operation == "value":
        path = "/api/v1/equations/deurenberg1991_both_bmi/value"
    described = (
        DESCRIPTION["paths"].get(path) or DESCRIPTION["paths"]["/api/v1/equations/{key}/value"]
    )
    schemas = described["post"]["responses"]
    for body in sent:
        answer = site.own.post(path, json={**body, "accept_unusual": True}, headers=token)
        assert answer.status_code in (200, 422), answer.text
        schema = schemas[str(answer.status_code)]["content"]["application/json"]["schema"]
        whole = {"components": DESCRIPTION["components"], **schema}
        jsonschema_rs.validator_for(whole).validate(answer.json())

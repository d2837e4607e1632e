"""OpenAPI: the description of the JSON API, put together from what each of its views says of itself.

A module of views for programs ends in ``_api`` and has ``OPERATIONS``: one entry for each of its
views. An address under /api/v1 that nobody describes stops the work, so none is forgotten.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

from foldspan.api.schemas.published import components
from foldspan.browser import addresses
from foldspan.browser.access.refusals import is_for_programs

Schema = Mapping[str, Any]

ABOUT = (
    "Results have the form described in docs/json.md. Every error is a list of problems, each"
    " with a code from docs/problem-codes.md and a remedy. A screening aid, not a diagnosis."
)
JSON, BYTES = "application/json", "application/octet-stream"
# every refusal has the same form: code, where, what, and how to go on
REFUSED: dict[str, str] = {
    "400": "What was sent cannot be read.",
    "401": "No token, or one that is not valid.",
    "403": "Not from a foldspan page, or the device is locked.",
    "404": "There is nothing at this address.",
    "405": "Not for this method.",
    "409": "The record book cannot be used right now.",
    "413": "Too much was sent at once.",
    "421": "The Host does not belong to foldspan.",
    "422": "What is wrong with the input, and how to correct it.",
    "500": "foldspan itself failed.",
}


@dataclass(frozen=True)
class Operation:
    """One operation of the API.

    ``query`` and ``path`` hold a schema for each parameter; one of the query need not be given.
    ``body`` and ``result`` are schemas of what is sent and of what comes back, by media type where it
    is not JSON; ``status`` is that of a success, and ``refused`` adds to ``REFUSED``.
    """

    summary: str
    result: Schema
    body: Schema | None = None
    query: Mapping[str, Schema] = field(default_factory=dict)
    path: Mapping[str, Schema] = field(default_factory=dict)
    status: str = "200"
    body_type: str = JSON
    result_type: str = JSON
    refused: Mapping[str, str] = field(default_factory=dict)
    example: Any = None

    def tree(self, name: str) -> dict[str, Any]:
        """Return it as it stands in the description; ``name`` is that of its view."""
        tree: dict[str, Any] = {"summary": self.summary, "operationId": name}
        parameters = [*_parameters("path", self.path), *_parameters("query", self.query)]
        if parameters:
            tree["parameters"] = parameters
        if self.body is not None:
            body = content(self.body, self.body_type)
            if self.example is not None:
                body["content"][self.body_type]["example"] = self.example
            tree["requestBody"] = {"required": True, **body}
        problems = content({"$ref": "#/components/schemas/Problems"})
        success = {"description": "The result.", **content(self.result, self.result_type)}
        refusals = {
            status: {"description": why, **problems}
            for status, why in sorted({**REFUSED, **self.refused}.items())
        }
        return {**tree, "responses": {self.status: success, **refusals}}


def description() -> dict[str, Any]:
    """Return the whole description.

    Raises
    ------
    KeyError
        If a view for programs does not describe itself.
    """
    paths: dict[str, dict[str, Any]] = {}
    for method, path, name in addresses.ROUTES:
        if is_for_programs(path):
            module, _, view = name.partition(".")
            views = import_module(f"foldspan.browser.views.{module}")
            operation: Operation = views.OPERATIONS[view]
            paths.setdefault(path, {})[method.lower()] = operation.tree(view)
    return {
        "openapi": "3.1.0",
        "info": {"title": "foldspan", "version": "1", "description": ABOUT},
        "security": [{"token": []}],
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "schemas": {"Problems": PROBLEMS, **components()},
        },
        "paths": paths,
    }


def an_object(properties: Mapping[str, Any], *required: str, **more: Any) -> dict[str, Any]:
    """Return the schema of an object with these properties."""
    return {
        "type": "object", "required": list(required), "properties": dict(properties), **more,
    }  # fmt: skip


def content(schema: Schema, media_type: str = JSON) -> dict[str, Any]:
    """Return a schema as the content of a request or a response."""
    return {"content": {media_type: {"schema": dict(schema)}}}


def _parameters(place: str, given: Mapping[str, Schema]) -> list[dict[str, Any]]:
    return [
        {"name": name, "in": place, "required": place == "path", "schema": dict(schema)}
        for name, schema in given.items()
    ]


_PROBLEM = {name: {"type": "string"} for name in ("code", "where", "what", "remedy")}
PROBLEMS = an_object(
    {
        "schema_version": {"type": "integer"},
        "problems": {"type": "array", "minItems": 1, "items": an_object(_PROBLEM, *_PROBLEM)},
    },
    "schema_version", "problems",
)  # fmt: skip

"""JSON API: reconcile, explain and change for programs, with the schemas of ``--json``."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from starlette.responses import JSONResponse, Response

from foldspan.api.change import change
from foldspan.api.explain import explain
from foldspan.api.reconcile import reconcile
from foldspan.browser.app import Asked
from foldspan.browser.shown import problems_response
from foldspan.problems import FoldspanError, Problem
from foldspan.visit.model import Visit

OPTIONS = ("reference_method", "conversion", "with_disputed", "as_printed")
BODY = "a JSON object with a visit, shaped like a visit file"


def reconcile_json(asked: Asked) -> Response:
    """Reconcile one visit."""
    return _answered(asked, lambda visits, options: reconcile(visits[0], **options).to_dict(), 1)


def explain_json(asked: Asked) -> Response:
    """Explain one visit."""
    return _answered(asked, lambda visits, options: explain(visits[0], **options).to_dict(), 1)


def change_json(asked: Asked) -> Response:
    """Tell what changed over two visits or more, the earliest first."""
    return _answered(asked, lambda visits, options: change(*visits, **options).to_dict(), 2)


def _answered(asked: Asked, answer: Any, least: int) -> Response:
    try:
        tree = _tree(asked.body)
        visits = _visits(tree, least)
        options = {name: tree[name] for name in OPTIONS if name in tree}
        for name in ("with_disputed", "as_printed"):
            if not isinstance(options.get(name, False), bool):
                raise FoldspanError(
                    [Problem("E501", name, "not true or false", "Write true or false.")]
                )
        return JSONResponse(answer(visits, {**asked.desk.settings, **options}))
    except FoldspanError as error:
        return problems_response(error.problems, 422)


def _tree(body: bytes) -> Mapping[str, Any]:
    try:
        tree = json.loads(body)
        json.dumps(tree, ensure_ascii=False).encode()  # half a character can be read, not written
    except (ValueError, RecursionError) as error:
        remedy = f"Send {BODY}."
        raise FoldspanError([Problem("E305", "body", "not JSON", remedy)]) from error
    if not isinstance(tree, Mapping):
        raise FoldspanError([Problem("E121", "body", "not an object", f"Send {BODY}.")])
    return tree


def _visits(tree: Mapping[str, Any], least: int) -> list[Visit]:
    given = tree.get("visits") if least > 1 else [tree.get("visit")]
    if (
        not isinstance(given, list)
        or len(given) < least
        or not all(isinstance(x, Mapping) for x in given)
    ):
        name = "visits" if least > 1 else "visit"
        remedy = "Send two or more visits, earliest first." if least > 1 else f"Send {BODY}."
        raise FoldspanError([Problem("E121", name, "missing, or not in this form", remedy)])
    accept = tree.get("accept_unusual") is True
    return [
        Visit.from_dict(visit, where=f"visit {order}", accept_unusual=accept)
        for order, visit in enumerate(given, start=1)
    ]


def openapi_json(asked: Asked) -> Response:
    """Describe the API."""
    return JSONResponse(_description())


def _description() -> dict[str, Any]:
    visit = {"type": "object", "description": "A visit, shaped like a visit file."}
    several = {"type": "array", "items": visit, "minItems": 2}
    paths = {
        "reconcile": ("Reconcile one visit", _object({"visit": visit, **_OPTIONS}, "visit")),
        "explain": ("Explain one visit", _object({"visit": visit, **_OPTIONS}, "visit")),
        "change": (
            "Assess what changed between visits",
            _object({"visits": several, **_OPTIONS}, "visits"),
        ),
    }
    about = (
        "Results have the form described in docs/json.md. Every error is a list of problems, each"
        " with a code from docs/problem-codes.md and a remedy. A screening aid, not a diagnosis."
    )
    return {
        "openapi": "3.1.0",
        "info": {"title": "foldspan", "version": "1", "description": about},
        "security": [{"token": []}],
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "schemas": {"Problems": _PROBLEMS},
        },
        "paths": {f"/api/v1/{name}": _path(name, *described) for name, described in paths.items()},
    }


def _path(name: str, summary: str, body: dict[str, Any]) -> dict[str, Any]:
    problems = _content({"$ref": "#/components/schemas/Problems"})
    return {
        "post": {
            "summary": summary,
            "operationId": name,
            "requestBody": {"required": True, **_content(body)},
            "responses": {
                "200": {"description": "The result.", **_content({"type": "object"})},
                **{status: {"description": why, **problems} for status, why in _REFUSED.items()},
            },
        }
    }


def _object(properties: dict[str, Any], *required: str) -> dict[str, Any]:
    return {"type": "object", "required": list(required), "properties": properties}


def _content(schema: dict[str, Any]) -> dict[str, Any]:
    return {"content": {"application/json": {"schema": schema}}}


# every refusal has the same form: code, where, what, and how to go on
_REFUSED: dict[str, str] = {
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
_OPTIONS: dict[str, Any] = {
    "reference_method": {"type": "string", "enum": ["dxa", "density"]},
    "conversion": {"type": "string"},
    "with_disputed": {"type": "boolean"},
    "as_printed": {"type": "boolean"},
    "accept_unusual": {"type": "boolean"},
}
_PROBLEM = {name: {"type": "string"} for name in ("code", "where", "what", "remedy")}
_PROBLEMS = _object(
    {
        "schema_version": {"type": "integer"},
        "problems": {"type": "array", "items": _object(_PROBLEM, *_PROBLEM)},
    },
    "schema_version", "problems",
)  # fmt: skip

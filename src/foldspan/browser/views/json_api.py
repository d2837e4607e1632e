"""JSON API: reconcile, explain and change for programs, with the schemas of ``--json``."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from starlette.responses import JSONResponse, Response

from foldspan.api.change import change
from foldspan.api.explain import explain
from foldspan.api.reconcile import reconcile
from foldspan.api.schemas.published import component
from foldspan.browser.app import PageRequest
from foldspan.browser.openapi import Operation, an_object, description
from foldspan.browser.shown import problems_response
from foldspan.problems import FoldspanError, Problem
from foldspan.visit.client import KNOWN_SEXES
from foldspan.visit.keys import SECTIONS
from foldspan.visit.model import Visit

OPTIONS = ("reference_method", "conversion", "with_disputed", "as_printed")
FLAGS = ("with_disputed", "as_printed", "accept_unusual")
BODY = "a JSON object with a visit, shaped like a visit file"


def reconcile_json(request: PageRequest) -> Response:
    """Reconcile one visit."""
    return _answered(request, lambda visits, options: reconcile(visits[0], **options).to_dict(), 1)


def explain_json(request: PageRequest) -> Response:
    """Explain one visit."""
    return _answered(request, lambda visits, options: explain(visits[0], **options).to_dict(), 1)


def change_json(request: PageRequest) -> Response:
    """Tell what changed over two visits or more, the earliest first."""
    return _answered(request, lambda visits, options: change(*visits, **options).to_dict(), 2)


def _answered(request: PageRequest, answer: Any, least: int) -> Response:
    try:
        tree = tree_of(request.body)
        visits = visits_of(tree, least)
        options = {name: tree[name] for name in OPTIONS if name in tree}
        flags_of(tree)
        return JSONResponse(answer(visits, {**request.desk.settings, **options}))
    except FoldspanError as error:
        return problems_response(error.problems, 422)


def flags_of(tree: Mapping[str, Any]) -> None:
    """Check what is true or false.

    Raises
    ------
    FoldspanError
        E501 for anything else.
    """
    for name in FLAGS:
        if not isinstance(tree.get(name, False), bool):
            raise FoldspanError(
                [Problem("E501", name, "not true or false", "Write true or false.")]
            )


def tree_of(body: bytes, form: str = BODY) -> Mapping[str, Any]:
    """Return what was sent as JSON; ``form`` says in words what is to be sent.

    Raises
    ------
    FoldspanError
        E305 where it is none, E121 where it is no object.
    """
    try:
        tree = json.loads(body)
        json.dumps(tree, ensure_ascii=False).encode()  # half a character can be read, not written
    except (ValueError, RecursionError) as error:
        remedy = f"Send {form}."
        raise FoldspanError([Problem("E305", "body", "not JSON", remedy)]) from error
    if not isinstance(tree, Mapping):
        raise FoldspanError([Problem("E121", "body", "not an object", f"Send {form}.")])
    return tree


def visits_of(tree: Mapping[str, Any], least: int) -> list[Visit]:
    """Return the visit that was sent, or the visits where there must be two at least.

    Raises
    ------
    FoldspanError
        E121 where there is none, or with every problem found in them.
    """
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


def openapi_json(request: PageRequest) -> Response:
    """Describe the API."""
    return JSONResponse(description())


# a number in the unit of its section, a text with its unit, or up to three of them
_READING = {"anyOf": [{"type": "number"}, {"type": "string"}]}
_READINGS = {"anyOf": [*_READING["anyOf"], {"type": "array", "items": _READING, "minItems": 1}]}
VISIT: dict[str, Any] = {
    **an_object(
        {
            "client": an_object(
                {
                    "sex": {"type": "string", "enum": [*KNOWN_SEXES]},
                    "age_years": {"anyOf": [{"type": "number"}, {"type": "string"}]},
                },
                "sex",
            ),
            "visit": {"type": "object"},
            **{
                section: an_object(dict.fromkeys(names, _READINGS))
                for section, names in SECTIONS.items()
            },
            "intake": {"type": "object"},
        },
        "client",
    ),
    "description": "A visit, shaped like a visit file.",
}
OPTION_SCHEMAS: dict[str, Any] = {
    "reference_method": {"type": "string", "enum": ["dxa", "density"]},
    "conversion": {"type": "string"},
    "with_disputed": {"type": "boolean"},
    "as_printed": {"type": "boolean"},
    "accept_unusual": {"type": "boolean"},
}


def _body(name: str, schema: dict[str, Any]) -> dict[str, Any]:
    return an_object({name: schema, **OPTION_SCHEMAS}, name)


EXAMPLE: dict[str, Any] = {
    "client": {"sex": "female", "age_years": 41},
    "visit": {"date": "2026-03-04"},
    "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
}
_LATER = EXAMPLE | {"visit": {"date": "2026-06-10"}, "mass_height": {"weight_kg": 69.8}}
OPERATIONS: dict[str, Operation] = {
    "reconcile_json": Operation(
        "Reconcile one visit",
        component("reconcile"),
        body=_body("visit", VISIT),
        example={"visit": EXAMPLE},
    ),
    "explain_json": Operation(
        "Explain one visit",
        component("explain"),
        body=_body("visit", VISIT),
        example={"visit": EXAMPLE},
    ),
    "change_json": Operation(
        "Assess what changed between visits",
        component("change"),
        body=_body("visits", {"type": "array", "items": VISIT, "minItems": 2}),
        example={"visits": [EXAMPLE, _LATER]},
    ),
    "openapi_json": Operation("Describe the API", an_object({"openapi": {"type": "string"}})),
}

"""JSON API: the equations of the catalogue, and what one gives for a visit."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from starlette.responses import JSONResponse, Response

from foldspan.api.cards.search import LONGEST_WORDS, Wanted, card_of, choices, equation_of, search
from foldspan.api.cards.tree import tree
from foldspan.api.cards.value import OPTIONS, equation_value
from foldspan.api.schemas.published import component
from foldspan.browser.app import PageRequest
from foldspan.browser.openapi import Operation, Schema, an_object
from foldspan.browser.shown import problems_response
from foldspan.browser.views.json_api import (
    EXAMPLE,
    OPTION_SCHEMAS,
    VISIT,
    flags_of,
    tree_of,
    visits_of,
)
from foldspan.problems import FoldspanError, Problem


def equations_json(request: PageRequest) -> Response:
    """List the equations that were asked for."""
    try:
        known = [field.name for field in fields(Wanted)]
        if set(request.query) - set(known):
            remedy = f"Use {', '.join(known)}."
            raise FoldspanError([Problem("E501", "query", "unknown name", remedy)])
        return JSONResponse([tree(card) for card in search(Wanted(**request.query))])
    except FoldspanError as error:
        return problems_response(error.problems, 422)


def equation_json(request: PageRequest) -> Response:
    """Return one equation, or one conversion."""
    try:
        return JSONResponse(tree(card_of(request.path["key"])))
    except FoldspanError as error:
        return problems_response(error.problems, 404)


def value_json(request: PageRequest) -> Response:
    """Return what one equation gives for a visit."""
    try:
        card = equation_of(request.path["key"])
    except FoldspanError as error:
        return problems_response(error.problems, 404)
    try:
        sent = tree_of(request.body)
        visit = visits_of(sent, 1)[0]
        flags_of(sent)
        given = {name: request.desk.settings.get(name, usual) for name, usual in OPTIONS.items()}
        given |= {name: sent[name] for name in OPTIONS if name in sent}
        local = request.desk.settings.get("local")
        return JSONResponse(equation_value(card, visit, local=local, **given).to_dict())
    except FoldspanError as error:
        return problems_response(error.problems, 422)


_KEY: Schema = {"type": "string", "minLength": 1, "pattern": "^[a-z0-9_]+$", "maxLength": 80}
# a question may be left open in two ways: not asked, or answered with nothing
_QUERY: dict[str, dict[str, Any]] = {"words": {"type": "string", "maxLength": LONGEST_WORDS}} | {
    name: {"type": "string", "enum": ["", *known]} for name, known in choices().items()
}
_BODY: dict[str, Any] = an_object(
    {
        "visit": VISIT,
        **{name: OPTION_SCHEMAS[name] for name in (*OPTIONS, "accept_unusual")},
    },
    "visit",
)
OPERATIONS: dict[str, Operation] = {
    "equations_json": Operation(
        "List equations by words, site, sex, method group, reference method and status",
        {"type": "array", "items": component("equations")},
        query=_QUERY,
    ),
    "equation_json": Operation(
        "One equation, or one conversion from density to fat",
        {"anyOf": [component("equations"), component("conversion")]},
        path={"key": _KEY},
    ),
    "value_json": Operation(
        "What one equation gives for a visit",
        component("value"),
        body=_BODY,
        path={"key": {**_KEY, "examples": ["deurenberg1991_both_bmi"]}},
        example={"visit": EXAMPLE},
    ),
}

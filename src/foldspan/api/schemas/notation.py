"""Notation: how shapes write down what a key holds, and what that is in JSON Schema and in words.

``number``, ``integer``, ``count``, ``chance`` (0 to 1), ``text``, ``flag`` and ``any`` are plain values,
``a|b`` is one of these words, ``<range>`` another shape, ``[x]`` a list, ``[x*2]`` a list of two,
``{x}`` a mapping by code. A ``?`` behind it allows null. A key ends with ``?`` where it may be missing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

Shape = Mapping[str, str]

PLAIN: dict[str, dict[str, Any]] = {
    "number": {"type": "number"},
    "integer": {"type": "integer"},
    "count": {"type": "integer", "minimum": 0},
    "chance": {"type": "number", "minimum": 0, "maximum": 1},
    "text": {"type": "string"},
    "flag": {"type": "boolean"},
    "any": {},
}
_IN_WORDS = {
    "number": "number", "integer": "whole number", "count": "whole number", "chance": "number",
    "text": "text", "flag": "true or false", "any": "anything",
}  # fmt: skip
_SEVERAL = {
    "number": "numbers", "integer": "whole numbers", "count": "whole numbers", "chance": "numbers",
    "text": "texts",
}  # fmt: skip
_BY_CODE = ("", "by key: ", "by two keys: ", "by three keys: ")


def schema_of(written: str, ref: Callable[[str], dict[str, Any]]) -> dict[str, Any]:
    """Return the JSON Schema of a value; ``ref`` refers to another shape.

    Examples
    --------
    >>> schema_of("[number*2]?", lambda name: {"$ref": name})["type"]
    ['array', 'null']
    """
    if written.endswith("?"):
        return _or_null(schema_of(written[:-1], ref))
    if written.startswith("["):
        inner, _, length = written[1:-1].partition("*")
        held = {"type": "array", "items": schema_of(inner, ref)}
        return held | ({"minItems": int(length), "maxItems": int(length)} if length else {})
    if written.startswith("{"):
        return {"type": "object", "additionalProperties": schema_of(written[1:-1], ref)}
    if written.startswith("<"):
        return ref(written[1:-1])
    if "|" in written:
        return {"type": "string", "enum": written.split("|")}
    return dict(PLAIN[written])


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    if "$ref" in schema:
        return {"anyOf": [schema, {"type": "null"}]}
    extra = {"enum": [*schema["enum"], None]} if "enum" in schema else {}
    return schema | {"type": [schema["type"], "null"]} | extra


def object_of(shape: Shape, ref: Callable[[str], dict[str, Any]]) -> dict[str, Any]:
    """Return the schema of a mapping with the keys of a shape, and no others."""
    return {
        "type": "object",
        "required": [key for key in shape if not key.endswith("?")],
        "properties": {key.rstrip("?"): schema_of(held, ref) for key, held in shape.items()},
        "additionalProperties": False,
    }


def shapes_in(written: str) -> Iterator[str]:
    """Yield the names of the shapes that a value holds."""
    yield from re.findall(r"<(\w+)>", written)


def in_words(written: str, link: Callable[[str], str]) -> str:
    """Return what a value is, in the words of docs/json.md; ``link`` names another shape.

    Examples
    --------
    >>> in_words("{{count}}", str), in_words("[text]", str), in_words("agree|single?", str)
    ('by two keys: whole number', 'list of texts', '`agree`, `single` or null')
    """
    if written.endswith("?"):
        inner = in_words(written[:-1], link)
        is_choice = written == "flag?" or "|" in written
        return f"{inner.replace(' or ', ', ') if is_choice else inner} or null"
    if written.startswith("["):
        inner, _, length = written[1:-1].partition("*")
        if inner.startswith("["):
            return "list of lists"
        many, plain = {"2": "two ", "": "list of "}[length], inner.rstrip("?")
        or_null = " or null" if inner.endswith("?") else ""
        if plain in _SEVERAL:
            return f"{many}{_SEVERAL[plain]}{or_null}"
        return f"list of: {link(plain[1:-1])}{or_null}"
    depth = len(written) - len(written.lstrip("{"))
    if depth:
        inner = written[depth:-depth]
        return "by key" if inner == "any" else _BY_CODE[depth] + in_words(inner, link)
    if written.startswith("<"):
        return link(written[1:-1])
    if "|" in written:
        *first, last = (f"`{word}`" for word in written.split("|"))
        return f"{', '.join(first)} or {last}"
    return _IN_WORDS[written]

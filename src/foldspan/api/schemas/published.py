"""Published: JSON Schema of every shape, whole for a file or in parts for the description of the API."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from foldspan.api.schemas import of_tables, of_visits
from foldspan.api.schemas.notation import Shape, object_of, shapes_in
from foldspan.results.result import SCHEMA_VERSION

RESULTS: dict[str, Shape] = of_visits.RESULTS | of_tables.RESULTS
SHAPES: dict[str, Shape] = RESULTS | of_visits.PARTS | of_tables.PARTS
DIALECT = "https://json-schema.org/draft/2020-12/schema"
# the export of a client is not a result, and has a version of its own
VERSIONS = {"client": 1}


def shapes_within(name: str) -> list[str]:
    """Return the names of all shapes inside one, in the order in which they are met."""
    met: dict[str, None] = {}
    waiting = [name]
    while waiting:
        for written in SHAPES[waiting.pop(0)].values():
            for inner in shapes_in(written):
                if inner not in met:
                    met[inner] = None
                    waiting.append(inner)
    return [*met]


def part(name: str, ref: Callable[[str], dict[str, Any]]) -> dict[str, Any]:
    """Return the schema of one shape; ``ref`` refers to another."""
    schema = object_of(SHAPES[name], ref)
    version = schema["properties"].get("schema_version")
    if version is not None:
        version["const"] = VERSIONS.get(name, SCHEMA_VERSION)
    return schema


def components() -> dict[str, Any]:
    """Return every shape as the description of the API holds them."""
    return {name: part(name, component) for name in SHAPES}


def component(name: str) -> dict[str, Any]:
    """Return how the description of the API refers to a shape."""
    return {"$ref": f"#/components/schemas/{name}"}


def whole(
    name: str,
    titles: Mapping[str, str] | None = None,
    words: Mapping[str, Mapping[str, str]] | None = None,
) -> dict[str, Any]:
    """Return the schema of one result with all that it holds, as it is published.

    Parameters
    ----------
    name : str
        One of ``RESULTS``.
    titles, words : mapping, optional
        Shape → its title, and shape → key → what it holds.
    """

    def ref(shape: str) -> dict[str, Any]:
        return {"$ref": "#" if shape == name else f"#/$defs/{shape}"}

    def described(shape: str) -> dict[str, Any]:
        schema = part(shape, ref)
        for key, held in schema["properties"].items():
            said = (words or {}).get(shape, {}).get(key)
            if said:
                held["description"] = said
        title = (titles or {}).get(shape)
        return {"title": title, **schema} if title else schema

    inner = [shape for shape in shapes_within(name) if shape != name]
    top = described(name)
    return {
        "$schema": DIALECT,
        "$id": f"urn:foldspan:json:{VERSIONS.get(name, SCHEMA_VERSION)}:{name}",
        **top,
        **({"$defs": {shape: described(shape) for shape in inner}} if inner else {}),
    }

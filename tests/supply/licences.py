"""Libraries that foldspan needs, with what each brings along, and the licence that each one states."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
EXTRAS = ("browser", "frames", "pages", "sheets", "cluster")
SHORT = 40  # a longer field holds the whole text of a licence


def first_needed() -> set[str]:
    """What foldspan and its extras name themselves."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    texts = [*project["dependencies"]]
    texts += [text for extra in EXTRAS for text in project["optional-dependencies"][extra]]
    return {canonicalize_name(Requirement(text).name) for text in texts} - {"foldspan"}


def all_needed() -> dict[str, Distribution]:
    """Those and whatever they bring along here, as installed."""
    found: dict[str, Distribution] = {}
    waiting = [(name, frozenset({""})) for name in sorted(first_needed())]
    seen = set()
    while waiting:
        name, extras = waiting.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            continue  # what a library could do without
        for text in found[name].requires or ():
            requirement = Requirement(text)
            if requirement.marker is None or any(
                requirement.marker.evaluate({"extra": part}) for part in extras
            ):
                waiting.append(
                    (canonicalize_name(requirement.name), frozenset({"", *requirement.extras}))
                )
    return found


def licence_of(library: Distribution) -> str:
    """The licence as the library states it: its expression, its classifier, or a short field."""
    about = library.metadata
    if stated := about.get("License-Expression"):
        return str(stated)
    prefix = "License :: OSI Approved :: "
    groups = [classifier.removeprefix(prefix) for classifier in about.get_all("Classifier") or ()
              if classifier.startswith(prefix)]  # fmt: skip
    field = (about.get("License") or "").strip()
    return " AND ".join(groups) or (field if len(field) <= SHORT else "") or "not stated"


def parts(licence: str) -> set[str]:
    """The single licences of an expression."""
    return {part.strip() for part in re.split(r"[()]| AND | OR | WITH ", licence)} - {""}


def table() -> str:
    """The table of docs/libraries.md."""
    first = first_needed()
    rows = [f"| {name} | {licence_of(library)} | {'foldspan' if name in first else 'a library'} |"
            for name, library in sorted(all_needed().items())]  # fmt: skip
    return "\n".join(("| library | licence it states | needed by |", "|---|---|---|", *rows))


if __name__ == "__main__":
    print(table())

"""Licences of what foldspan needs: docs/libraries.md has each as the library states it."""

from __future__ import annotations

import re
from functools import cache
from importlib.metadata import Distribution

import pytest
from packaging.utils import canonicalize_name

from supply.licences import ROOT, all_needed, first_needed, licence_of, parts

PAGE = (ROOT / "docs" / "libraries.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| ([a-z0-9-]+) \| (.+?) \| (foldspan|a library) \|$", re.MULTILINE)
TABLE = {name: (licence, by) for name, licence, by in ROW.findall(PAGE)}
LOCKED = {
    (canonicalize_name(name), version)
    for name, version in re.findall(
        r"^([\w.-]+)==([^\s;\\]+)", (ROOT / ".ci" / "locked.txt").read_text("utf-8"), re.MULTILINE
    )
}
RENEW = "PYTHONPATH=tests python -m supply.licences prints the table anew; read a new licence first"
needed = cache(all_needed)


def fault_of(name: str, library: Distribution) -> str:
    """What the page does not know of a library, "" for nothing.

    At its locked version the page has its very words. A later one may bring a library along or word
    its licence anew: then each single licence has to be one that the page already knows.
    """
    licence = licence_of(library)
    by = "foldspan" if name in first_needed() else "a library"
    if (name, library.version) in LOCKED:
        return "" if TABLE.get(name) == (licence, by) else f"{name}: {licence} ({by})"
    known = {part for words, _ in TABLE.values() for part in parts(words)}
    return "" if parts(licence) <= known else f"{name} {library.version}: {licence}"


def test_every_licence_is_on_the_page() -> None:
    faults = [fault for name, library in needed().items() if (fault := fault_of(name, library))]
    assert faults == [], RENEW


def test_the_page_names_all_that_foldspan_names_and_nothing_that_is_not_locked() -> None:
    assert {name for name, (_, by) in TABLE.items() if by == "foldspan"} == first_needed()
    assert set(TABLE) <= {name for name, _ in LOCKED}
    assert list(TABLE) == sorted(TABLE)
    assert first_needed() <= set(needed())


def test_no_library_binds_what_uses_it() -> None:
    """What foldspan's own licence allows stays allowed with its libraries."""
    assert not [name for name, (licence, _) in TABLE.items()
                if re.search("GPL|General Public|CDDL|Commercial|not stated", licence)]  # fmt: skip


class Invented:
    """A library with metadata of its own."""

    def __init__(self, version: str, **about: object) -> None:
        self.version, self.metadata = version, self
        self._about = about

    def get(self, key: str) -> object:
        return self._about.get(key.replace("-", ""))

    def get_all(self, key: str) -> object:
        return self._about.get(key)


@pytest.mark.parametrize(
    ("name", "version", "about", "is_fault"),
    [
        ("numpy", "", {"LicenseExpression": "GPL-3.0-only"}, True),
        ("numpy", "", {"LicenseExpression": "BSD-3-Clause"}, True),  # other words, same version
        ("numpy", "99.0", {"LicenseExpression": "BSD-3-Clause AND (MIT OR Zlib)"}, False),
        ("numpy", "99.0", {"LicenseExpression": "BSD-3-Clause AND SSPL-1.0"}, True),
        ("new", "1.0", {"Classifier": ["License :: OSI Approved :: MIT License"]}, False),
        ("new", "1.0", {"License": "Permission is granted to nobody at all, " * 3}, True),
        ("new", "1.0", {}, True),
    ],
)
def test_a_new_or_changed_licence_is_noticed(
    name: str, version: str, about: dict[str, object], is_fault: bool
) -> None:
    locked = next(have for known, have in sorted(LOCKED) if known == "numpy")
    library: Distribution = Invented(version or locked, **about)  # type: ignore[assignment]
    assert bool(fault_of(name, library)) == is_fault

"""The lock: every library that pyproject.toml names, at a version that it allows, with hashes."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LOCKED = (ROOT / ".ci" / "locked.txt").read_text(encoding="utf-8")
ENTRY = re.compile(
    r"^([A-Za-z0-9._-]+)==([^\s;\\]+)(?: ; ([^\\\n]+?))? \\\n((?:    --hash=\S+(?: \\)?\n)+)",
    re.MULTILINE,
)


def wanted() -> list[Requirement]:
    """What foldspan, its extras, its tests and its build need."""
    project = PROJECT["project"]
    texts = [
        *project["dependencies"],
        *(text for extra in project["optional-dependencies"].values() for text in extra),
        *(text for group in PROJECT["dependency-groups"].values() for text in group),
        *PROJECT["build-system"]["requires"],
    ]
    return [
        requirement for requirement in map(Requirement, texts) if requirement.name != "foldspan"
    ]


@pytest.fixture(scope="module")
def locked() -> dict[str, list[Version]]:
    """Library → its locked versions: one, or one for each range of Pythons."""
    found: dict[str, list[Version]] = {}
    for name, version, _, _ in ENTRY.findall(LOCKED):
        found.setdefault(canonicalize_name(name), []).append(Version(version))
    return found


def test_every_library_is_locked_at_an_allowed_version(locked: dict[str, list[Version]]) -> None:
    for requirement in wanted():
        versions = locked.get(canonicalize_name(requirement.name), [])
        assert versions, f"{requirement.name}: not locked; run bash .ci/lock"
        for version in versions:
            assert version in requirement.specifier, (
                f"{requirement}: {version} is locked; run bash .ci/lock"
            )


def test_every_entry_has_hashes_and_nothing_else_is_in_the_file() -> None:
    rest = ENTRY.sub("", re.sub(r"^#.*\n", "", LOCKED, flags=re.MULTILINE))
    assert rest == ""
    for name, _, _, hashes in ENTRY.findall(LOCKED):
        each = [word for word in hashes.split() if word != "\\"]
        assert all(re.fullmatch(r"--hash=sha256:[0-9a-f]{64}", word) for word in each), name
        assert len(set(each)) == len(each), name


def test_no_place_that_only_one_machine_knows() -> None:
    assert not re.search(r"://|index-url|find-links|file:|@", LOCKED)
    assert not re.search(r"(^|[\s=])/[a-z]", LOCKED)


def test_markers_that_share_a_library_never_overlap() -> None:
    """On a given machine each library has one version."""
    for python in ("3.11.7", "3.12.1", "3.13.0", "3.14.0"):
        here = {"python_full_version": python, "python_version": python.rpartition(".")[0]}
        seen = set()
        for name, _version, marker, _ in ENTRY.findall(LOCKED):
            condition = Requirement(f"{name} ; {marker}").marker if marker else None
            if condition is None or condition.evaluate(here):
                assert name not in seen, f"{name} twice with Python {python}"
                seen.add(name)
        assert {"numpy", "scipy", "pytest"} <= seen


def test_the_least_python_is_that_of_the_lock() -> None:
    least = PROJECT["project"]["requires-python"].removeprefix(">=")
    assert f"--python-version {least}" in (ROOT / ".ci" / "lock").read_text(encoding="utf-8")
    stated = {
        line.rpartition(" ")[2]
        for line in PROJECT["project"]["classifiers"]
        if line.startswith("Programming Language :: Python :: 3.")
    }
    tried = re.search(r"VERSIONS = \((.*?)\)", (ROOT / ".ci" / "pythons").read_text("utf-8"))
    assert tried is not None
    assert set(re.findall(r"[\d.]+", tried[1])) == stated
    assert min(stated, key=Version) == least

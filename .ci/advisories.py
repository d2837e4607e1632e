"""Compare .ci/locked.txt with published advisories, without a network.

``python .ci/advisories.py FILE``: a folder, a zip or a JSON file of advisories in the Open Source
Vulnerability format (https://ossf.github.io/osv-schema/), as they are published for PyPI. What to do
about one: docs/libraries.md. Ends with 1 where a locked version is affected.
"""

from __future__ import annotations

import json
import re
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from packaging.utils import canonicalize_name
from packaging.version import InvalidVersion, Version

LOCKED = Path(__file__).with_name("locked.txt")
LINE = re.compile(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)", re.MULTILINE)


def locked(text: str) -> list[tuple[str, Version]]:
    """Every library of the lock with its version; some have one for each range of Pythons."""
    return [(canonicalize_name(name), Version(version)) for name, version in LINE.findall(text)]


def advisories(place: Path) -> Iterator[dict[str, Any]]:
    """Every advisory of a folder, a zip or a file; a file may hold a list of them."""
    if place.is_dir():
        texts = (path.read_bytes() for path in sorted(place.rglob("*.json")))
    elif zipfile.is_zipfile(place):
        packed = zipfile.ZipFile(place)
        texts = (packed.read(name) for name in packed.namelist() if name.endswith(".json"))
    else:
        texts = iter([place.read_bytes()])
    for text in texts:
        found = json.loads(text)
        yield from found if isinstance(found, list) else [found]


def _in_range(version: Version, events: list[dict[str, str]]) -> bool:
    """Whether a version lies in one of the stretches that events open and close."""
    is_in, open_since = False, None
    for event in events:
        (kind, text), *_ = event.items()
        if kind == "introduced":
            open_since = Version(text)
        elif open_since is not None and kind in ("fixed", "last_affected"):
            end = Version(text)
            is_before = version < end if kind == "fixed" else version <= end
            is_in |= open_since <= version and is_before
            open_since = None
    return is_in or (open_since is not None and open_since <= version)


def affects(part: dict[str, Any], name: str, version: Version) -> bool:
    """Whether one part of an advisory means this version; what cannot be compared counts as a yes."""
    package = part.get("package", {})
    if package.get("ecosystem") != "PyPI" or canonicalize_name(package.get("name", "")) != name:
        return False
    if str(version) in part.get("versions", ()):
        return True
    try:
        return any(
            _in_range(version, stretch["events"])
            for stretch in part.get("ranges", ())
            if stretch["type"] == "ECOSYSTEM"
        )
    except InvalidVersion:
        return True


def main(place: str) -> int:
    """Print what affects a locked version; return the exit code."""
    libraries, read = locked(LOCKED.read_text(encoding="utf-8")), 0
    found = set()
    for advisory in advisories(Path(place)):
        read += 1
        if "withdrawn" in advisory:
            continue
        for name, version in libraries:
            if any(affects(part, name, version) for part in advisory.get("affected", ())):
                found.add(
                    f"{name} {version}: {advisory['id']} {advisory.get('summary', '')}".strip()
                )
    print(*sorted(found), sep="\n", end="\n" if found else "")
    print(f"{len(libraries)} libraries, {read} advisories, {len(found)} to look at")
    if not read:
        print(f"{place} holds no advisory", file=sys.stderr)
    return int(bool(found) or not read)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

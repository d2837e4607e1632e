"""Stage: the pages as Sphinx reads them, in a folder of their own.

The pages stay as they are read on a code host; links that lead out of docs/ are turned to where their
targets stand on the site. One that leads nowhere stops the work.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

SITE = Path(__file__).parent
DOCS = SITE.parent
ROOT = DOCS.parent
# files outside docs/ that are pages of the site, by their names there
ELSEWHERE = {
    ROOT / "README.md": "start.md",
    ROOT / "DEVELOPERS.md": "contributors.md",
    ROOT / "src" / "foldspan" / "THIRD_PARTY.md": "third-party.md",
    SITE / "index.md": "index.md",
    DOCS / "README.md": "all-pages.md",
}
# pages that are made, and where a link looks for them
MADE = {SITE / "reference.md": "reference.md", ROOT / "LICENSE": "licence.md"}
LINK = re.compile(r"(?<=\]\()(?P<to>[^)\s]+)(?=\))")
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
MARK = re.compile(r'^<a id="([\w-]+)"></a>$', re.MULTILINE)


class Broken(Exception):
    """Something on a page that the site must not show."""


def places() -> dict[Path, str]:
    """Return every page and its name on the site."""
    return {page: page.name for page in sorted(DOCS.glob("*.md"))} | ELSEWHERE


def stage(folder: Path) -> None:
    """Write all pages, and whatever they show or link to, into an empty folder.

    Raises
    ------
    Broken
        For a link without a target, and for a Python example that nothing has run.
    """
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    at = places() | MADE
    faults: list[str] = []
    for page, name in places().items():
        text = page.read_text(encoding="utf-8")
        faults += [f"{page.name}: {fault}" for fault in not_run(text)]
        text = outside_code(text, partial(turned, page=page, at=at, folder=folder, faults=faults))
        (folder / name).write_text(text, encoding="utf-8")
    licence = (ROOT / "LICENSE").read_text(encoding="utf-8")
    (folder / "licence.md").write_text(f"# Licence\n\n```text\n{licence}```\n", encoding="utf-8")
    if faults:
        raise Broken("\n".join(faults))


def not_run(text: str) -> list[str]:
    """Return the Python examples of a page that pytest passes over: those without prompts."""
    return [
        f"a Python example that no test runs: {code.splitlines()[0]}"
        for kind, code in FENCE.findall(text)
        if kind == "python" and not code.startswith(">>> ")
    ]


def outside_code(text: str, change: Callable[[str], str]) -> str:
    """Return a page with everything changed that is no block of code."""
    parts, end = [], 0
    for found in FENCE.finditer(text):
        parts += [change(text[end : found.start()]), found[0]]
        end = found.end()
    return "".join([*parts, change(text[end:])])


def turned(part: str, page: Path, at: dict[Path, str], folder: Path, faults: list[str]) -> str:
    """Return a part of a page with its links and marks as they are on the site."""

    def link(found: re.Match[str]) -> str:
        to, _, anchor = found["to"].partition("#")
        if "://" in to or not to:
            return found[0]
        target = Path(os.path.normpath(page.parent / to))
        if target in at:
            return at[target] + (f"#{anchor}" if anchor else "")
        if not target.is_file():
            faults.append(f"{page.name}: no such file: {found['to']}")
            return found[0]
        name = target.relative_to(DOCS if target.is_relative_to(DOCS) else ROOT).as_posix()
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(target, folder / name)
        return name

    return MARK.sub(r"(\1)=", LINK.sub(link, part))

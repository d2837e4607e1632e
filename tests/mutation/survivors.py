"""Mutants that are left alive, each with its reason: ``survivors.toml``, and the table of the page."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from pathlib import Path

from mutation.mutants import ROOT, SOURCE, Mutant, Reading, mutated

PAGE = ROOT / "docs" / "mutation.md"
HEAD = "| module | function | line | change | why it is left alive |\n|---|---|---|---|---|\n"


@dataclass(frozen=True)
class Survivor:
    """One mutant that no test notices."""

    name: str
    module: str
    function: str
    source: str  # its line, stripped
    change: str
    reason: str

    @property
    def is_in_source(self) -> bool:
        """Whether its line still stands in its function."""
        read = Reading(SOURCE / self.module)
        return any(
            line.strip() == self.source and read.function_at(number) == self.function
            for number, line in enumerate(read.lines, start=1)
        )


def listed() -> list[Survivor]:
    """Those that are known."""
    text = Path(__file__).with_name("survivors.toml").read_text(encoding="utf-8")
    return [Survivor(**one) for one in tomllib.loads(text).get("survivor", ())]


def table(survivors: list[Survivor]) -> str:
    """Return the rows of the page, the modules in their order."""
    rows = sorted(survivors, key=lambda one: (one.module, one.function, one.source))
    return HEAD + "".join(
        f"| {one.module} | `{one.function or 'module'}` | {code(one.source)} | {one.change} |"
        f" {one.reason} |\n"
        for one in rows
    )


def code(text: str) -> str:
    """Return a line of source for a cell of a table."""
    return f"`{text}`".replace("|", r"\|")


def difference(mutant: Mutant) -> str:
    """Return what a mutant changes, as lines taken away and put in."""
    before = (SOURCE / mutant.module).read_text(encoding="utf-8").splitlines()
    lines = difflib.unified_diff(before, mutated(mutant).splitlines(), n=0, lineterm="")
    return "\n".join(line for line in lines if line[:3] not in ("---", "+++") and line[:2] != "@@")

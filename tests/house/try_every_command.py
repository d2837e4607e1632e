"""Run every command once with whatever is installed: ``python tests/house/try_every_command.py``.

For an environment with the lowest versions that pyproject.toml allows, where the tests themselves
cannot run: they need newer libraries. Each command has to end as it does everywhere. In one without
extras, what needs one has to say so before it writes anything, and all else has to work.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

from foldspan.extras import LIBRARIES

ROOT = Path(__file__).parents[2]
PROGRAM = Path(sys.executable).with_name("foldspan")
VISIT, LATER, INTAKE_VISIT = (
    f"examples/{name}.toml" for name in ("visit", "visit_later", "told_at_intake")
)
COMMANDS = ("reconcile", "explain", "change", "report", "measure", "records", "precision", "screen",
            "calibrate", "equations")  # fmt: skip


def runs(out: str) -> list[tuple[int, list[str]]]:
    """Every command with the exit code it has to end with."""
    return [
        (0, ["--version"]),
        (0, ["--help"]),
        *((0, [name, "--help"]) for name in COMMANDS),
        (0, ["reconcile", VISIT, "--all", "--budget"]),
        (0, ["reconcile", VISIT, "--json", "--units", "us"]),
        (2, ["reconcile", "examples/faulty.toml"]),
        (0, ["explain", "examples/disagreement.toml"]),
        (0, ["change", VISIT, LATER]),
        (0, ["precision", "examples/repeats.csv"]),
        (0, ["equations", "--method", "girth"]),
        (3, ["screen", "examples/clinic_day.csv", "-o", f"{out}/a.csv", "--letters", f"{out}/letters",
             "--referrals", f"{out}/refer.csv"]),
        (3, ["screen", "examples/clinic_day.csv", "-o", f"{out}/b.parquet", "--workers", "2"]),
        (0, ["screen", "examples/health_day.xlsx", "-o", f"{out}/c.xlsx", "--guess",
             "--map", "Waist (cm)=waist_iliac_cm"]),
        *(
            (0, ["report", INTAKE_VISIT, "-o", f"{out}/{reader}.{kind}", "--for", reader])
            for reader in ("client", "trainer", "clinician")
            for kind in ("html", "pdf", "json", "fhir.json")
        ),
        (0, ["report", VISIT, LATER, "-o", f"{out}/trend.png", "--figure", "trend"]),
        (0, ["report", VISIT, "-o", f"{out}/agreement.svg", "--figure", "agreement"]),
        (0, ["records", "import", VISIT, "--book", f"{out}/book.sqlite"]),
        (0, ["records", "list", "--book", f"{out}/book.sqlite"]),
    ]  # fmt: skip


def missing() -> set[str]:
    """The extras that are not installed here."""
    return {
        name
        for name, libraries in LIBRARIES.items()
        if not all(find_spec(library) for library in libraries)
    }


def needed(words: list[str]) -> str:
    """The extra that a command needs, "" for none."""
    if words[:1] == ["report"] and not words[-1].endswith((".json", "--help")):
        is_file = any(word.endswith((".html", ".pdf", ".png", ".svg")) for word in words)
        return "pages" if is_file else ""
    if any(word.endswith(".xlsx") for word in words):
        return "sheets"
    return "pages" if "--letters" in words else ""


def ended_otherwise(words: list[str], code: int, out: str) -> str:
    """Run one command; return how it ended, "" where it ended as it should."""
    lacks = needed(words) if needed(words) in missing() else ""
    before = {path.name for path in Path(out).rglob("*")}
    ran = subprocess.run(
        [PROGRAM, *words], cwd=ROOT, capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    if lacks:
        new = {path.name for path in Path(out).rglob("*")} - before
        says = "E309" in ran.stderr and f"foldspan[{lacks}]" in ran.stderr
        return "" if ran.returncode == 2 and says and not new else f"{ran.stderr[-800:]} {new}"
    is_well = ran.returncode == code and "foldspan failed" not in ran.stderr
    return "" if is_well else f"{ran.returncode} instead of {code}\n{ran.stderr[-800:]}"


def main() -> int:
    """Run them all; tell which ended otherwise, and how."""
    failed = 0
    with tempfile.TemporaryDirectory() as out:
        for code, words in runs(out):
            if how := ended_otherwise(words, code, out):
                failed += 1
                print(f"foldspan {' '.join(words)}: {how}")
    lacks = ", ".join(sorted(missing())) or "none"
    print(f"{len(runs(''))} commands, {failed} failed; extras missing: {lacks}")
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())

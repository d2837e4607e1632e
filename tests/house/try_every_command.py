"""Run every command once with whatever is installed: ``python tests/house/try_every_command.py``.

For an environment with the lowest versions that pyproject.toml allows, where the tests themselves
cannot run: they need newer libraries. Each command has to end as it does everywhere. In one without
extras, what needs one has to say so before it writes anything, and all else has to work.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROGRAM = Path(sys.executable).with_name("foldspan")
VISIT, LATER, TOLD = (
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
            (0, ["report", TOLD, "-o", f"{out}/{reader}.{kind}", "--for", reader])
            for reader in ("client", "trainer", "clinician")
            for kind in ("html", "pdf", "json", "fhir.json")
        ),
        (0, ["report", VISIT, LATER, "-o", f"{out}/trend.png", "--figure", "trend"]),
        (0, ["report", VISIT, "-o", f"{out}/agreement.svg", "--figure", "agreement"]),
        (0, ["records", "import", VISIT, "--book", f"{out}/book.sqlite"]),
        (0, ["records", "list", "--book", f"{out}/book.sqlite"]),
    ]  # fmt: skip


def main() -> int:
    """Run them all; tell which ended otherwise, and how."""
    failed = 0
    with tempfile.TemporaryDirectory() as out:
        for code, words in runs(out):
            ran = subprocess.run(
                [PROGRAM, *words],
                cwd=ROOT,
                capture_output=True,
                text=True,
                stdin=subprocess.DEVNULL,
            )
            if ran.returncode != code or "foldspan failed" in ran.stderr:
                failed += 1
                print(f"{ran.returncode} instead of {code}: foldspan {' '.join(words)}")
                print(ran.stderr[-800:])
    print(f"{len(runs(''))} commands, {failed} failed")
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())

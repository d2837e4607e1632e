"""Renew everything that follows from the catalogue, the standards and the words, in the right order.

    python tests/house/renew.py

What is learnt of the equations comes first, then what the range makes of it, then the pages that tell
it. Each step is a program of its own, so that it reads what the one before has written. Ends with what
has moved: look at it, a number that changed unexpectedly is a finding, not a chore.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
STEPS: dict[str, tuple[str, ...]] = {
    "what each equation reads off": ("tests/learning/learn_survey_errors.py",),
    "what folds read off by what they give": ("tests/learning/learn_proportional_bias.py",),
    "what a stated background adds": ("tests/learning/learn_backgrounds.py",),
    "how wide a range each plan gives": ("tests/learning/learn_plan_widths.py",),
    "how often flags are raised": ("tests/house/renew_rates.py",),
    "catalogue page": ("-m", "foldspan.cli.doc_pages.catalogue", "docs/catalogue.md"),
    "health tables": ("-m", "foldspan.cli.doc_pages.health_tables", "docs/health-tables.md"),
    "page of the JSON": ("-m", "foldspan.cli.doc_pages.json_page", "docs/json.md"),
    "schemas of the JSON": ("-m", "foldspan.cli.doc_pages.json_page", "docs/schemas"),
    "calibration page, method: what it was checked on": ("tests/open_data/calibration_page.py",),
    "method: how often usual bodies strain": ("tests/house/renew_method.py",),
    "what the pages' commands print": ("tests/house/renew_transcripts.py",),
    "pages for client, trainer and clinician": ("tests/house/renew_pages.py",),
    "pictures of the sites": ("tests/figures/draw_sites.py",),
    "drawing of the rooms": ("tests/house/draw_rooms.py",),
}
REMINDER = """
Look at the difference, then run the tests. If an answer moved, say by how much and why under Numbers in
docs/CHANGELOG.md."""


def main() -> None:
    """Run every step, and print what moved."""
    for place, (what, step) in enumerate(STEPS.items(), start=1):
        print(f"{place:2} of {len(STEPS)}: {what}", flush=True)
        subprocess.run([sys.executable, *step], cwd=ROOT, check=True)
    print("\nMoved against what was committed:", flush=True)
    subprocess.run(["git", "--no-pager", "diff", "--stat"], cwd=ROOT, check=False)
    print(REMINDER)


if __name__ == "__main__":
    main()

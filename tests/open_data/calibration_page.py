"""Write the tables and figures of docs/calibration.md, and the table of docs/method.md. By hand::

python tests/open_data/calibration_page.py

What stands between ``<!-- NAME -->`` and ``<!-- end -->`` on the page is written by the code under
that name; ``test_survey_2003.py`` holds the two together.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import pandas as pd

from foldspan.cli.calibrate import page
from foldspan.figures.coverage import coverage_figure
from foldspan.quantities import SEXES
from foldspan.validation.recalibration import learn_from
from foldspan.validation.scores import Judgement
from foldspan.validation.table import judge_ranges
from open_data import survey_2003_figures, survey_2003_tables
from open_data.export import TABLES
from open_data.survey_2003 import PEOPLE, SETS, ranges
from open_data.survey_2003_tables import folded, signed

DOCS = Path(__file__).parents[2] / "docs"
PAGE, METHOD = DOCS / "calibration.md", DOCS / "method.md"
SUMMARIES = {
    "survey_2017": "The survey of 2017-18 in numbers",
    "weighed_men": "The weighed men in numbers",
}


def referenced(name: str) -> pd.DataFrame:
    """Return an open table with its references, by its name in ``export.TABLES``."""
    load, reference_method = TABLES[name]
    people = load()
    return people.table.assign(
        reference_fat_percent=people.truth, reference_method=reference_method
    )


def judged(name: str) -> str:
    """Return the judgement of an open table, and what a local correction does on people left out."""
    table = referenced(name)
    learnt = learn_from(table)
    held, without = learnt.held_out, learnt.without
    local = [
        f"{100 * level:.0f}% range on people left out: {100 * held.coverage[level][0]:.1f}%"
        f" with a local correction, {100 * without.coverage[level][0]:.1f}% without"
        for level in (0.80, 0.95)
    ]
    local.append(f"stated error {held.claimed_se:.1f} with, {without.claimed_se:.1f} without")
    return folded(SUMMARIES[name], page(judge_ranges(table)) + "\n\n" + "\n".join(local))


def checked_on() -> str:
    """Return the table of docs/method.md: every set of people in one line."""
    rows: list[tuple[str, Judgement]] = []
    for name in SETS:
        for sex in SEXES:
            label = f"NHANES 2003-2004, {PEOPLE[sex]} 18-85, DXA; {name}"
            rows.append((label, ranges(name).of_sex(sex).judged()))
    by_sex = judge_ranges(referenced("survey_2017")).groups["sex"]
    for sex in SEXES:
        label = f"NHANES 2017-18, {PEOPLE[sex]} 18-59, DXA; BMI, waist"
        rows.append((label, by_sex[sex]))
    men = judge_ranges(referenced("weighed_men")).overall
    rows.append(("men weighed under water; weight, height, ten girths", men))
    lines = [
        "| people | n | bias | SD | stated SE | 95% range covers | 80% range covers |",
        "|---|---|---|---|---|---|---|",
    ]
    for label, judgement in rows:
        held = " | ".join(f"{100 * judgement.coverage[level][0]:.1f}%" for level in (0.95, 0.80))
        lines.append(
            f"| {label} | {judgement.n:,} | {signed(judgement.bias)} | {judgement.sd:.1f} |"
            f" {judgement.claimed_se:.1f} | {held} |"
        )
    return "\n".join(lines)


def blocks_of_the_page() -> dict[str, str]:
    """Return every block of docs/calibration.md by its name."""
    blocks = {name: write() for name, write in survey_2003_tables.BLOCKS.items()}
    return blocks | {name: judged(name) for name in TABLES}


def renewed(text: str, blocks: Mapping[str, str]) -> str:
    """Return a page with every marked block written anew.

    Raises
    ------
    ValueError
        If a block has no marks on the page.
    """
    for name, block in blocks.items():
        mark = rf"(<!-- {name} -->\n).*?(\n<!-- end -->)"
        text, found = re.subn(
            mark, lambda marks, new=block: marks[1] + new + marks[2], text, flags=re.DOTALL
        )
        if found != 1:
            raise ValueError(f"{name} is marked {found} times on the page")
    return text


def main() -> None:
    """Replace what stands between the marks of both pages, and draw the figures."""
    for path, blocks in ((PAGE, blocks_of_the_page()), (METHOD, {"checked_on": checked_on()})):
        path.write_text(renewed(path.read_text(encoding="utf-8"), blocks), encoding="utf-8")
    for name in TABLES:
        coverage_figure(
            judge_ranges(referenced(name)), str(DOCS / f"coverage_{name}.svg"), replace=True
        )
    survey_2003_figures.draw_all(DOCS)


if __name__ == "__main__":
    main()

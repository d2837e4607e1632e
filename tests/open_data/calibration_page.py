"""Write the tables and figures of docs/calibration.md. One command, run by hand::

python tests/open_data/calibration_page.py

What stands between ``<!-- NAME -->`` and ``<!-- end -->`` on the page is written by the code under
that name; ``test_survey_2003.py`` holds the two together.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import pandas as pd

from foldspan.calibrate_table import calibrate
from foldspan.cli.calibrate import page
from foldspan.figures import coverage_figure
from foldspan.local_file import learn_from
from open_data import survey_2003_figures, survey_2003_tables
from open_data.export import TABLES
from open_data.survey_2003_tables import folded

DOCS = Path(__file__).parents[2] / "docs"
PAGE = DOCS / "calibration.md"
SUMMARIES = {
    "survey_2017": "The survey of 2017-18 in numbers",
    "weighed_men": "The weighed men in numbers",
}


def referenced(name: str) -> pd.DataFrame:
    """Return an open table with its references, by its name in ``export.TABLES``."""
    load, scale = TABLES[name]
    people = load()
    return people.table.assign(reference_fat_percent=people.truth, reference_scale=scale)


def judged(name: str) -> str:
    """Return the judgement of an open table, and what a local correction does on people left out."""
    table = referenced(name)
    learnt = learn_from(table)
    held, without = learnt.held_out, learnt.without
    local = [
        f"{100 * level:.0f} % range on people left out: {100 * held.coverage[level][0]:.1f} %"
        f" with a local correction, {100 * without.coverage[level][0]:.1f} % without"
        for level in (0.80, 0.95)
    ]
    local.append(f"claimed error {held.claimed_se:.1f} with, {without.claimed_se:.1f} without")
    return folded(SUMMARIES[name], page(calibrate(table)) + "\n\n" + "\n".join(local))


def renewed(text: str) -> str:
    """Return the page with every marked block written anew.

    Raises
    ------
    ValueError
        If a block has no marks on the page.
    """
    blocks = {name: write() for name, write in survey_2003_tables.BLOCKS.items()}
    blocks |= {name: judged(name) for name in TABLES}
    for name, block in blocks.items():
        mark = rf"(<!-- {name} -->\n).*?(\n<!-- end -->)"
        text, found = re.subn(
            mark, lambda marks, new=block: marks[1] + new + marks[2], text, flags=re.DOTALL
        )
        if found != 1:
            raise ValueError(f"{name} is marked {found} times on the page")
    return text


def main() -> None:
    """Replace what stands between the marks of docs/calibration.md, and draw the figures."""
    PAGE.write_text(renewed(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    for name in TABLES:
        coverage_figure(
            calibrate(referenced(name)), str(DOCS / f"coverage_{name}.svg"), replace=True
        )
    survey_2003_figures.draw_all(DOCS)


if __name__ == "__main__":
    main()

"""Write the tables and figures of docs/calibration.md. One command, run by hand::

python tests/open_data/calibration_page.py
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.calibrate_table import calibrate
from foldspan.cli.calibrate import page
from foldspan.figures import coverage_figure
from foldspan.local_file import learn_from
from open_data.export import TABLES

DOCS = Path(__file__).parents[2] / "docs"


def main() -> None:
    """Replace what stands between the marks of docs/calibration.md, and draw the figures."""
    target = DOCS / "calibration.md"
    text = target.read_text(encoding="utf-8")
    for name, (load, scale) in TABLES.items():
        people = load()
        table = people.table.assign(reference_fat_percent=people.truth, reference_scale=scale)
        judged = calibrate(table)
        coverage_figure(judged, str(DOCS / f"coverage_{name}.svg"), replace=True)
        learnt = learn_from(table)
        held, without = learnt.held_out, learnt.without
        local = "\n".join(
            f"{100 * level:.0f} % range on people left out: {100 * held.coverage[level][0]:.1f} %"
            f" with a local correction, {100 * without.coverage[level][0]:.1f} % without"
            for level in (0.80, 0.95)
        )
        local += f"\nclaimed error {held.claimed_se:.1f} with, {without.claimed_se:.1f} without"
        block = f"```text\n{page(judged)}\n\n{local}\n```"
        mark = rf"(<!-- {name} -->\n).*?(\n<!-- end -->)"
        text = re.sub(
            mark, lambda found, new=block: found[1] + new + found[2], text, flags=re.DOTALL
        )
    target.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()

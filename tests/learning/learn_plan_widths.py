"""Work out how wide a range each plan gives, and write the table of ``protocol/plan_widths.py``.

Run by hand after the equations or the error model have changed; the test suite says when::

    python tests/learning/learn_plan_widths.py
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.api.plan import computed_width
from foldspan.protocol.plans import PLANS
from foldspan.quantities import SEXES
from learning import learnt_tables


def main() -> None:
    """Write the entries into the module."""
    lines = ["PLAN_WIDTHS: dict[tuple[str, str], float] = {"]
    for plan in PLANS:
        for sex in SEXES:
            width = computed_width(plan.sites(sex), sex)
            assert width is not None
            lines.append(f'    ("{plan.key}", "{sex}"): {width:.1f},')
    learnt_tables.write("protocol/plan_widths", "PLAN_WIDTHS", [*lines, "}"])


if __name__ == "__main__":
    main()

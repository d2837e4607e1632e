"""Work out how wide a range each plan gives, and write the table of ``protocol/plan_widths.py``.

Run by hand after the equations or the error model have changed; the test suite says when::

    python tests/learning/learn_plan_widths.py
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan import Visit
from foldspan.api.plan import computed_width, middle_tree
from foldspan.estimation.settings import Settings
from foldspan.measuring.next_site import best_for
from foldspan.protocol.plans import ADAPTIVE, PLANS, Plan
from foldspan.quantities import SEXES, Sex
from foldspan.results.case_of_visit import case_of
from foldspan.session.answers import Known
from learning import learnt_tables


def sites_of(plan: Plan, sex: Sex) -> tuple[str, ...]:
    """Return the sites of a plan; those that an adaptive plan comes to in the person of the widths."""
    sites = plan.sites(sex)
    while plan.key == ADAPTIVE:
        visit = Visit.from_dict(middle_tree(sites, sex, readings=1), accept_unusual=True)
        known = Known({"sex": sex, "plan": [ADAPTIVE], "next": [*sites]})
        best = best_for(known, [case_of(visit, Settings())])
        if not best.sites:
            break
        sites = (*sites, *best.sites)
    return sites


def main() -> None:
    """Write the entries into the module."""
    lines = ["PLAN_WIDTHS: dict[tuple[str, str], float] = {"]
    for plan in PLANS:
        for sex in SEXES:
            width = computed_width(sites_of(plan, sex), sex)
            assert width is not None
            lines.append(f'    ("{plan.key}", "{sex}"): {width:.1f},')
    learnt_tables.write("protocol/plan_widths", "PLAN_WIDTHS", [*lines, "}"])


if __name__ == "__main__":
    main()

"""Work out how wide a range each plan gives, and print the table of ``protocol/plan_widths.py``.

Run by hand after the equations or the error model have changed; the test suite says when::

    python tests/learning/learn_plan_widths.py
"""

from __future__ import annotations

from foldspan.api.plan import computed_width
from foldspan.protocol.plans import PLANS
from foldspan.quantities import SEXES


def main() -> None:
    """Print the entries as they stand in the module."""
    for plan in PLANS:
        for sex in SEXES:
            width = computed_width(plan.sites(sex), sex)
            assert width is not None
            print(f'    ("{plan.key}", "{sex}"): {width:.1f},')


if __name__ == "__main__":
    main()

"""What a plan is worth: the width of the range that its sites would give a person of average build."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from foldspan.api.reconcile import reconcile
from foldspan.protocol.plan_widths import PLAN_WIDTHS
from foldspan.protocol.plans import ALWAYS, PLAN_BY_KEY
from foldspan.quantities import BY_NAME, Sex
from foldspan.reference.body_dimensions import AGE, PLACE, moments
from foldspan.visit.keys import HOME_OF
from foldspan.visit.model import Visit


def expected_width(sites: Sequence[str], sex: Sex) -> float | None:
    """Return the width of the 80 % range that these sites may be expected to give [points].

    The person is the middle of the adults that the error model rests on (``reference.population``), each
    site read twice with the same result, by a trained tester. Where the methods disagree in a client the
    range is wider; with sites that equations were not built on it may be too.

    Parameters
    ----------
    sites : sequence of str
        Quantity names; weight and height belong to them.
    sex : str
        ``female`` or ``male``.

    Returns
    -------
    float or None
        None where the sites give no range.

    Examples
    --------
    >>> expected_width(PLAN_BY_KEY["seven"].sites("male"), "male") < 20.0
    True
    """
    for plan in PLAN_BY_KEY.values():
        if set(plan.sites(sex)) == set(sites) and (plan.key, sex) in PLAN_WIDTHS:
            return PLAN_WIDTHS[plan.key, sex]
    return computed_width(sites, sex)


def computed_width(sites: Sequence[str], sex: Sex) -> float | None:
    """Return the same, worked out anew: what ``PLAN_WIDTHS`` was learnt with."""
    visit = Visit.from_dict(middle_tree(sites, sex), accept_unusual=True)
    likely = reconcile(visit).fat_percent.range_80
    return None if likely is None else likely[1] - likely[0]


def middle_tree(sites: Sequence[str], sex: Sex, *, readings: int = 2) -> dict[str, Any]:
    """Return that person as the tree of a visit file: weight, height and some sites."""
    middle = moments(sex)[0]
    tree: dict[str, Any] = {
        "client": {"sex": sex, "age_years": round(float(middle[PLACE[AGE]]), 1)}
    }
    for name in dict.fromkeys((*ALWAYS, *sites)):
        section, key = HOME_OF[name]
        step = 0.5 if BY_NAME[name].kind == "skinfold" else 0.1
        value = round(round(float(np.exp(middle[PLACE[name]])) / step) * step, 1)
        tree.setdefault(section, {})[key] = [value] * readings
    return tree

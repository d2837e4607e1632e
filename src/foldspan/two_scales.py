"""Two scales: the same fat on the scale that was asked for and on the other one.

A health band stands on the scale it was built on, so the range is wanted on both.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from foldspan.case import Case
from foldspan.catalogue.card import SCALES
from foldspan.errormodel import SCALE_OFFSET, SCALE_SD
from foldspan.indices import Measured
from foldspan.outside_results import Joined
from foldspan.reconciliation import cards_for, reconcile_people


def fat_on_scales(case: Case, joined: Joined) -> dict[str, Measured]:
    """Return fat [% of weight] of one client with its standard error, by scale.

    The other scale is reconciled anew, so that methods built on it need no step. Where a site's own
    correction or outside results are part of the range it is moved by the offset of the scales
    instead, whose standard error joins in: those belong to the scale that was asked for.
    """
    here = case.settings.scale
    there = next(scale for scale in SCALES if scale != here)
    found = {here: Measured(np.array([joined.estimate]), np.array([joined.se]))}
    if case.settings.local is None and joined.own == 1.0:
        settings = replace(case.settings, scale=there)
        combined = reconcile_people(cards_for(case.people.sex), case.people, settings).combined
        found[there] = Measured(combined.estimate, combined.se)
        return found
    step = SCALE_OFFSET if there == "dxa" else -SCALE_OFFSET
    se = math.hypot(joined.se, SCALE_SD[there])
    found[there] = Measured(np.array([joined.estimate + step]), np.array([se]))
    return found

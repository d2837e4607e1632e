"""Two scales: the same fat on the scale that was asked for and on the other one.

A health band stands on the scale it was built on, so the range is wanted on both.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue.card import SCALES, Scale
from foldspan.estimation.batch import People
from foldspan.estimation.error_model import SCALE_OFFSET, SCALE_SD
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.explanation.what_if import Case
from foldspan.external.combine import Joined
from foldspan.interpretation.indices import Measured


def fat_on_scales(case: Case, joined: Joined) -> dict[str, Measured]:
    """Return fat [% of weight] of one client with its standard error, by scale."""
    here = Measured(np.array([joined.estimate]), np.array([joined.se]))
    return {
        scale: fat_on(scale, case.people, case.settings, here, has_joined=joined.own < 1.0)
        for scale in SCALES
    }


def fat_on(
    scale: Scale, people: People, settings: Settings, here: Measured, *, has_joined: bool = False
) -> Measured:
    """Return the fat of N people on a scale.

    Parameters
    ----------
    scale : str
        The scale that is wanted.
    people, settings
        Those of the answer ``here``, fat [% of weight] on the scale of ``settings``.
    has_joined : bool
        Whether outside results are part of ``here``.

    Notes
    -----
    The other scale is reconciled anew, so that methods built on it need no step. Where a site's own
    correction or outside results are part of the answer it is moved by the offset of the scales
    instead, whose standard error joins in: those belong to the scale that was asked for.
    """
    if scale == settings.scale:
        return here
    if settings.local is None and not has_joined:
        again = replace(settings, scale=scale)
        combined = reconcile_people(
            again.cards_for(people.sex), people, again, every=False
        ).combined
        return Measured(combined.estimate, combined.se)
    step = SCALE_OFFSET if scale == "dxa" else -SCALE_OFFSET
    return Measured(here.value + step, np.hypot(here.se, SCALE_SD[scale]))

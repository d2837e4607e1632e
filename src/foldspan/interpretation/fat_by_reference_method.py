"""Two scales: the same fat on the scale that was asked for and on the other one.

A health band stands on the scale it was built on, so the range is wanted on both.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import REFERENCE_METHODS, ReferenceMethod
from foldspan.estimation.error_model import REFERENCE_OFFSET, REFERENCE_SD
from foldspan.estimation.other_reference import OtherReference
from foldspan.explanation.what_if import Case
from foldspan.external.combine import Joined
from foldspan.interpretation.measured import Measured


def fat_by_reference(case: Case, joined: Joined) -> dict[str, Measured]:
    """Return fat [% of weight] of one client with its standard error, by scale."""
    here = Measured(np.array([joined.estimate]), np.array([joined.se]))
    other = None if joined.own < 1.0 else case.answer.other
    return {
        reference_method: fat_on(reference_method, case.settings.reference_method, here, other)
        for reference_method in REFERENCE_METHODS
    }


def fat_on(
    reference_method: ReferenceMethod,
    stated: ReferenceMethod,
    here: Measured,
    other: OtherReference | None,
) -> Measured:
    """Return the fat of N people on a scale.

    Parameters
    ----------
    reference_method : str
        The scale that is wanted.
    stated : str
        The scale of ``here``.
    here : Measured
        Fat [% of weight] of N people.
    other : OtherReference or None
        The same people on the other scale, where methods built on it need no step. None where a site's
        own correction or outside results are part of ``here``: those belong to the scale that was asked
        for. Then it is moved by the offset of the scales instead, whose standard error joins in.
    """
    if reference_method == stated:
        return here
    if other is not None:
        combined = other.combined()
        return Measured(combined.estimate, combined.se)
    step = REFERENCE_OFFSET if reference_method == "dxa" else -REFERENCE_OFFSET
    return Measured(here.value + step, np.hypot(here.se, REFERENCE_SD[reference_method]))

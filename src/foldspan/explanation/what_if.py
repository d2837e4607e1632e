"""What if: one client's readings, settings and answer together, and what-if versions of them.

A what-if is one more column of a batch: all versions of a visit are reconciled at once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.batch import People
from foldspan.estimation.families.combine import verdicts
from foldspan.estimation.pipeline import Reconciled, families_of, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import MEASURED

# How each version of a visit names its changes: quantity → value, NaN for not taken.
Changes = Mapping[str, float]


@dataclass(frozen=True, slots=True, repr=False)
class Case:
    """One client: ``people`` holds one column, ``answer`` its reconciliation.

    ``readings`` maps quantities to the readings of the site, ``unsure`` those whose repeats stay
    apart, want a third reading or stopped at the end of the scale, ``units`` the units that were typed
    where they were not the canonical ones.
    """

    people: People
    settings: Settings
    answer: Reconciled
    readings: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    unsure: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)

    @property
    def age(self) -> float:
        """Age [years]."""
        return float(self.people.columns["age_years"][0])

    @property
    def verdict(self) -> str:
        """How far the methods agree, see ``estimation.families.combine.verdicts``."""
        combined = self.answer.combined
        return str(verdicts(combined.q, combined.dof)[0])

    @property
    def values(self) -> dict[str, float]:
        """Accepted values of what was measured, in canonical units."""
        first = {name: float(self.people.columns[name][0]) for name in MEASURED}
        return {name: value for name, value in first.items() if math.isfinite(value)}


def versions(
    people: People, changes: Sequence[Changes], errors: Sequence[Changes] | None = None
) -> People:
    """Return one client many times over, each time with some values changed.

    Parameters
    ----------
    people : People
        One column.
    changes : sequence of mapping
        One mapping a version: quantity → value [canonical unit], NaN for not taken.
    errors : sequence of mapping, optional
        Likewise the standard errors of accepted values that change.

    Returns
    -------
    People
        As many columns as there are changes.
    """
    count = len(changes)

    def spread(column: Array) -> Array:
        return np.repeat(column, count)

    columns = {name: spread(column) for name, column in people.columns.items()}
    reading_se = {name: spread(column) for name, column in people.reading_se.items()}
    for place, change in enumerate(changes):
        for name, value in change.items():
            columns[name][place] = value
    for place, change in enumerate(errors or ()):
        for name, value in change.items():
            reading_se.setdefault(name, np.zeros(count))[place] = value
    return replace(
        people,
        columns=columns,
        reading_se=reading_se,
        ancestry=spread(people.ancestry),
        at_least={name: spread(flag) for name, flag in people.at_least.items()},
    )


def what_if(
    case: Case,
    changes: Sequence[Changes],
    errors: Sequence[Changes] | None = None,
    *,
    every: bool = False,
) -> Reconciled:
    """Reconcile every version of a case at once; see ``versions``, and ``reconcile_people``."""
    people = versions(case.people, changes, errors)
    return reconcile_people(case.settings.cards_for(people.sex), people, case.settings, every=every)


def families_if(case: Case, changes: Sequence[Changes]) -> Array:
    """Return the families (4, N) of every version of a case, as ``what_if`` does: NaN where absent."""
    people, settings = versions(case.people, changes), case.settings
    cards = settings.cards_for(people.sex)
    if settings.local is None:
        return families_of(cards, people, settings)
    return reconcile_people(cards, people, settings, every=False).families

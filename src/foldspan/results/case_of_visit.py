"""Case of a visit: its accepted values as columns, reconciled; what it brought from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar

import numpy as np

from foldspan.estimation.applicability import ANCESTRY_INDICATORS
from foldspan.estimation.batch import People
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.explanation.what_if import Case
from foldspan.external.combine import Joined, Placed, join, place
from foldspan.quantities import BY_NAME, Sex
from foldspan.reference.population import indicators
from foldspan.visit.model import Visit


def placed_outside(visit: Visit, case: Case) -> tuple[Placed, ...]:
    """Return the visit's outside results, each placed against the range; none without a range."""
    if not np.isfinite(case.answer.combined.estimate[0]):
        return ()
    weight = visit.accepted["weight_kg"].value if "weight_kg" in visit.accepted else None
    return tuple(
        place(outside, case.answer, case.settings, weight, visit.day)
        for outside in visit.outside_results
    )


def joined_with(case: Case, placed: Sequence[Placed]) -> Joined | None:
    """Return the range with those of some outside results that may join it; None without a range."""
    if not np.isfinite(case.answer.combined.estimate[0]):
        return None
    return join(case.answer, case.settings, placed)


_kept: ContextVar[list[tuple[Visit, Settings, Case]] | None] = ContextVar("cases", default=None)


@contextmanager
def each_visit_once() -> Iterator[None]:
    """Within this block each visit is reconciled once for the same settings.

    A page over several visits asks for the same one again and again: for its range, and for each change
    that it is part of. Nothing is remembered once the outermost block ends.
    """
    if _kept.get() is not None:
        yield
        return
    token = _kept.set([])
    try:
        yield
    finally:
        _kept.reset(token)


def case_of(visit: Visit, settings: Settings) -> Case:
    """Return the visit as a case: columns, answer, readings."""
    kept = _kept.get()
    if kept is None:
        return _worked_out(visit, settings)
    for known, by, case in kept:
        if known is visit and by == settings:
            return case
    kept.append((visit, settings, _worked_out(visit, settings)))
    return kept[-1][2]


def _worked_out(visit: Visit, settings: Settings) -> Case:
    assert visit.client.known_sex is not None, (
        "no single range when both sets of equations are used"
    )
    people = people_of(visit, visit.client.known_sex)
    sites = visit.accepted.values()
    return Case(
        people=people,
        settings=settings,
        answer=reconcile_people(
            settings.cards_for(people.sex), people, settings, both_references=settings.local is None
        ),
        readings={
            name: site.readings for name, site in visit.sites.items() if not site.is_at_least
        },
        unsure=tuple(
            site.name for site in sites if site.is_unsteady or site.wants_third or site.is_at_least
        ),
        units={name: site.unit for name, site in visit.sites.items() if site.unit},
    )


def people_of(visit: Visit, sex: Sex) -> People:
    """Return the accepted values of a visit as a batch of one."""
    columns = {name: np.array([np.nan]) for name in BY_NAME}
    accepted = visit.accepted
    columns["age_years"] = np.array([visit.client.age_years])
    for name, site in accepted.items():
        columns[name] = np.array([site.value])
    marks = indicators(sex, 1)
    ancestry = visit.client.known_ancestry
    if ancestry in ANCESTRY_INDICATORS:
        marks[ANCESTRY_INDICATORS[ancestry]] = np.ones(1)
    marks["is_athlete"] = np.array([float(visit.client.athlete)])
    return People(
        sex=sex,
        columns=columns | marks,
        reading_se={name: np.array([site.se]) for name, site in accepted.items()},
        ancestry=np.array([ancestry]),
        at_least={name: np.array([True]) for name, site in accepted.items() if site.is_at_least},
        site_variants=visit.site_variants,
    )

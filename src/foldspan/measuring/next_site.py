"""Next site: what an adaptive plan measures next, worked out once and kept as an event of the session.

Both faces ask here after every answer. The tester's own errors, which the result goes by, are left out:
what is measured next does not hang on the record book.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from foldspan.estimation.settings import settings_for
from foldspan.explanation.best_next import BestNext, best_next
from foldspan.explanation.what_if import Case
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME, SEXES
from foldspan.records.visits import visit_of
from foldspan.results.case_of_visit import case_of
from foldspan.results.cautions import LARGE_BMI
from foldspan.results.who_gets_a_range import refusal_of
from foldspan.session.answers import Known
from foldspan.session.events import NextChosen
from foldspan.session.sites import choosable
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree

ENOUGH = NextChosen([], None, None)


def next_chosen(state: State, settings: Mapping[str, Any]) -> NextChosen | None:
    """Return what a session measures next, None where there is nothing to choose now.

    Parameters
    ----------
    state : State
        The session as it stands.
    settings : mapping
        Settings of every answer, as ``reconcile`` takes them.

    Returns
    -------
    NextChosen or None
        Its sites are none where nothing is worth its time any more, or where the client gets no range.
    """
    if not state.wants_next:
        return None
    cases = _cases(state, settings)
    if not cases:
        return ENOUGH
    best = best_for(state.known, cases)
    return NextChosen([*best.sites], round(best.width_now, 1), round(best.width_expected, 1))


def best_for(known: Known, cases: Sequence[Case]) -> BestNext:
    """Return what is best measured next of what the answers leave, given the client as ``cases``."""
    among = choosable(known)
    if any(_is_large(case) for case in cases):  # folds are hard to lift there and tell little
        among = tuple(name for name in among if BY_NAME[name].kind != "skinfold")
    return best_next(cases, among)


def _cases(state: State, settings: Mapping[str, Any]) -> list[Case]:
    """The client by the equations of each sex that is wanted; none where there is no range."""
    try:
        visit = visit_of(visit_tree(state), where="this visit")
        chosen = settings_for(**{"reference_method": "", "conversion": "siri1961", **settings})
        sexes = SEXES if visit.client.known_sex is None else (visit.client.known_sex,)
        visits = [visit.for_sex(sex) for sex in sexes]
        return [case_of(visit, chosen) for visit in visits if refusal_of(visit) is None]
    except FoldspanError:
        return []  # as the result will say


def _is_large(case: Case) -> bool:
    """Whether few equations were built on bodies as large as this one."""
    weight, height = (case.values.get(name) for name in ("weight_kg", "height_cm"))
    return weight is not None and height is not None and weight / (height / 100.0) ** 2 >= LARGE_BMI

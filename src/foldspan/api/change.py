"""Change between visits of one client: from two ``Visit`` to a ``ChangeResult``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NoReturn

from foldspan.api.health import health_by_intake
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import Settings, settings_for
from foldspan.explanation.correction_used import local_used
from foldspan.followup.comparability import ComparedVisit
from foldspan.followup.difference import COMPARISONS, change_between, trend_of
from foldspan.measurement.against_earlier import AGE_MAY_DIFFER
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import DAYS_A_MONTH, DAYS_A_YEAR, SEXES
from foldspan.results.case_of_visit import case_of, each_visit_once
from foldspan.results.change import ChangeResult, of_both_sexes
from foldspan.results.health import flags_of_height
from foldspan.results.joined_flags import joined_flags
from foldspan.results.spoken import SpokenFlag
from foldspan.results.who_gets_a_range import (
    OTHER_CONVERSION,
    SEX_LEFT_OPEN,
    obstacle_of,
    with_what_cannot_wait,
)
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.visit.model import Visit


@each_visit_once()
def change(
    earlier: Visit,
    later: Visit,
    *more: Visit,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
) -> ChangeResult:
    """Judge whether the changes between visits of one client are real.

    Parameters
    ----------
    earlier, later : Visit
        Two visits, earlier first.
    *more : Visit
        Later visits. The change is that from the first to the last visit; the latest change and the
        trend over all visits are judged as well.
    reference_method, conversion, with_disputed, as_printed, local
        As in ``reconcile``, the same for all visits.

    Returns
    -------
    ChangeResult
        Changes in body-fat percentage, fat mass, fat-free mass and raw measures, each with its
        standard error and the probability that it went down. Only what was measured at both visits
        counts.

    Raises
    ------
    FoldspanError
        E126 if the visits cannot be of one client in this order; E201, E202, E204, E205 or E206 if
        one of them gets no adult range; E501 as in ``reconcile``. With sex ``both``, ``by_sex`` has
        the two results, and whatever needs no equation is judged once.

    Examples
    --------
    >>> import foldspan
    >>> def visit(weight, waist):
    ...     return foldspan.Visit.from_dict({
    ...         "client": {"sex": "male", "age_years": 44},
    ...         "mass_height": {"weight_kg": weight, "height_cm": 181.0},
    ...         "girths_cm": {"waist_midpoint": waist},
    ...     })
    >>> found = foldspan.change(visit(96.0, 104.0), visit(88.0, 95.0))
    >>> found.change.percent.amount < 0, found.change.percent.chance_of_fall > 0.9
    (True, True)
    """
    visits = (earlier, later, *more)
    if not all(isinstance(visit, Visit) for visit in visits):
        raise TypeError("change takes visits: read them with Visit.from_file or Visit.from_dict")
    settings = settings_for(
        reference_method,
        conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=local,
    )
    check_one_client(visits)
    is_open = any(_is_left_open(visit, settings, visits) for visit in visits)
    flags = joined_flags(
        _loss_flags(visits[0], visits[-1], settings), flags_of_height(visits[:-1], visits[-1])
    )
    if is_open:
        by_sex = {
            sex: _judged([visit.for_sex(sex) for visit in visits], settings, ()) for sex in SEXES
        }
        return replace(of_both_sexes(by_sex), flags=flags)
    return _judged(visits, settings, flags)


def _judged(
    visits: Sequence[Visit], settings: Settings, flags: tuple[SpokenFlag, ...]
) -> ChangeResult:
    """What changed between visits of one client, by the equations for the client's sex."""
    for visit in visits:
        _is_left_open(visit, settings, visits)
    taken = [_taken(visit, settings) for visit in visits]
    has_more = len(taken) > 2
    comparisons = COMPARISONS if has_more else 1
    return ChangeResult(
        reference_method=settings.reference_method,
        change=change_between(taken[0], taken[-1], comparisons=comparisons),
        step=change_between(taken[-2], taken[-1], comparisons=comparisons) if has_more else None,
        days=tuple(visit.day for visit in visits),
        trend=trend_of(taken) if has_more else None,
        flags=flags,
        is_careful=any(visit.intake.has_eating_concern for visit in visits),
        measure_all_again=taken[-1].case.verdict == "disagree",
        local=local_used(taken[-1].case),
        as_printed=settings.as_printed,
    )


def _is_left_open(visit: Visit, settings: Settings, visits: Sequence[Visit]) -> bool:
    """Whether it is left open which equations fit; raise for a visit that gets no adult range."""
    obstacle = obstacle_of(visit, settings)
    if obstacle is None or obstacle.code == SEX_LEFT_OPEN:
        return obstacle is not None
    seen = [visit] if obstacle.code == OTHER_CONVERSION else visits
    raise with_what_cannot_wait(seen, FoldspanError([obstacle]))


def _loss_flags(earlier: Visit, later: Visit, settings: Settings) -> tuple[SpokenFlag, ...]:
    """Return the flags of a loss of weight from one visit to the other, as if it had been told.

    A low weight or little lean mass that weighs more for the loss is among them. ``settings`` are those
    of ``reconcile``: what is flagged is judged as the change itself is.
    """
    before, now = earlier.accepted.get("weight_kg"), later.accepted.get("weight_kg")
    if before is None or now is None or earlier.day is None or later.day is None:
        return ()
    months = (later.day - earlier.day).days / DAYS_A_MONTH
    if months <= 0.0 or now.value >= before.value:
        return ()
    intake = replace(later.intake, earlier_weight_kg=before.value, months_ago=months, is_given=True)
    later_with_loss = later.model_copy(update={"intake": intake})
    # the visit itself first: it is reconciled for the change as well
    without, with_loss = health_by_intake((later, later_with_loss), settings)
    own = {flag.code for flag in without.flags}
    return tuple(
        flag
        for flag in with_loss.flags
        if flag.code not in own or RULE_BY_CODE[flag.code].ladder == "loss"
    )


def _taken(visit: Visit, settings: Settings) -> ComparedVisit:
    return ComparedVisit(
        case=case_of(visit, settings),
        day=visit.day,
        tester=visit.tester,
        calliper=visit.calliper,
        hour=visit.hour,
        variants=visit.site_variants,
        left_side=visit.how_taken.left_side,
        over_clothing=visit.how_taken.over_clothing,
    )


def check_one_client(visits: Sequence[Visit]) -> None:
    """Raise E126 where the visits cannot be of one client, or are not in their order."""
    first = visits[0]
    code = next((visit.client.code for visit in visits if visit.client.code), "")
    dated = [visit for visit in visits if visit.day is not None]
    for order, visit in enumerate(visits[1:], start=2):
        what = ""
        if visit.client.sex != first.client.sex:
            what = "sex differs between the visits"
        elif visit.client.code not in ("", code):
            what = "client code differs between the visits"
        elif visit.client.age_years < visits[order - 2].client.age_years - 1.0:
            what = "the client is younger than at the visit before"
        if what:
            _wrong(order, what)
    for before, after in pairwise(dated):
        assert before.day is not None
        assert after.day is not None
        order = next(k for k, visit in enumerate(visits, start=1) if visit is after)
        years = (after.day - before.day).days / DAYS_A_YEAR
        if after.day < before.day:
            _wrong(order, "dated earlier than the visit given before it")
        grown = after.client.age_years - before.client.age_years
        if abs(grown - years) > AGE_MAY_DIFFER:
            _wrong(order, "the age does not match the dates")


def _wrong(order: int, what: str) -> NoReturn:
    remedy = "Give visits of one client, earliest first."
    raise FoldspanError([Problem("E126", f"visit {order}", what, remedy)])

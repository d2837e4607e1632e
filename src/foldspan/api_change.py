"""Change between visits of one client: from two ``Visit`` to a ``ChangeResult``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from foldspan.api import case_of, check_conversion, reconcile, refusal_of
from foldspan.change_result import ChangeResult
from foldspan.changes import DAYS_A_MONTH, change_between, trend_of
from foldspan.footing import Taken
from foldspan.problems import FoldspanError, Problem
from foldspan.reconciliation import Settings, settings_for
from foldspan.result import SpokenFlag
from foldspan.standards.rules import RULE_BY_CODE
from foldspan.visit import Visit


def change(
    earlier: Visit,
    later: Visit,
    *more: Visit,
    scale: str = "density",
    conversion: str = "siri1961",
    with_disputed: bool = False,
) -> ChangeResult:
    """Tell whether what changed between two visits of one client is real.

    Parameters
    ----------
    earlier, later : Visit
        In the order in which they were.
    *more : Visit
        Further visits, for a trend over all of them; the change is that from the first to the last.
    scale, conversion, with_disputed
        As in ``reconcile``, the same for all visits.

    Returns
    -------
    ChangeResult
        Differences of fat percentage, fat mass, lean mass and raw measures, each with its error and
        the chance that it went down. Only what was measured at both visits counts.

    Raises
    ------
    FoldspanError
        E126 if the visits cannot be of one client in this order; E201, E202, E204, E205 or E206 where
        one of them gets no adult range; E501 as in ``reconcile``.

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
    settings = settings_for(scale, conversion, with_disputed=with_disputed)
    _of_one_client(visits)
    for one in visits:
        check_conversion(one, settings)
        refusal = refusal_of(one)
        if refusal is not None:
            raise FoldspanError([refusal])
    taken = [_taken(one, settings) for one in visits]
    return ChangeResult(
        scale=settings.scale,
        change=change_between(taken[0], taken[-1]),
        trend=trend_of(taken) if len(taken) > 2 else None,
        flags=_loss_flags(visits[0], visits[-1]),
        is_careful=any(one.intake.has_eating_concern for one in visits),
    )


def _loss_flags(earlier: Visit, later: Visit) -> tuple[SpokenFlag, ...]:
    """Return the flags of a loss of weight from one visit to the other, as if it had been told."""
    before, now = earlier.accepted.get("weight_kg"), later.accepted.get("weight_kg")
    if before is None or now is None or earlier.day is None or later.day is None:
        return ()
    months = (later.day - earlier.day).days / DAYS_A_MONTH
    if months <= 0.0 or now.value >= before.value:
        return ()
    told = replace(later.intake, earlier_weight_kg=before.value, months_ago=months, is_given=True)
    flags = reconcile(later.model_copy(update={"intake": told})).health.flags
    return tuple(one for one in flags if RULE_BY_CODE[one.code].ladder == "loss")


def _taken(visit: Visit, settings: Settings) -> Taken:
    return Taken(
        case=case_of(visit, settings),
        day=visit.day,
        tester=visit.tester,
        calliper=visit.calliper,
        hour=visit.hour,
        variants=visit.site_variants,
        left_side=visit.how_taken.left_side,
        over_clothing=visit.how_taken.over_clothing,
    )


def _of_one_client(visits: Sequence[Visit]) -> None:
    """Raise E126 where the visits cannot be of one client, or are not in their order."""
    first = visits[0]
    for order, (one, after) in enumerate(pairwise(visits), start=2):
        where = f"visit {order}"
        what = ""
        if after.client.sex != first.client.sex:
            what = "another sex than the first"
        elif after.client.code and first.client.code and after.client.code != first.client.code:
            what = "another client's code than the first"
        elif one.day is not None and after.day is not None and after.day < one.day:
            what = "dated before the one that is given first"
        elif after.client.age_years < one.client.age_years - 1.0:
            what = "of a younger client than the one before"
        if what:
            remedy = "Give visits of one client, the earliest first."
            raise FoldspanError([Problem("E126", where, what, remedy)])

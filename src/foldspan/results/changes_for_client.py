"""Changes for the client: which changes a client is told of, as keys of sentences; words elsewhere.

Over three visits and more three changes are judged: first to last, last to the one before, and the line
through all. The client reads what is real, the long way first; where nothing is, the last step.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foldspan.followup.difference import Change, Difference, Trend
from foldspan.results.change import ChangeResult

# from this chance on a change that is not real is called probable
PROBABLY = 0.8
TOO_SOON = "too_soon"


@dataclass(frozen=True, slots=True, repr=False)
class ChangeForClient:
    """One change that the client is told of: since the ``first`` visit, the ``last``, or over ``all``.

    ``percent`` is that of the fat percentage, None where too little was measured both times;
    ``fat_mass`` that of the mass where it is real.
    """

    since: Literal["first", "last", "all"]
    percent: Difference | None
    fat_mass: Difference | None
    weight: Difference | None


def changes_for_client(result: ChangeResult | None) -> tuple[ChangeForClient, ...]:
    """Return what the client is told of, at most two changes; that of two visits is always told."""
    if result is None:
        return (ChangeForClient("last", None, None, None),)
    if result.step is None:
        return (_as_shown("last", result.change),)
    shown = []
    whole, step = result.change, result.step
    if _is_real(whole):
        shown.append(_as_shown("first", whole))
    elif result.trend is not None and result.trend.is_real and TOO_SOON not in whole.breaks:
        shown.append(_over_all(result.trend, whole))
    if _is_real(step):
        shown.append(_as_shown("last", step))
    if shown:
        return tuple(shown)
    is_weight_real = whole.weight is not None and whole.weight.is_real
    if is_weight_real or (_is_probable(whole) and not _is_probable(step)):
        return (_as_shown("first", whole),)
    return (_as_shown("last", step),)


def _as_shown(since: Literal["first", "last"], change: Change) -> ChangeForClient:
    """One change as it is told; what is weeks apart only is no change of fat."""
    is_soon = TOO_SOON in change.breaks
    return ChangeForClient(
        since=since,
        percent=change.percent
        if change.percent is None or not is_soon
        else _unsure(change.percent),
        fat_mass=None if is_soon else _only_real(change.fat_mass),
        weight=change.weight,
    )


def _over_all(trend: Trend, whole: Change) -> ChangeForClient:
    """The line through all visits, with the weight from first to last."""
    return ChangeForClient("all", trend.whole, _only_real(whole.fat_mass), whole.weight)


def _unsure(percent: Difference) -> Difference:
    """A change of which nothing can be told."""
    return Difference(percent.later, percent.later, percent.se, percent.judged_at)


def _only_real(difference: Difference | None) -> Difference | None:
    return difference if difference is not None and difference.is_real else None


def _is_real(change: Change) -> bool:
    """Whether the percentage or the mass of fat changed by more than chance makes."""
    if TOO_SOON in change.breaks:
        return False
    return any(
        difference is not None and difference.is_real
        for difference in (change.percent, change.fat_mass)
    )


def _is_probable(change: Change) -> bool:
    if TOO_SOON in change.breaks or change.percent is None:
        return False
    return max(change.percent.chance_of_fall, 1.0 - change.percent.chance_of_fall) >= PROBABLY

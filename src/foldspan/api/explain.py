"""Explaining one visit: from a ``Visit`` to an ``Explanation``."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from foldspan.api.reconcile import result_for
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import Pair, pair
from foldspan.explanation.findings import all_pairs
from foldspan.explanation.next_measurement import (
    NextMeasurement,
    offers_of,
    widths,
)
from foldspan.explanation.sensitivity import leave_one_out, would_agree
from foldspan.external.combine import joining
from foldspan.results.build import result_of
from foldspan.results.case_of_visit import case_of, joined_with, placed_outside
from foldspan.results.explanation import Explanation, are_apart
from foldspan.results.result import Result
from foldspan.results.who_gets_a_range import obstacle_of
from foldspan.visit.model import Visit

# as many readings are named to be measured again
MOST_SLIPS = 3


def explain(
    visit: Visit,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    pair_of: tuple[str, str] | None = None,
    include_outside: bool = False,
) -> Explanation:
    """Explain why the methods of one visit differ, and what would make them agree.

    Parameters
    ----------
    visit : Visit
        Read with ``Visit.from_file`` or ``Visit.from_dict``.
    reference_method, conversion, with_disputed, as_printed, local
        As in ``reconcile``.
    pair_of : tuple of str, optional
        Two method groups, or the keys of two equations, to compare instead of the two groups
        furthest apart.
    include_outside : bool
        Include the visit's results from elsewhere in the range.

    Returns
    -------
    Explanation
        Frozen; ``to_dict()`` is the JSON of schema version 2. Without a range, or with only one
        method group, it has no pairs.

    Raises
    ------
    FoldspanError
        E501 for an unknown option, or a pair that could not be used for this visit; E601 as in
        ``reconcile``.

    Examples
    --------
    >>> import foldspan
    >>> visit = foldspan.Visit.from_dict({
    ...     "client": {"sex": "male", "age_years": 58},
    ...     "mass_height": {"weight_kg": 97.0, "height_cm": 174.0},
    ...     "skinfolds_mm": {"triceps": 5.0, "subscapular": 10.0},
    ...     "girths_cm": {"waist_iliac": 115.0},
    ... })
    >>> explanation = foldspan.explain(visit)
    >>> [reason.code for reason in explanation.headline.reasons][0]
    'belly_fat'
    """
    return explained(
        visit, reference_method=reference_method, conversion=conversion, with_disputed=with_disputed,
        as_printed=as_printed, local=local, pair_of=pair_of, include_outside=include_outside,
    )  # fmt: skip


def explained(
    visit: Visit,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    pair_of: tuple[str, str] | None = None,
    include_outside: bool = False,
    reader: str = "anybody",
) -> Explanation:
    """Explain one visit as ``explain`` does.

    What would make the methods agree, the answer without each part and the best repeat take half the
    time. A page for a ``client`` tells none of them; one for a ``trainer`` tells the best repeat and,
    where methods lie apart, what would make them agree. A letter to a ``clinician`` tells no more than
    the result. What is not told is left out then.
    """
    options: dict[str, Any] = {
        "with_disputed": with_disputed, "as_printed": as_printed, "local": local,
    }  # fmt: skip
    settings = settings_for(reference_method, conversion, **options)
    if obstacle_of(visit, settings) is not None:
        return Explanation(result_for(visit, settings))
    analysis = CaseAnalysis(case_of(visit, settings))
    placed = placed_outside(visit, analysis.case)
    joined = joined_with(analysis.case, placed if include_outside else ())
    result = result_of(visit, analysis, joined)
    if not result.has_range:
        return Explanation(result)
    taken = joining(placed) if include_outside else ()
    included = tuple(order in taken for order in range(len(placed)))
    if reader == "clinician":
        return Explanation(result, outside=placed, included=included)
    pairs, headline = _pairs(analysis, pair_of)
    offers = offers_of(analysis.case)
    repeats = (offers.best_repeat,) if reader != "client" else ()
    is_sought = reader == "anybody" or (reader == "trainer" and are_apart(headline, result))
    return Explanation(
        result=result,
        pairs=pairs,
        headline=headline,
        slips=analysis.doubted[:MOST_SLIPS],
        typed=analysis.case.values,
        units=analysis.case.units,
        would_agree=(
            would_agree(analysis, *headline.between) if is_sought and headline is not None else ()
        ),
        leave_one_out=leave_one_out(analysis.case) if reader == "anybody" else (),
        outside=placed,
        included=included,
        own_width=float(widths(analysis.case.answer)[0]),
        own_estimate=float(analysis.case.answer.combined.estimate[0]),
        next_measurements=_offered(offers.ranked, result),
        best_repeat=next(iter(_offered(repeats, result)), None),
    )


def _offered(
    ranked: Iterable[NextMeasurement | None], result: Result
) -> tuple[NextMeasurement, ...]:
    """What may be offered: nothing that pinches those who bleed easily."""
    pinch = all(flag.code != "bleeding" for flag in result.flags)
    return tuple(
        offer for offer in ranked if offer is not None and (pinch or not offer.needs_calliper)
    )


def _pairs(
    analysis: CaseAnalysis, pair_of: tuple[str, str] | None
) -> tuple[tuple[Pair, ...], Pair | None]:
    """Every two families, and the pair that is in question."""
    pairs = tuple(all_pairs(analysis))
    if pair_of is None:
        return pairs, pairs[0] if pairs else None
    chosen_pair = pair(analysis, *pair_of)
    return (
        chosen_pair,
        *(other for other in pairs if set(other.between) != set(pair_of)),
    ), chosen_pair

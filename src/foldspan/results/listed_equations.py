"""Listed equations: what every card of the catalogue makes of one visit, or why it was left out."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache, lru_cache

import numpy as np

from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import Equation, ReferenceMethod
from foldspan.estimation.applicability import LEAVES_OUT, Fit, codes
from foldspan.estimation.error_model import reference_shifts, shared_error
from foldspan.estimation.on_request import ON_REQUEST, ListedOnRequest
from foldspan.explanation.case import CaseAnalysis
from foldspan.results.result import EquationResult


def listed_equations(
    analysis: CaseAnalysis, beside: Mapping[str, ListedOnRequest]
) -> tuple[EquationResult, ...]:
    """Return every card of the catalogue with its estimate, or with the codes why it was left out.

    ``beside`` holds what the cards on request print, by their key.
    """
    answer, reference_method = analysis.case.answer, analysis.case.settings.reference_method
    rows = {card.key: row for row, card in enumerate(answer.cards)}
    moves = reference_shifts(answer.cards, reference_method).tolist()
    listed = []
    for card in EQUATIONS:
        if card.key in beside:
            listed.append(_on_request(card, beside[card.key], reference_method))
        elif card.key in rows:
            row = rows[card.key]
            listed.append(_in_the_range(card, row, moves[row], analysis))
        else:
            listed.append(_left_out(card.key))
    return tuple(listed)


@cache
def _left_out(key: str) -> EquationResult:
    """One card that is for the other sex."""
    card = equation_by_key(key)
    return EquationResult(
        key=card.key,
        method=card.method,
        estimate=None,
        se=None,
        reference_method=card.reference_method,
        used=False,
        left_out_because=codes(int(Fit.WRONG_SEX)),
        source=card.source,
    )


def _in_the_range(card: Equation, row: int, moved: float, analysis: CaseAnalysis) -> EquationResult:
    """One card that can enter the range."""
    answer, reference_method = analysis.case.answer, analysis.case.settings.reference_method
    bits = int(answer.flags[row, 0])
    percent = float(answer.percent[row, 0])
    without = _without_estimate(card.key, bits)
    if bits & int(Fit.NO_SOUND_VALUE) or not math.isfinite(percent):
        return without
    levelled, shift = float(analysis.levelled[row]), float(analysis.for_background[row])
    is_athlete = bool(analysis.case.people.columns["is_athlete"][0] > 0)
    shared = shared_error(card, reference_method, levelled, is_athlete=is_athlete)
    deviation = float(np.hypot(answer.equation_sd[row, 0], shared))
    return EquationResult(
        key=card.key,
        method=card.method,
        estimate=percent,
        se=deviation if math.isfinite(deviation) else None,
        reference_method=card.reference_method,
        used=without.used,
        left_out_because=without.left_out_because,
        source=card.source,
        remarks=without.remarks,
        as_printed=float(answer.as_printed[row, 0]),
        moved=moved,
        levelled=shift - float(answer.offset[row, 0]),
        for_background=0.0 - shift,
    )


@lru_cache(maxsize=4096)
def _without_estimate(key: str, bits: int) -> EquationResult:
    """One card that can enter the range, with its bits of ``Fit``, as if it gave nothing."""
    card, out = equation_by_key(key), bits & int(LEAVES_OUT)
    return EquationResult(
        key=card.key,
        method=card.method,
        estimate=None,
        se=None,
        reference_method=card.reference_method,
        used=not out,
        left_out_because=codes(out),
        source=card.source,
        remarks=codes(bits & ~int(LEAVES_OUT)),
    )


def _on_request(
    card: Equation, beside: ListedOnRequest, reference_method: ReferenceMethod
) -> EquationResult:
    """A card that is listed beside the range, with whatever else speaks against it."""
    known = bool(np.isfinite(beside.percent))
    moved = float(reference_shifts([card], reference_method)[0]) if known else 0.0
    return EquationResult(
        key=card.key,
        method=card.method,
        estimate=beside.percent if known else None,
        se=None,
        reference_method=card.reference_method,
        used=False,
        left_out_because=(*codes(beside.flags & int(LEAVES_OUT)), ON_REQUEST, beside.because),
        source=card.source,
        remarks=codes(beside.flags & ~int(LEAVES_OUT)),
        as_printed=beside.percent - moved if known else None,
        moved=moved,
    )

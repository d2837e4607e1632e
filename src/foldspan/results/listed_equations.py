"""Listed equations: what every card of the catalogue makes of one visit, or why it was left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Equation, ReferenceMethod
from foldspan.estimation.applicability import LEAVES_OUT, Fit, codes
from foldspan.estimation.error_model import scale_moves, shared_error
from foldspan.estimation.on_request import ON_REQUEST, ListedOnRequest
from foldspan.explanation.case import CaseAnalysis
from foldspan.results.result import EquationResult


def listed_equations(
    analysis: CaseAnalysis, beside: Mapping[str, ListedOnRequest]
) -> tuple[EquationResult, ...]:
    """Return every card of the catalogue with its estimate, or with the codes why it was left out.

    ``beside`` holds what the cards on request print, by their key.
    """
    reference_method = analysis.case.settings.reference_method
    rows = {card.key: row for row, card in enumerate(analysis.case.answer.cards)}
    return tuple(
        _on_request(card, beside[card.key], reference_method)
        if card.key in beside
        else _in_the_range(card, rows.get(card.key), analysis)
        for card in EQUATIONS
    )


def _in_the_range(card: Equation, row: int | None, analysis: CaseAnalysis) -> EquationResult:
    """One card that can enter the range; ``row`` is None where it is for the other sex."""
    answer, reference_method = analysis.case.answer, analysis.case.settings.reference_method
    bits = int(Fit.WRONG_SEX) if row is None else int(answer.flags[row, 0])
    out = bits & int(LEAVES_OUT)
    listed = EquationResult(
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
    if row is None or bits & int(Fit.NO_SOUND_VALUE) or not np.isfinite(answer.percent[row, 0]):
        return listed
    levelled, shift = float(analysis.levelled[row]), float(analysis.for_background[row])
    is_athlete = bool(analysis.case.people.columns["is_athlete"][0] > 0)
    shared = shared_error(card, reference_method, levelled, is_athlete=is_athlete)
    deviation = float(np.hypot(answer.equation_sd[row, 0], shared))
    return replace(
        listed,
        estimate=float(answer.percent[row, 0]),
        se=deviation if np.isfinite(deviation) else None,
        as_printed=float(answer.as_printed[row, 0]),
        moved=float(scale_moves([card], reference_method)[0]),
        levelled=shift - float(answer.offset[row, 0]),
        for_background=0.0 - shift,
    )


def _on_request(
    card: Equation, beside: ListedOnRequest, reference_method: ReferenceMethod
) -> EquationResult:
    """A card that is listed beside the range, with whatever else speaks against it."""
    known = bool(np.isfinite(beside.percent))
    moved = float(scale_moves([card], reference_method)[0]) if known else 0.0
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

"""Chi-square: how likely a misfit at least as large is, without a statistics library."""

from __future__ import annotations

import math


def chance_of_misfit(q: float, dof: int) -> float:
    """Chance of a chi-square at least ``q`` with whole degrees of freedom.

    Closed forms, so that one answer needs no statistics library at start-up (Abramowitz & Stegun 1964,
    26.4.4 and 26.4.5; not verified in print).

    Raises
    ------
    ValueError
        If ``dof`` is below 1.
    """
    if dof < 1:
        raise ValueError("one degree of freedom at least")
    first = dof % 2 + 2  # of the terms that are added up: 1, q / first, q² / first (first + 2), ...
    term = terms = 1.0
    for degrees in range(first, dof, 2):
        term *= q / degrees
        terms += term
    if dof % 2 == 0:
        return math.exp(-q / 2.0) * terms
    tail = math.erfc(math.sqrt(q / 2.0))
    if dof == 1:
        return tail
    return tail + math.sqrt(2.0 * q / math.pi) * math.exp(-q / 2.0) * terms

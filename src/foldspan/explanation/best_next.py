"""Best next: which site is expected to narrow the range most for its minutes, and when to stop.

For a plan that chooses as it goes (``session.sites.chooses``). Sites that an equation needs together are
weighed as one: what three folds bring that only work together is not seen in any of them alone. What was
read once is taken as read twice, as it will be when the session is over. A few milliseconds a site: all
of them are one batch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.explanation.next_measurement import (
    DRAWS,
    drawn,
    error_after,
    needed_together,
    widths,
)
from foldspan.explanation.what_if import Case, Changes, what_if
from foldspan.protocol.effort import minutes

# A site, or a set, is worth its time if it narrows the 80 % range by this much [points] (ours).
LEAST_NARROWING = 0.3
# What stands for the width where nothing gives a range yet [points]: about how far eight in ten adults
# of one sex lie apart (ours).
NO_RANGE_WIDTH = 20.0


@dataclass(frozen=True, slots=True)
class BestNext:
    """What to measure next: ``sites`` to be taken together, none where nothing is worth its time."""

    sites: tuple[str, ...]
    """Names of quantities."""
    width_now: float
    """Width of the 80 % range to expect of what was taken so far [points]."""
    width_expected: float
    """Width to expect once these sites are taken too [points]."""


def best_next(cases: Sequence[Case], among: Iterable[str]) -> BestNext:
    """Return which of some sites to measure next.

    Parameters
    ----------
    cases : sequence of Case
        The client; where the sex is left open by the equations for each, whose widths are averaged.
    among : iterable of str
        Quantities that may be chosen, none of them taken yet.

    Returns
    -------
    BestNext
        The option that narrows the range most for each minute, of those that narrow it by
        ``LEAST_NARROWING`` or more. Of equals the first in the order of ``among``, single sites first.
    """
    sites = tuple(among)
    sets = (names for case in cases for names in needed_together(case, sites))
    offered = [*((name,) for name in sites), *dict.fromkeys(sets)]
    expected = np.mean([_expected(case, offered) for case in cases], axis=0)
    now = float(expected[0])
    options = [
        (now - float(width), names)
        for width, names in zip(expected[1:], offered, strict=True)
        if now - width >= LEAST_NARROWING
    ]
    if not options:
        return BestNext((), now, now)
    narrower, names = max(options, key=lambda option: option[0] / sum(map(minutes, option[1])))
    return BestNext(names, now, now - narrower)


def _expected(case: Case, offered: Sequence[tuple[str, ...]]) -> Array:
    """Width to expect as it is, then with each of the options taken, shape (1 + options,) [points]."""
    read_twice = {
        name: error_after(case, name) for name, given in case.readings.items() if len(given) == 1
    }
    changes: list[Changes] = [{}]
    errors: list[Changes] = [read_twice]
    for names in offered:
        values, error = drawn(case, names)
        changes += values
        errors += [{**read_twice, **draw} for draw in error]
    found = widths(what_if(case, changes, errors))
    found = np.where(np.isfinite(found), found, NO_RANGE_WIDTH)
    return np.append(found[0], found[1:].reshape(len(offered), DRAWS).mean(axis=1))

"""Health by sex: the health check where it is left open which equations fit, from both answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from foldspan.interpretation.bands_to_tell import bands_to_tell
from foldspan.interpretation.health_check import health_check
from foldspan.interpretation.indices import Indices, unknown_fat
from foldspan.quantities import BY_NAME
from foldspan.results.health import health_from, self_reported, spoken_flags
from foldspan.results.result import Health
from foldspan.results.spoken import SpokenFlag
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE, TURN
from foldspan.visit.model import Visit


def health_of_both(visit: Visit, answers: Sequence[Health]) -> Health:
    """Return the health check where it is left open which equations fit.

    Bands are those that have no limits by sex. Flags that need a sex are raised where both answers raise
    them, and where either does if somebody is to be referred: to miss one would hurt more. A build is
    strong where both answers find it so.
    """
    indices = _indices(visit)
    is_strong = all("strong_build" in {flag.code for flag in health.flags} for health in answers)
    check = health_check(indices, self_reported(visit), is_strong=is_strong)
    flags = _joined(spoken_flags(check.raised, visit, indices), answers)
    shown = bands_to_tell(indices, [flag.code for flag in flags])
    return health_from(visit, flags, replace(check, shown=shown))


def _indices(visit: Visit) -> Indices:
    """The measures that need neither a sex nor a fat percentage."""
    sites = visit.accepted
    columns = dict.fromkeys(BY_NAME, np.array([np.nan]))
    columns |= {name: np.array([site.value]) for name, site in sites.items()}
    columns["age_years"] = np.array([visit.client.age_years])
    reading_se = {name: np.array([site.se]) for name, site in sites.items()}
    return unknown_fat("", columns, reading_se, np.array([visit.client.background]))


def _joined(own: Sequence[SpokenFlag], answers: Sequence[Health]) -> tuple[SpokenFlag, ...]:
    """Flags that need no sex with those of both answers, the most urgent first."""
    found = {flag.code: flag for flag in own}
    for flag in (flag for health in answers for flag in health.flags):
        alike = [other for health in answers for other in health.flags if other.code == flag.code]
        in_all = len(alike) == len(answers)
        if flag.code in found:
            # what both answers say alike holds whichever fits: a grip that is weak by either limit
            if in_all and all(other == flag for other in alike):
                found[flag.code] = flag
            continue
        lower = _rungs_beside(flag, found)
        is_higher = all(
            LEVELS.index(flag.level) > LEVELS.index(found[code].level) for code in lower
        )
        if is_higher and (in_all or flag.level.startswith("refer")):
            for code in lower:  # of a ladder only the highest
                del found[code]
            found[flag.code] = flag
    return tuple(sorted(found.values(), key=lambda flag: TURN[flag.code]))


def _rungs_beside(flag: SpokenFlag, found: Mapping[str, SpokenFlag]) -> list[str]:
    """Codes of flags of the same ladder."""
    ladder = RULE_BY_CODE[flag.code].ladder
    return [code for code in found if ladder and RULE_BY_CODE[code].ladder == ladder]

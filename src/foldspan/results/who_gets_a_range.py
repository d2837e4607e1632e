"""Who gets a range: whom the equations do not hold for, and which conversion was made for whom."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.estimation.settings import Settings, conversion_fits
from foldspan.intake.as_arrays import intake_as_arrays
from foldspan.intake.refusals import refused
from foldspan.problems import FoldspanError, Problem
from foldspan.results.health import health_without_range
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.en import reconcile
from foldspan.visit.model import Visit
from foldspan.visit.refused import problem_of_flag

# where the line stands that a refusal is for, in a visit file
WHERE_TOLD = {
    "E201": "[client] age", "E202": "[client] pregnant", "E204": "[intake] birth_months_ago",
    "E207": "[client] sex",
}  # fmt: skip


def with_what_cannot_wait(visits: Sequence[Visit], error: FoldspanError) -> FoldspanError:
    """Return an error about visits that could be read, with what in them needs somebody today first."""
    urgent = [
        problem_of_flag(flag.code, RULE_BY_CODE[flag.code].ladder, "visit")
        for visit in visits
        for flag in health_without_range(visit).flags
        if flag.level == "refer_urgently"
    ]
    known = {problem.sentence() for problem in error.problems}
    new = {flag.sentence(): flag for flag in urgent if flag.sentence() not in known}
    return FoldspanError([*new.values(), *error.problems])


def check_conversion(visit: Visit, settings: Settings) -> None:
    """Raise E501 for a conversion that was made for another sex or age.

    Where the sex is left open both are asked for their answers, each by itself.
    """
    client = visit.client
    if client.known_sex is None:
        return
    ages, ancestry = np.array([client.age_years]), np.array([client.known_ancestry])
    athlete = np.array([float(client.athlete)])
    if not conversion_fits(settings.conversion, client.known_sex, ages, ancestry, athlete)[0]:
        chosen = settings.conversion
        whom = f"{chosen.population} ({chosen.sex}, {chosen.ages[0]:g} to {chosen.ages[1]:g} years)"
        remedy = "Use one that fits the client, or leave the option out: equations --conversions."
        error = FoldspanError([Problem("E501", "conversion", f"made for {whom}", remedy)])
        raise with_what_cannot_wait([visit], error)


def refusal_of(visit: Visit) -> Problem | None:
    """Whoever must not get an adult range, and what to do instead."""
    client = visit.client
    reported = intake_as_arrays(visit.intake, None, None)
    found = refused(np.array([client.age_years]), np.array([client.pregnant]), reported)
    found["E207"] = np.array([client.known_sex is None])
    code = next((code for code, holds in found.items() if holds[0]), None)
    if code is None:
        return None
    where = WHERE_TOLD.get(code, "[intake]")
    what, remedy = reconcile.REFUSAL_WORDS[code]
    return Problem(code, where, what, remedy)

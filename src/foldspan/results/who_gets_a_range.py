"""Who gets a range: whom the equations do not hold for, and which conversion was made for whom."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.estimation.settings import Settings, conversion_fits
from foldspan.intake.refusals import refusal_code
from foldspan.problems import FoldspanError, Problem
from foldspan.results.health import health_without_range
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.en.reconcile import REFUSAL_WORDS
from foldspan.visit.model import Visit
from foldspan.visit.refused import problem_of_flag

# where the line stands that a refusal is for, in a visit file
WHERE_REPORTED = {
    "E201": "[client] age", "E202": "[client] pregnant", "E204": "[intake] birth_months_ago",
    "E207": "[client] sex",
}  # fmt: skip
SEX_LEFT_OPEN, OTHER_CONVERSION = "E207", "E501"


def obstacle_of(visit: Visit, settings: Settings) -> Problem | None:
    """Return why a visit gets no single range with some settings, None where nothing stands against it.

    E501 for a conversion that was made for another sex or age, which is no answer but an error; else as
    ``refusal_of``.
    """
    return _other_conversion(visit, settings) or refusal_of(visit)


def refusal_of(visit: Visit) -> Problem | None:
    """Whoever must not get an adult range, and what to do instead."""
    client = visit.client
    code = refusal_code(visit.intake, client.age_years, is_pregnant=client.pregnant)
    if code is None and client.known_sex is None:
        code = SEX_LEFT_OPEN
    if code is None:
        return None
    what, remedy = REFUSAL_WORDS[code]
    return Problem(code, WHERE_REPORTED.get(code, "[intake]"), what, remedy)


def _other_conversion(visit: Visit, settings: Settings) -> Problem | None:
    """A conversion that was made for another sex or age.

    Where the sex is left open both are asked for their answers, each by itself.
    """
    client, chosen = visit.client, settings.conversion
    if client.known_sex is None:
        return None
    ages, ancestry = np.array([client.age_years]), np.array([client.known_ancestry])
    athlete = np.array([float(client.athlete)])
    if conversion_fits(chosen, client.known_sex, ages, ancestry, athlete)[0]:
        return None
    whom = f"{chosen.population} ({chosen.sex}, {chosen.ages[0]:g} to {chosen.ages[1]:g} years)"
    remedy = (
        "Use one that fits the client, or leave the option out (foldspan equations --conversions)."
    )
    return Problem(OTHER_CONVERSION, "conversion", f"made for {whom}", remedy)


def with_what_cannot_wait(visits: Sequence[Visit], error: FoldspanError) -> FoldspanError:
    """Return an error about visits that could be read, with what in them needs somebody today first."""
    urgent = dict.fromkeys(
        problem_of_flag(flag.code, RULE_BY_CODE[flag.code].ladder, "visit")
        for visit in visits
        for flag in health_without_range(visit).flags
        if flag.level == "refer_urgently"
    )
    new = [problem for problem in urgent if problem not in error.problems]
    return FoldspanError([*new, *error.problems])

"""Who gets a range: whom the equations do not hold for, and which conversion was made for whom."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldspan.estimation.settings import Settings, conversion_fits
from foldspan.problems import FoldspanError, Problem
from foldspan.results.health import health_without_range
from foldspan.standards.referral_rules import REFUSALS, RULE_BY_CODE
from foldspan.text.en import reconcile
from foldspan.visit.model import Visit
from foldspan.visit.reader import ADULT_AGE
from foldspan.visit.refused import problem_of_flag


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
    client, intake = visit.client, visit.intake
    if client.age_years < ADULT_AGE:
        code, where = "E201", "[client] age"
    elif client.pregnant:
        code, where = "E202", "[client] pregnant"
    elif intake.is_after_birth:
        code, where = "E204", "[intake] birth_months_ago"
    else:
        refused = [
            refusal.problem for refusal in REFUSALS if set(refusal.intake_words) & set(intake.words)
        ]
        if refused:
            code, where = refused[0], "[intake]"
        elif client.known_sex is None:
            code, where = "E207", "[client] sex"
        else:
            return None
    what, remedy = reconcile.REFUSAL_WORDS[code]
    return Problem(code, where, what, remedy)

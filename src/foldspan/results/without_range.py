"""Without range: the result of somebody who gets no single adult range."""

from __future__ import annotations

from collections.abc import Mapping

from foldspan.estimation.settings import Settings
from foldspan.problems import Problem
from foldspan.quantities import Sex
from foldspan.results.cautions import caution_codes
from foldspan.results.health import health_without_range
from foldspan.results.health_by_sex import health_of_both
from foldspan.results.result import Result
from foldspan.visit.model import Visit


def result_without_range(
    visit: Visit, settings: Settings, refusal: Problem, answers: Mapping[Sex, Result]
) -> Result:
    """Return the flags of a visit that gets no single range, and why it gets none.

    ``answers`` are those by the equations for each sex where it is left open which of them fit.
    """
    if answers:
        health = health_of_both(visit, [answer.health for answer in answers.values()])
    else:
        health = health_without_range(visit)
    with_range = [answer for answer in answers.values() if answer.has_range]
    return Result(
        settings.reference_method,
        health=health,
        caution_codes=caution_codes(visit, None),
        problems=(refusal,),
        by_sex=tuple(answers.items()),
        local=with_range[0].local if with_range else None,
        as_printed=settings.as_printed,
    )

"""The main job for one visit: from a ``Visit`` to a ``Result``."""

from __future__ import annotations

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Equation
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import Settings, settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.problems import FoldspanError
from foldspan.quantities import SEXES, Sex
from foldspan.results.build import result_of
from foldspan.results.case_of_visit import case_of, joined_with, placed_outside
from foldspan.results.result import Result
from foldspan.results.who_gets_a_range import (
    OTHER_CONVERSION,
    SEX_LEFT_OPEN,
    obstacle_of,
    with_what_cannot_wait,
)
from foldspan.results.without_range import result_without_range
from foldspan.visit.model import Visit


def equations() -> tuple[Equation, ...]:
    """Return the catalogue: one card for every published equation.

    Examples
    --------
    >>> import foldspan
    >>> len(foldspan.equations()) > 100
    True
    """
    return EQUATIONS


def reconcile(
    visit: Visit,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    include_outside: bool = False,
) -> Result:
    """Combine the methods of one visit into a single range.

    Parameters
    ----------
    visit : Visit
        Read with ``Visit.from_file`` or ``Visit.from_dict``.
    reference_method : str
        ``density`` (underwater weighing) or ``dxa``: the reference method of the result.
    conversion : str
        Key of the density-to-fat conversion for equations that predict density.
    with_disputed : bool
        Also use equations whose published coefficients are disputed.
    as_printed : bool
        Use every equation as published. With ``dxa``, its known average error in the US survey is
        then not corrected. With ``density`` nothing is corrected anyway; only equations given by
        age group change, and jump from one group to the next.
    local : LocalCorrection, optional
        A local correction from ``foldspan calibrate --fit``; see ``site_correction``. The library
        uses none unless it is given here; the commands use the one in the settings file.
    include_outside : bool
        Include the visit's results from elsewhere in the range, if they add up and were taken at
        about the same time and weight.

    Returns
    -------
    Result
        Frozen; ``to_dict()`` is the JSON of schema version 2. Under 18, in pregnancy or without a
        usable equation it has no range, and ``problems`` says why.

    Raises
    ------
    FoldspanError
        E501 for an unknown reference method, or a conversion that is unknown or was made for other
        people; E502 if the covariance of the errors is not positive definite; E601 for a local
        correction with another reference method.

    Examples
    --------
    >>> import foldspan
    >>> visit = foldspan.Visit.from_dict({
    ...     "client": {"sex": "female", "age_years": 41},
    ...     "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    ...     "girths_cm": {"waist_midpoint": [82.4, 82.9]},
    ... })
    >>> result = foldspan.reconcile(visit)
    >>> result.verdict
    'agree'
    >>> low, high = result.fat_percent.range_80
    >>> 20 < low < result.fat_percent.estimate < high < 45
    True
    """
    if not isinstance(visit, Visit):
        raise TypeError("reconcile takes a Visit: read one with Visit.from_file or Visit.from_dict")
    settings = settings_for(
        reference_method,
        conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=local,
    )
    return result_for(visit, settings, include_outside=include_outside)


def result_for(visit: Visit, settings: Settings, *, include_outside: bool = False) -> Result:
    """Return the answer of ``reconcile`` for settings that are chosen already.

    Raises
    ------
    FoldspanError
        E501 for a conversion that was made for others, E502 as in ``reconcile``.
    """
    obstacle = obstacle_of(visit, settings)
    if obstacle is None:
        case = case_of(visit, settings)
        joined = joined_with(case, placed_outside(visit, case) if include_outside else ())
        return result_of(visit, CaseAnalysis(case), joined)
    if obstacle.code == OTHER_CONVERSION:
        raise with_what_cannot_wait([visit], FoldspanError([obstacle]))
    answers = (
        _answers_by_sex(visit, settings, include_outside) if obstacle.code == SEX_LEFT_OPEN else {}
    )
    return result_without_range(visit, settings, obstacle, answers)


def _answers_by_sex(visit: Visit, settings: Settings, include_outside: bool) -> dict[Sex, Result]:
    """The answer by the equations for each sex, where it is left open which of them fit."""
    return {
        sex: result_for(visit.for_sex(sex), settings, include_outside=include_outside)
        for sex in SEXES
    }

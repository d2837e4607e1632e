"""What one visit means for health: from a ``Visit`` to a ``Health``."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.api.reconcile import result_for
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import Settings, settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.results.case_of_visit import case_of, joined_with, placed_outside
from foldspan.results.health import health_of
from foldspan.results.result import Health
from foldspan.results.who_gets_a_range import obstacle_of
from foldspan.visit.model import Visit


def health(
    visit: Visit,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    include_outside: bool = False,
) -> Health:
    """Compare one visit with the health standards, and apply the rules for flags.

    Parameters
    ----------
    visit : Visit
        Its ``[intake]`` is used too.
    reference_method, conversion, with_disputed, as_printed, local, include_outside
        As in ``reconcile``. Body-fat bands always use the reference method of their standard.

    Returns
    -------
    Health
        ``bands`` with a probability for every band, ``flags`` with the most urgent first, and the
        standards that disagree. A client who gets no adult range gets flags, but no bands. This is
        screening, not diagnosis; docs/health-tables.md lists every rule with its source.

    Raises
    ------
    FoldspanError
        As in ``reconcile``.

    Examples
    --------
    >>> import foldspan
    >>> visit = foldspan.Visit.from_dict({
    ...     "client": {"sex": "female", "age_years": 41},
    ...     "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    ...     "intake": {"symptoms": ["chest_pain"]},
    ... })
    >>> found = foldspan.health(visit)
    >>> [(flag.level, flag.code) for flag in found.flags]
    [('refer_urgently', 'heart_signs')]
    >>> round(sum(found.bands[0].probabilities.values()), 6)
    1.0
    """
    if not isinstance(visit, Visit):
        raise TypeError("health takes a Visit: read one with Visit.from_file or Visit.from_dict")
    settings = settings_for(
        reference_method,
        conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=local,
    )
    (found,) = health_by_intake([visit], settings, include_outside=include_outside)
    return found


def health_by_intake(
    visits: Sequence[Visit], settings: Settings, *, include_outside: bool = False
) -> list[Health]:
    """Return the health check of visits that differ in nothing but what the client told.

    They are reconciled once, and only the health check of a result is worked out.
    """
    if any(obstacle_of(visit, settings) is not None for visit in visits):
        return [
            result_for(visit, settings, include_outside=include_outside).health for visit in visits
        ]
    case = case_of(visits[0], settings)
    joined = joined_with(case, placed_outside(visits[0], case) if include_outside else ())
    analysis = CaseAnalysis(case)
    return [health_of(visit, analysis, joined) for visit in visits]

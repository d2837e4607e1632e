"""What one visit means for health: from a ``Visit`` to a ``Health``."""

from __future__ import annotations

from foldspan.api.reconcile import reconcile
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.results.result import Health
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
    result = reconcile(
        visit,
        reference_method=reference_method,
        conversion=conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=local,
        include_outside=include_outside,
    )
    return result.health

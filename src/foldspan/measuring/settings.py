"""Settings: those of every answer of a session, by what was asked for when it began."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.catalogue.card import DEFAULT_REFERENCE
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import settings_for


def session_settings(options: Mapping[str, Any], local: LocalCorrection | None) -> dict[str, Any]:
    """Return the settings of every answer of a session, as ``reconcile`` takes them.

    Parameters
    ----------
    asked : mapping
        What was asked for, or the facts of a session: ``reference_method``, ``as_printed``. Without a
        reference method the answer stands on that of the correction.
    local : LocalCorrection or None
        The site's own correction.

    Raises
    ------
    FoldspanError
        E501 or E601 for settings that cannot be meant.
    """
    usual = DEFAULT_REFERENCE if local is None else local.reference_method
    reference_method = str(options.get("reference_method") or usual)
    as_printed = options.get("as_printed") is True
    settings_for(reference_method, "siri1961", local=local, as_printed=as_printed)
    return {"reference_method": reference_method, "local": local, "as_printed": as_printed}

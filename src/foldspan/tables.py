"""Tables: the main job for many clients at once, one row a client."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pandas as pd

from foldspan import agreement
from foldspan.applicability import LEAVES_OUT
from foldspan.catalogue.card import FAMILIES, Array
from foldspan.local import LocalCorrection
from foldspan.quantities import SEXES
from foldspan.reconciliation import Reconciled, settings_for
from foldspan.table_clients import Clients
from foldspan.table_flags import FlagColumns
from foldspan.table_reader import Rows, check_columns, unused_columns

NUMBERS = (
    "fat_percent",
    "fat_percent_se",
    "likely_low",
    "likely_high",
    "wide_low",
    "wide_high",
    *(f"{family}_percent" for family in FAMILIES),
    "equations_used",
)
ORDER = (
    "fat_percent",
    "fat_percent_se",
    "likely_low",
    "likely_high",
    "wide_low",
    "wide_high",
    "verdict",
    "skinfold_percent",
    "girth_percent",
    "mass_height_percent",
    "waist_height_percent",
    "equations_used",
    "flags",
    "worst_flag_level",
    "problems",
)


def reconcile_table(
    frame: pd.DataFrame,
    *,
    scale: str = "density",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    local: LocalCorrection | None = None,
) -> pd.DataFrame:
    """Reconcile one row a client.

    Parameters
    ----------
    frame : DataFrame
        Columns by quantity name and unit (``weight_kg``, ``triceps_mm``, …); ``sex`` and
        ``age_years`` are needed, ``ancestry``, ``pregnant`` and ``athlete`` optional. Numbers, or texts
        with units; ``family_background`` and the intake columns are optional too (docs/health.md). Each
        value counts as one accepted value with the published technical error.
    scale, conversion, with_disputed, local
        As in ``reconcile``.

    Returns
    -------
    DataFrame
        Same index; columns ``fat_percent``, ``fat_percent_se``, ``likely_low``, ``likely_high``,
        ``wide_low``, ``wide_high`` [% of weight], ``verdict``, one estimate a family, the number of
        ``equations_used``, ``flags`` (codes, the most urgent first), ``worst_flag_level`` and
        ``problems`` (codes; "" if none). A value that cannot be used is left out and its row says so; a
        row without a range says why.

    Raises
    ------
    FoldspanError
        If the table as a whole cannot be read; see ``check_columns`` and ``settings_for``.

    Examples
    --------
    >>> import pandas as pd, foldspan
    >>> table = pd.DataFrame({"sex": ["male"], "age_years": [35], "weight_kg": [80.0],
    ...                       "height_cm": [178.0], "waist_iliac_cm": [88.0]})
    >>> answer = foldspan.reconcile_table(table)
    >>> bool(answer.likely_low[0] < answer.fat_percent[0] < answer.likely_high[0])
    True
    """
    settings = settings_for(scale, conversion, with_disputed=with_disputed, local=local)
    check_columns(frame)
    if unused := unused_columns(frame):
        text = f"columns not used, their names are not known: {', '.join(unused)} [W402]"
        warnings.warn(text, UserWarning, stacklevel=2)
    rows = Rows(frame)
    clients = Clients.read(rows)
    for one in SEXES:
        clients.leave_out(rows, one, settings.conversion)
    numbers = {name: np.full(rows.length, np.nan) for name in NUMBERS}
    verdict = np.full(rows.length, "", dtype=object)
    flags = FlagColumns(rows.length)
    for some, people, answer in clients.answers(settings):
        _fill(numbers, verdict, some, answer)
        flags.fill(clients, some, people, answer, settings)
    flags.fill_without_range(clients)
    rows.mark(np.isnan(numbers["fat_percent"]) & clients.able, "E203", "")
    used = np.nan_to_num(numbers.pop("equations_used")).astype(int)
    table: dict[str, Any] = {
        **numbers,
        "verdict": verdict,
        "equations_used": used,
        "flags": flags.codes,
        "worst_flag_level": flags.worst,
        "problems": rows.codes,
    }
    return pd.DataFrame(table, index=frame.index)[list(ORDER)]


def _fill(numbers: dict[str, Array], verdict: Array, some: Array, answer: Reconciled) -> None:
    """Write the answers of some rows of one sex."""
    combined = answer.combined
    numbers["fat_percent"][some] = combined.estimate
    numbers["fat_percent_se"][some] = combined.se
    for name, z in (("likely", agreement.Z_LIKELY), ("wide", agreement.Z_WIDE)):
        low, high = agreement.interval(combined.estimate, combined.se, z)
        numbers[f"{name}_low"][some], numbers[f"{name}_high"][some] = low, high
    for place, family in enumerate(FAMILIES):
        numbers[f"{family}_percent"][some] = answer.families[place]
    usable = (answer.flags & int(LEAVES_OUT)) == 0
    numbers["equations_used"][some] = usable.sum(axis=0)
    words = agreement.verdicts(combined.q, combined.dof)
    verdict[some] = np.where(np.isnan(combined.estimate), "", words)


__all__ = ["check_columns", "reconcile_table", "unused_columns"]

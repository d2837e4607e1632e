"""Tables: the main job for a pandas data frame, one row per client."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import settings_for
from foldspan.extras import require
from foldspan.tables.answers import FAMILY_COLUMNS, RANGE, VERDICTS, answer_rows
from foldspan.tables.findings import short_texts
from foldspan.tables.flags import worst_level
from foldspan.tables.value_words import meanings

if TYPE_CHECKING:
    import pandas as pd


def reconcile_table(
    frame: pd.DataFrame,
    *,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    words: Mapping[str, Any] | None = None,
) -> pd.DataFrame:
    """Calculate a range for each row of a table, one row per client.

    Parameters
    ----------
    frame : DataFrame
        Columns named by quantity and unit (``weight_kg``, ``triceps_mm``, …; also ``weight_lb``, or
        one column for each reading, ``triceps_mm_1`` to ``_3``); ``sex`` and ``age_years`` are
        required; ``ancestry``, ``pregnant``, ``athlete``, ``family_background`` and the intake
        columns are optional (docs/health.md). Values are numbers, or texts with units.
    reference_method, conversion, with_disputed, as_printed, local
        As in ``reconcile``.
    words : mapping, optional
        Word in the table → word used here, as in ``screen_table``.

    Returns
    -------
    DataFrame
        Same index; columns ``fat_percent``, ``fat_percent_se``, ``range_80_low``,
        ``range_80_high``, ``range_95_low``, ``range_95_high`` [% of weight], ``verdict``, one
        estimate for each method group, the number of ``equations_used``, ``flags`` (codes, the most
        urgent first), ``worst_flag_level`` and ``problems`` (codes; "" if none). A value that
        cannot be used is left out, and ``problems`` says so; for a row without a range it says why.

    Raises
    ------
    FoldspanError
        If the table as a whole cannot be read, or an option is unknown.

    Examples
    --------
    >>> import pandas as pd, foldspan
    >>> table = pd.DataFrame({"sex": ["male"], "age_years": [35], "weight_kg": [80.0],
    ...                       "height_cm": [178.0], "waist_iliac_cm": [88.0]})
    >>> answer = foldspan.reconcile_table(table)
    >>> bool(answer.range_80_low[0] < answer.fat_percent[0] < answer.range_80_high[0])
    True
    """
    require("frames")
    import pandas as pd

    from foldspan.tables.pandas_input import cells_of, check_columns

    settings = settings_for(
        reference_method,
        conversion,
        with_disputed=with_disputed,
        as_printed=as_printed,
        local=local,
    )
    layout = check_columns(frame)
    if layout.unused:
        text = f"columns not used (unknown names): {', '.join(layout.unused)} [W402]"
        warnings.warn(text, UserWarning, stacklevel=2)
    answers = answer_rows(cells_of(frame, layout, meanings(words or {})), settings)
    return pd.DataFrame(
        {
            **{name: answers.numbers[name] for name in RANGE},
            "verdict": pd.Series(VERDICTS, dtype=object).to_numpy()[answers.verdict],
            **{name: answers.numbers[name] for name in FAMILY_COLUMNS},
            "equations_used": answers.equations_used.astype(int),
            "flags": answers.flags.texts("; ".join),
            "worst_flag_level": answers.flags.texts(worst_level),
            "problems": answers.problems.texts(short_texts),
        },
        index=frame.index,
    )


__all__ = ["reconcile_table"]

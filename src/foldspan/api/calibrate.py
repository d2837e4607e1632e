"""Calibrating from Python: the ranges of a table against its references, and a local correction."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from foldspan.estimation.local_correction import LocalCorrection
from foldspan.problems import FoldspanError, Problem
from foldspan.tables.columns import Wanted
from foldspan.tables.whole_table import read_table
from foldspan.validation import recalibration
from foldspan.validation.correction_file import read
from foldspan.validation.recalibration import LearntCorrection
from foldspan.validation.references import ReferencedTable, from_file, referenced
from foldspan.validation.table import Calibration, judge_ranges

if TYPE_CHECKING:
    import pandas as pd


def calibrate(
    table: str | os.PathLike[str] | pd.DataFrame | ReferencedTable,
    *,
    names: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
    words: Mapping[str, Any] | None = None,
    reference_method: str = "",
    local: LocalCorrection | None = None,
    as_printed: bool = False,
) -> Calibration:
    """Compare the ranges of a table with its reference body-fat percentages.

    Parameters
    ----------
    table : str, path or DataFrame
        One row per client: a file or a folder of parts as for ``screen_table``, ``-`` for standard
        input, or a frame as for ``reconcile_table``; with the columns ``reference_fat_percent`` [%
        of weight] and ``reference_method`` (``density`` or ``dxa``).
    names, units, words : mapping, optional
        As in ``screen_table``; for a file only.
    reference_method : str
        Reference method of all rows, ``density`` or ``dxa``, if there is no such column.
    local : LocalCorrection, optional
        Correction to apply to the ranges.
    as_printed : bool
        As in ``reconcile``.

    Returns
    -------
    Calibration
        How often the ranges covered the reference value and how wide they were, by group and by
        equation.

    Raises
    ------
    FoldspanError
        E301 to E307 for a file that cannot be read, E401 without reference values or their method,
        E404 if it is not a table, E405 with fewer than ten people, E501 for ``names``, ``units`` or
        ``words`` with a frame, and as in ``reconcile_table`` for its columns.

    Examples
    --------
    >>> import pandas as pd, foldspan
    >>> table = pd.DataFrame({
    ...     "sex": "male", "age_years": range(30, 50), "weight_kg": range(70, 90),
    ...     "height_cm": 178.0, "reference_fat_percent": range(15, 35),
    ... })
    >>> found = foldspan.calibrate(table, reference_method="density")
    >>> found.counts["judged"], found.overall.n
    (20, 20)
    """
    people, problems = _people(table, _wanted(names, units, words))
    judged = judge_ranges(people, reference_method, local, as_printed=as_printed)
    return replace(judged, problems=problems)


def learn_correction(
    table: str | os.PathLike[str] | pd.DataFrame | ReferencedTable,
    *,
    names: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
    words: Mapping[str, Any] | None = None,
    reference_method: str = "",
) -> LearntCorrection:
    """Learn a local correction from clients who were also measured by a reference method.

    It is tested by five-fold cross-validation. Pass its ``correction`` to ``reconcile`` and the
    other functions as ``local``; ``save_correction`` saves it.

    Parameters
    ----------
    table, names, units, words, reference_method
        As in ``calibrate``; with one reference method only.

    Raises
    ------
    FoldspanError
        As in ``calibrate``; E405 with fewer than 30 people of either sex, E602 if the corrected
        ranges would cover less than stated and less than without it, E113 if the table has both
        reference methods.

    Examples
    --------
    >>> import numpy as np, pandas as pd, foldspan
    >>> table = pd.DataFrame({
    ...     "sex": "male", "age_years": 40, "weight_kg": np.linspace(65, 95, 60),
    ...     "height_cm": 178.0, "reference_fat_percent": np.linspace(13, 33, 60),
    ... })
    >>> foldspan.learn_correction(table, reference_method="density").correction.people
    60
    """
    return recalibration.learn_from(
        _people(table, _wanted(names, units, words))[0], reference_method
    )


def save_correction(
    path: str | os.PathLike[str], learnt: LearntCorrection, *, replace: bool = False
) -> None:
    """Write a local correction to a TOML file that only its owner can read, complete or not at all.

    Parameters
    ----------
    path : str or path
        The file to write.
    learnt : LearntCorrection
        As returned by ``learn_correction``; the cross-validation results are written along with it.
    replace : bool
        Overwrite an existing file.

    Raises
    ------
    FoldspanError
        E302 if the path is not a file, E303 if it cannot be written, E308 if the file already
        exists.
    """
    recalibration.write(os.fspath(path), learnt, replace=replace)


def read_correction(path: str | os.PathLike[str]) -> LocalCorrection:
    """Return the local correction in a file, with its numbers as rounded there.

    Raises
    ------
    FoldspanError
        E301 to E307 if the file cannot be read, E601 if it was not written by ``save_correction``.
    """
    return read(os.fspath(path))


def _wanted(
    names: Mapping[str, str] | None,
    units: Mapping[str, str] | None,
    words: Mapping[str, Any] | None,
) -> Wanted | None:
    return Wanted(names or {}, units or {}, words or {}) if names or units or words else None


def _people(
    table: str | os.PathLike[str] | pd.DataFrame | ReferencedTable, wanted: Wanted | None
) -> tuple[ReferencedTable, tuple[Problem, ...]]:
    """Return the people of a table, and the rows of a file of which nothing can be used."""
    if isinstance(table, str | os.PathLike):
        read_from = read_table(os.fspath(table), "" if wanted is None else wanted.sheet)
        return from_file(read_from, wanted), read_from.problems
    if wanted is not None:
        remedy = "Rename its columns, convert its numbers, or give the path of a file."
        what = "are for a file, not for a frame"
        raise FoldspanError([Problem("E501", "names, units, words", what, remedy)])
    return referenced(table), ()

"""foldspan: one honest body-fat range from skinfolds, girths, BMI and waist-to-height.

Examples
--------
>>> import foldspan
>>> visit = foldspan.Visit.from_dict({
...     "client": {"sex": "male", "age_years": 35},
...     "mass_height": {"weight_kg": 80.0, "height_cm": 178.0},
... })
>>> foldspan.reconcile(visit).verdict
'single'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foldspan.api.book import Book, BookVisit
    from foldspan.api.calibrate import (
        calibrate,
        learn_correction,
        read_correction,
        save_correction,
    )
    from foldspan.api.change import change
    from foldspan.api.explain import explain
    from foldspan.api.group_summary import GroupSummary, group_summary
    from foldspan.api.health import health
    from foldspan.api.precision import precision
    from foldspan.api.reconcile import equations, reconcile
    from foldspan.api.reconcile_table import reconcile_table
    from foldspan.api.report import report
    from foldspan.api.screen import screen_table
    from foldspan.estimation.local_correction import LocalCorrection
    from foldspan.export.report import Report
    from foldspan.measurement.technical_error import Repeat
    from foldspan.practice.model import Practice
    from foldspan.practice.settings import site_practice
    from foldspan.problems import FoldspanError, Problem
    from foldspan.results.change import ChangeResult
    from foldspan.results.explanation import Explanation
    from foldspan.results.precision import PrecisionResult
    from foldspan.results.result import Health, Result
    from foldspan.screening.before.given import EarlierTable
    from foldspan.screening.summary import Screening
    from foldspan.validation.correction_file import site_correction
    from foldspan.validation.recalibration import LearntCorrection
    from foldspan.validation.table import Calibration
    from foldspan.visit.model import Visit

__version__ = "0.7.0"

_HOMES = {
    "Book": "foldspan.api.book",
    "BookVisit": "foldspan.api.book",
    "Calibration": "foldspan.validation.table",
    "ChangeResult": "foldspan.results.change",
    "EarlierTable": "foldspan.screening.before.given",
    "Explanation": "foldspan.results.explanation",
    "FoldspanError": "foldspan.problems",
    "GroupSummary": "foldspan.api.group_summary",
    "Health": "foldspan.results.result",
    "LearntCorrection": "foldspan.validation.recalibration",
    "LocalCorrection": "foldspan.estimation.local_correction",
    "Practice": "foldspan.practice.model",
    "PrecisionResult": "foldspan.results.precision",
    "Problem": "foldspan.problems",
    "Repeat": "foldspan.measurement.technical_error",
    "Report": "foldspan.export.report",
    "Result": "foldspan.results.result",
    "Screening": "foldspan.screening.summary",
    "Visit": "foldspan.visit.model",
    "calibrate": "foldspan.api.calibrate",
    "change": "foldspan.api.change",
    "equations": "foldspan.api.reconcile",
    "explain": "foldspan.api.explain",
    "group_summary": "foldspan.api.group_summary",
    "health": "foldspan.api.health",
    "learn_correction": "foldspan.api.calibrate",
    "precision": "foldspan.api.precision",
    "read_correction": "foldspan.api.calibrate",
    "reconcile": "foldspan.api.reconcile",
    "reconcile_table": "foldspan.api.reconcile_table",
    "report": "foldspan.api.report",
    "save_correction": "foldspan.api.calibrate",
    "screen_table": "foldspan.api.screen",
    "site_correction": "foldspan.validation.correction_file",
    "site_practice": "foldspan.practice.settings",
}
__all__ = [
    "Book",
    "BookVisit",
    "Calibration",
    "ChangeResult",
    "EarlierTable",
    "Explanation",
    "FoldspanError",
    "GroupSummary",
    "Health",
    "LearntCorrection",
    "LocalCorrection",
    "Practice",
    "PrecisionResult",
    "Problem",
    "Repeat",
    "Report",
    "Result",
    "Screening",
    "Visit",
    "__version__",
    "calibrate",
    "change",
    "equations",
    "explain",
    "group_summary",
    "health",
    "learn_correction",
    "precision",
    "read_correction",
    "reconcile",
    "reconcile_table",
    "report",
    "save_correction",
    "screen_table",
    "site_correction",
    "site_practice",
]


def __getattr__(name: str) -> Any:
    """Load a public name on first use, so that importing foldspan loads no table library."""
    if name not in _HOMES:
        raise AttributeError(f"module 'foldspan' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)

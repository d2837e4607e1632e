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
    from foldspan.api.change import change
    from foldspan.api.explain import explain
    from foldspan.api.health import health
    from foldspan.api.reconcile import equations, reconcile
    from foldspan.api.reconcile_table import reconcile_table
    from foldspan.api.report import report
    from foldspan.api.screen import screen_table
    from foldspan.export.report import Report
    from foldspan.problems import FoldspanError, Problem
    from foldspan.results.change import ChangeResult
    from foldspan.results.explanation import Explanation
    from foldspan.results.result import Health, Result
    from foldspan.screening.summary import Screening
    from foldspan.visit.model import Visit

__version__ = "0.7.0"

_HOMES = {
    "ChangeResult": "foldspan.results.change",
    "Explanation": "foldspan.results.explanation",
    "FoldspanError": "foldspan.problems",
    "Health": "foldspan.results.result",
    "Problem": "foldspan.problems",
    "Report": "foldspan.export.report",
    "Result": "foldspan.results.result",
    "Screening": "foldspan.screening.summary",
    "Visit": "foldspan.visit.model",
    "change": "foldspan.api.change",
    "equations": "foldspan.api.reconcile",
    "explain": "foldspan.api.explain",
    "health": "foldspan.api.health",
    "reconcile": "foldspan.api.reconcile",
    "reconcile_table": "foldspan.api.reconcile_table",
    "report": "foldspan.api.report",
    "screen_table": "foldspan.api.screen",
    "site_correction": "foldspan.validation.correction_file",
}
__all__ = [
    "ChangeResult",
    "Explanation",
    "FoldspanError",
    "Health",
    "Problem",
    "Report",
    "Result",
    "Screening",
    "Visit",
    "__version__",
    "change",
    "equations",
    "explain",
    "health",
    "reconcile",
    "reconcile_table",
    "report",
    "screen_table",
    "site_correction",
]


def __getattr__(name: str) -> Any:
    """Load a public name on first use, so that importing foldspan loads no table library."""
    if name not in _HOMES:
        raise AttributeError(f"module 'foldspan' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)

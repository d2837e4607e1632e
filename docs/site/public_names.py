"""Reference: every public name of the package, by what it is for, from the docstrings."""

from __future__ import annotations

import foldspan

GROUPS: dict[str, tuple[str, ...]] = {
    "One visit": ("Visit", "reconcile", "Result", "explain", "Explanation", "health", "Health"),
    "Change": ("change", "ChangeResult"),
    "Tables": (
        "reconcile_table", "screen_table", "Screening", "EarlierTable", "group_summary",
        "GroupSummary",
    ),
    "Against a reference of your own": (
        "calibrate", "Calibration", "learn_correction", "LearntCorrection", "save_correction",
        "read_correction", "site_correction", "LocalCorrection",
    ),
    "How well testers repeat": ("precision", "PrecisionResult", "Repeat"),
    "The record book": ("Book", "BookVisit"),
    "Pages to hand over": ("report", "Report", "Practice", "site_practice"),
    "The catalogue": ("equations",),
    "Faults": ("FoldspanError", "Problem"),
}  # fmt: skip
# what public results hold: their fields are read, their names need not be imported
HELD: dict[str, tuple[str, ...]] = {
    "foldspan.results.result": ("Spread", "Misfit", "MethodResult", "EquationResult"),
    "foldspan.results.spoken": ("SpokenFinding", "SpokenBand", "SpokenFlag", "Ground"),
    "foldspan.explanation.decomposition": ("Pair", "Reason"),
    "foldspan.explanation.next_measurement": ("NextMeasurement",),
    "foldspan.explanation.sensitivity": ("WouldAgree", "LeftOutAnswer"),
    "foldspan.followup.difference": ("Change", "Difference", "Trend"),
    "foldspan.results.precision": ("SitePrecision", "Remark"),
    "foldspan.measurement.technical_error": ("Precision", "Offset", "Digits"),
    "foldspan.validation.scores": ("Judgement",),
    "foldspan.records.visits": ("Correction",),
    "foldspan.catalogue.card": ("Equation", "Checked"),
}
OPENING = """\
# Reference

Every name that `import foldspan` offers, from the docstrings. [Python](python.md) shows them at work,
and [versions](versions.md) says what you may rely on. The examples are run by the tests.
"""
HELD_OPENING = """\
## What results hold

Public results hold these. Read their fields; the modules in which they stand may change.
"""


def page() -> str:
    """Return the page as Markdown, for autodoc to fill.

    Raises
    ------
    ValueError
        If a public name is in no group, or a group has one that is not public.
    """
    grouped = [name for names in GROUPS.values() for name in names]
    public = set(foldspan.__all__) - {"__version__"}
    if set(grouped) != public or len(grouped) != len(public):
        raise ValueError(f"in the reference or public, not both: {public ^ set(grouped)}")
    parts = [OPENING, _contents(), _directive("```{py:module} foldspan\n```")]
    for title, names in GROUPS.items():
        parts.append(f"## {title}\n")
        parts += [_documented(f"foldspan.{name}", name) for name in names]
    parts.append(HELD_OPENING)
    parts += [
        _documented(f"{module}.{name}", name) for module, names in HELD.items() for name in names
    ]
    return "\n".join(parts)


def _contents() -> str:
    """Return every name by its group, each leading to its place on the page."""
    lines = [
        f"- {title}: {', '.join(f'{{py:obj}}`~foldspan.{name}`' for name in names)}"
        for title, names in GROUPS.items()
    ]
    return "\n".join(lines) + "\n"


def _documented(path: str, name: str) -> str:
    kind = "autofunction" if name.islower() else "autoclass"
    if name == "FoldspanError":
        kind = "autoexception"
    return _directive(f"```{{eval-rst}}\n.. {kind}:: {path}\n```")


def _directive(text: str) -> str:
    return f"{text}\n"

"""Figure of coverage: the share of people whose reference the ranges held, in every group."""

from __future__ import annotations

from typing import Any

from foldspan.figures.style import GRID, INK, PALE, QUIET, RULE, save_figure
from foldspan.validation.table import Calibration


def coverage_figure(calibration: Calibration, path: str, *, replace: bool = False) -> None:
    """Draw the share held by the 80 % and 95 % ranges in every group, with binomial bounds.

    Raises
    ------
    FoldspanError
        As ``save_figure``.
    """
    rows = [("all people", calibration.overall)]
    for kind in ("sex", "age", "bmi", "measured"):
        members = calibration.groups.get(kind, {})
        rows += list(members.items()) if len(members) > 1 else []
    words = "; ".join(
        f"{name} ({row.n}) {100 * row.coverage[0.80][0]:.0f}% and {100 * row.coverage[0.95][0]:.0f}%"
        for name, row in rows
    )
    title = "Share of people whose reference value lies in the 80% and the 95% range"
    with save_figure(path, title, f"{title}: {words}.", replace=replace) as plt:
        _coverage(plt, rows)


def _coverage(plt: Any, rows: list[tuple[str, Any]]) -> None:
    figure, sides = plt.subplots(
        1, 2, sharey=True, figsize=(8.2, 1.6 + 0.34 * len(rows)), layout="constrained"
    )
    for axis, level in zip(sides, (0.80, 0.95), strict=True):
        axis.axvline(100 * level, color=RULE, linewidth=1.2)
        for place, (_, row) in enumerate(rows):
            held, low, high = row.coverage[level]
            axis.plot([100 * low, 100 * high], [place, place], color=PALE, linewidth=4)
            axis.plot(100 * held, place, marker="o", color=INK, markersize=6)
        axis.set_title(f"{100 * level:.0f}% range", fontsize=11, color=INK)
        axis.set_xlabel("people whose reference value lies in the range (%)")
        axis.grid(axis="x", color=GRID, linewidth=0.6)
        axis.spines[["top", "right", "left"]].set_visible(False)
        axis.tick_params(left=False)
        axis.set_axisbelow(True)
    sides[0].set_yticks(range(len(rows)), [f"{name}  ({row.n})" for name, row in rows])
    sides[0].invert_yaxis()
    figure.suptitle(
        "Dots: share covered. Bars: 95% binomial limits. Vertical line: the stated coverage.",
        fontsize=9,
        color=QUIET,
    )

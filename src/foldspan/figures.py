"""Figures: how often ranges held, drawn for print and screen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from foldspan.calibrate_table import Calibration
from foldspan.problems import FoldspanError, Problem

ENDINGS = (".png", ".svg", ".pdf")
INK, PALE, RULE = "#1f3a4d", "#8fb3c4", "#b5651d"


@contextmanager
def save_figure(path: str) -> Iterator[Any]:
    """Lend the drawing library, then write the figure that was drawn last and close it.

    Raises
    ------
    FoldspanError
        E307 for an ending other than .png, .svg or .pdf, E303 if the file cannot be written.
    """
    if Path(path).suffix.lower() not in ENDINGS:
        raise FoldspanError(
            [Problem("E307", path, "ending not known", f"Use {', '.join(ENDINGS)}.")]
        )
    import matplotlib as mpl

    mpl.use("Agg")
    from matplotlib import pyplot as plt

    # the same figure is the same file: no date, no random names
    mpl.rcParams["svg.hashsalt"] = "foldspan"
    metadata = {"Date": None} if path.endswith(".svg") else None
    try:
        yield plt
        plt.gcf().savefig(path, dpi=150, metadata=metadata)
    except OSError:
        raise FoldspanError(
            [Problem("E303", path, "cannot be written", "Check the folder and its permissions.")]
        ) from None
    finally:
        plt.close("all")


def coverage_figure(calibration: Calibration, path: str) -> None:
    """Draw the share held by the 80 % and 95 % ranges in every group, with binomial bounds.

    Raises
    ------
    FoldspanError
        E307 for an ending other than .png, .svg or .pdf, E303 if the file cannot be written.
    """
    rows = [("all people", calibration.overall)]
    for kind in ("sex", "age", "bmi", "measured"):
        members = calibration.groups.get(kind, {})
        rows += list(members.items()) if len(members) > 1 else []
    with save_figure(path) as plt:
        _coverage(plt, rows)


def _coverage(plt: Any, rows: list[tuple[str, Any]]) -> None:
    figure, sides = plt.subplots(
        1, 2, sharey=True, figsize=(8.2, 1.6 + 0.34 * len(rows)), layout="constrained"
    )
    for axis, level in zip(sides, (0.80, 0.95), strict=True):
        axis.axvline(100 * level, color=RULE, linewidth=1.2)
        for place, (_, one) in enumerate(rows):
            held, low, high = one.coverage[level]
            axis.plot([100 * low, 100 * high], [place, place], color=PALE, linewidth=4)
            axis.plot(100 * held, place, marker="o", color=INK, markersize=6)
        axis.set_title(f"{100 * level:.0f} % range", fontsize=11, color=INK)
        axis.set_xlabel("people whose reference it held [%]")
        axis.grid(axis="x", color="#e3e3e3", linewidth=0.6)
        axis.spines[["top", "right", "left"]].set_visible(False)
        axis.tick_params(left=False)
        axis.set_axisbelow(True)
    sides[0].set_yticks(range(len(rows)), [f"{name}  ({one.n})" for name, one in rows])
    sides[0].invert_yaxis()
    figure.suptitle(
        "Dots: share held. Bars: 95 % binomial bounds. Upright line: what the range says.",
        fontsize=9,
        color="#555555",
    )

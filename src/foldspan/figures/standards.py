"""Figure of the health standards for body fat: how they compare by sex, age and scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldspan.figures.style import GRID, INK, PALE, QUIET, RULE, save_figure
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.card import Standard
from foldspan.standards.fat_percent import HEO_SPANS

LAST_AGE, HIGHEST = 96, 70.0
# to the right of the ages, where no limit is drawn: spans that are not by age
BESIDE, APART = 101.0, 4.0
# What a person of a healthy weight carries is shaded; lines are single limits.
# Both go by how the keys of standards begin.
SHADED = ("gallagher2000", "nhanes2017")
LINES: dict[str, tuple[str, str, str]] = {
    "potter2025": (RULE, "-", ("metabolic syndrome begins to appear / is common (2025)")),
    "pasco2014": (INK, ":", "fat matching a BMI of 30 (2014)"),
    "sport_minimum": ("#7a1f2b", "--", "minimum certified in sport"),
    "rule_of_thumb": ("#777777", "-.", "common practice, no source"),
}
REFERENCE_TITLES = {
    "density": "reference method: underwater weighing",
    "dxa": "reference method: DXA",
}
SHOWS = (
    "Limits of body fat by sex, age and reference method. Limits for one reference method do not"
    " apply to the other."
)
SEX_TITLES = {"female": "women", "male": "men"}


def standards_figure(path: str, *, replace: bool = False) -> None:
    """Draw every fat standard that is shown to clients, by sex and scale, over age.

    Raises
    ------
    FoldspanError
        As ``save_figure``.
    """
    with save_figure(path, "Standards of body fat", SHOWS, replace=replace) as plt:
        figure, axes = plt.subplots(
            2, 2, sharex=True, sharey=True, figsize=(9.0, 8.4), layout="constrained"
        )
        for row, reference_method in enumerate(REFERENCE_TITLES):
            for column, sex in enumerate(SEX_TITLES):
                axis = axes[row][column]
                rows = [
                    standard
                    for standard in ALL_STANDARDS
                    if standard.is_shown
                    and standard.measure == "fat_percent"
                    and standard.reference_method == reference_method
                    and standard.sex in (sex, "both")
                ]
                _panel(axis, rows)
                if reference_method == "dxa":
                    _spans(axis, sex)
                axis.set_title(
                    f"{SEX_TITLES[sex]}, {REFERENCE_TITLES[reference_method]}",
                    fontsize=11,
                    color=INK,
                )
                axis.legend(loc="upper left", fontsize=7.5, frameon=False)
        for axis in axes[1]:
            axis.set_xlabel("age (years)")
        for axis in axes[:, 0]:
            axis.set_ylabel("body fat (%)")
        figure.suptitle(SHOWS, fontsize=10, color=QUIET)


def _panel(axis: Any, rows: Sequence[Standard]) -> None:
    named: set[str] = set()

    def label(text: str) -> str | None:
        if text in named:
            return None
        named.add(text)
        return text

    for standard in rows:
        first, last = (
            standard.ages[0],
            LAST_AGE if standard.ages[1] is None else standard.ages[1] + 1,
        )
        if standard.key.startswith(SHADED):
            spread = "each group" if standard.backgrounds else f"{standard.year}"
            text = f"matches a healthy weight ({standard.year}, {spread})"
            text = text.replace(f"({standard.year}, {standard.year})", f"({standard.year})")
            axis.fill_between(
                [first, last], standard.limits[0], standard.limits[1],
                color=PALE, alpha=0.35 if standard.backgrounds else 0.6, linewidth=0,
                label=label(text),
            )  # fmt: skip
            axis.hlines(standard.limits[2], first, last, color=INK, linewidth=1.0, alpha=0.6,
                        label=label(f"matches a BMI of 30 ({standard.year})"))  # fmt: skip
            continue
        colour, style, text = next(
            line for start, line in LINES.items() if standard.key.startswith(start)
        )
        # of the risk limits the lowest, no case seen below, is no limit to hold anybody to
        limits = standard.limits[1:] if standard.key.startswith("potter2025") else standard.limits
        for limit in limits:
            axis.hlines(
                limit, first, last, color=colour, linestyle=style, linewidth=1.5, label=label(text)
            )
    axis.set_xlim(18, BESIDE + 4 * APART + 2.0)
    axis.set_ylim(0, HIGHEST)
    axis.set_yticks(range(0, 60, 10))
    axis.set_xticks(range(20, LAST_AGE, 10))
    axis.grid(axis="y", color=GRID, linewidth=0.6)
    axis.spines[["top", "right"]].set_visible(False)
    axis.set_axisbelow(True)


def _spans(axis: Any, sex: str) -> None:
    """Spans over ages and groups whose single cells were not read, to the right of the ages."""
    for place, (bmi, (low, high)) in enumerate(HEO_SPANS[sex].items()):
        aside = BESIDE + APART * place
        axis.plot([aside, aside], [low, high], color=QUIET, linewidth=3.0, solid_capstyle="butt")
        axis.annotate(
            f"{bmi:g}", (aside, low - 0.6), fontsize=7.5, ha="center", va="top", color=QUIET
        )
    axis.plot(
        [], [], color=QUIET, linewidth=3.0, label=("range across ages and groups, by BMI (2012)")
    )

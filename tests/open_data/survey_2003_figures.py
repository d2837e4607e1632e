"""Figures of docs/calibration.md on NHANES 2003-2004: narrow enough to be read on a phone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from foldspan.figures.style import BAR, GRID, INK, PALE, QUIET, RULE, save_figure
from foldspan.quantities import SEXES
from foldspan.validation.scores import Judgement
from open_data.survey_2003 import PEOPLE, SETS, ranges
from open_data.survey_2003_tables import signed

Panel = tuple[str, list[tuple[str, Judgement]]]
WIDTH, PITCH, HEAD, FOOT = 4.9, 0.27, 0.62, 0.5  # inches
LEFT, RIGHT = 1.8, 0.62
SIZE = 9.5  # points
LEAST_SHARE = 50.0


def panels_overall() -> Iterator[Panel]:
    """Yield every set of inputs with both sexes."""
    for name in SETS:
        groups = [(sex, ranges(name).of_sex(sex)) for sex in SEXES]
        yield (
            name,
            [(f"{PEOPLE[sex]} ({group.truth.size})", group.judged()) for sex, group in groups],
        )


def panels_by(kind: str, words: str) -> Iterator[Panel]:
    """Yield every set of inputs with the classes of a kind, by sex."""
    for name in SETS:
        rows = []
        for sex in SEXES:
            for label, group in ranges(name).of_sex(sex).by(kind):
                named = words.format(sex=PEOPLE[sex], label=label, n=group.truth.size)
                rows.append((named, group.judged()))
        yield name, rows


def draw(path: Path, panels: Sequence[Panel]) -> None:
    """Draw how often the 80% and the 95% range hold, one panel a set of inputs."""
    rows = sum(len(members) for _, members in panels)
    height = rows * PITCH + len(panels) * HEAD + FOOT
    title = "How often the 80% and the 95% range hold, by group"
    words = "; ".join(
        f"{panel}, {name}: {100 * judgement.coverage[0.80][0]:.0f}%"
        f" and {100 * judgement.coverage[0.95][0]:.0f}%"
        for panel, members in panels
        for name, judgement in members
    )
    with save_figure(str(path), title, words, replace=True) as plt:
        figure = plt.figure(figsize=(WIDTH, height), facecolor="white")
        top = height
        for place, (title, members) in enumerate(panels):
            tall = len(members) * PITCH
            top -= HEAD + tall
            box = (LEFT / WIDTH, top / height, 1.0 - (LEFT + RIGHT) / WIDTH, tall / height)
            _panel(figure.add_axes(box), title, members, is_last=place == len(panels) - 1)


def _panel(axis: Any, title: str, members: list[tuple[str, Judgement]], *, is_last: bool) -> None:
    rows = len(members)
    axis.set(xlim=(LEAST_SHARE, 100.5), ylim=(rows - 0.5, -0.5))
    for level, colour, lift in ((0.80, INK, -0.13), (0.95, BAR, 0.13)):
        axis.axvline(100 * level, color=RULE, linewidth=1.1, zorder=0.5)
        for place, (_, judgement) in enumerate(members):
            held, low, high = (100 * share for share in judgement.coverage[level])
            axis.plot(
                [max(low, LEAST_SHARE), high], [place + lift] * 2, color=PALE, linewidth=4,
                solid_capstyle="butt", zorder=1,
            )  # fmt: skip
            axis.plot(held, place + lift, marker="o", color=colour, markersize=5.5, zorder=2)
    beside = {"xycoords": ("axes fraction", "data"), "textcoords": "offset points", "va": "center"}
    for place, (label, judgement) in enumerate(members):
        for x, shift, side, words in (
            (0.0, -LEFT * 72 + 6, "left", label), (1.0, RIGHT * 72 - 6, "right", signed(judgement.bias)),
        ):  # fmt: skip
            axis.annotate(
                words, (x, place), xytext=(shift, 0), ha=side, fontsize=SIZE, color=INK, **beside
            )
    above = {"textcoords": "offset points", "va": "bottom", "fontsize": SIZE - 1, "color": QUIET}
    data = ("data", "axes fraction")
    axis.annotate("80% range", (80, 1.0), xycoords=data, xytext=(0, 2), ha="center", **above)
    axis.annotate("95%", (95, 1.0), xycoords=data, xytext=(0, 2), ha="center", **above)
    edge = {"xycoords": "axes fraction"}
    axis.annotate("bias", (1.0, 1.0), xytext=(RIGHT * 72 - 6, 2), ha="right", **(above | edge))
    axis.annotate(
        title, (0.0, 1.0), xytext=(-LEFT * 72 + 6, 16), ha="left", fontweight="bold",
        **(above | edge | {"fontsize": SIZE + 0.5, "color": INK}),
    )  # fmt: skip
    axis.grid(axis="x", color=GRID, linewidth=0.6)
    axis.set_axisbelow(True)
    axis.spines[["top", "right", "left"]].set_visible(False)
    axis.spines["bottom"].set_color(QUIET)
    axis.tick_params(axis="x", labelsize=SIZE - 1, colors=QUIET, labelbottom=is_last)
    axis.set_yticks([])
    if is_last:
        axis.set_xlabel("people whose scan the range held [%]", fontsize=SIZE - 1, color=QUIET)


def draw_all(folder: Path) -> None:
    """Draw the three figures of the page."""
    draw(folder / "coverage_survey_2003.svg", list(panels_overall()))
    draw(folder / "coverage_survey_2003_age.svg", list(panels_by("age", "{sex} {label} ({n})")))
    draw(
        folder / "coverage_survey_2003_background.svg",
        list(panels_by("background", "{label} {sex}")),
    )

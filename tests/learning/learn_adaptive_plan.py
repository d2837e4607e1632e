"""Let invented clients take the adaptive plan and every fixed one: width reached over minutes spent.

Bodies are drawn from the reference population (``reference.body_dimensions``), both sexes, and read
twice with the published technical error (``tests/invented_clients.py``). The plan chooses by the first
readings, as on the floor; the widths are those of all readings. Writes the minutes of
``protocol/plan_widths.py``, and the table and the figure of docs/measuring.md. By hand, some minutes::

    nice python tests/learning/learn_adaptive_plan.py
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue.card import Array
from foldspan.estimation.settings import Settings
from foldspan.explanation.next_measurement import widths
from foldspan.figures.style import GRID, INK, PALE, QUIET, RULE, save_figure
from foldspan.measuring.next_site import best_for
from foldspan.protocol import plan_widths
from foldspan.protocol.plans import ADAPTIVE, CHOSEN_KINDS, PLAN_BY_KEY, PLANS, minutes_of
from foldspan.quantities import BY_NAME, MEASURED, SEXES, Sex
from foldspan.results.case_of_visit import case_of
from foldspan.session.answers import Known
from invented_clients import Client, draw, refused_places

DOCS = Path(__file__).parents[2] / "docs"
CLIENTS, SEED = 200, 20
TABLE = re.compile(
    r"(?<=<!-- adaptive plan -->\n).*?(?=<!-- end of the adaptive plan -->)", re.DOTALL
)
PLAN_WIDTHS = Path(plan_widths.__file__)
MINUTES = re.compile(r"(?<=^ADAPTIVE_MINUTES: tuple\[int, int\] = ).*$", re.MULTILINE)
READ = tuple(name for name in MEASURED if BY_NAME[name].kind in (*CHOSEN_KINDS, "mass", "height"))
PEOPLE: Mapping[Sex, str] = {"female": "women", "male": "men"}
SETTINGS = Settings()


@dataclass(frozen=True)
class Run:
    """One client on the adaptive plan: minutes and width [points] after each choice, the start first."""

    minutes: tuple[float, ...]
    widths: tuple[float, ...]

    def cut_off(self, at: float) -> float:
        """Width of a session that had to stop by then, choosing until there was no time left."""
        return [
            width for spent, width in zip(self.minutes, self.widths, strict=True) if spent <= at
        ][-1]


def clients_of(sex: Sex, count: int) -> list[Client]:
    """Clients whom the reader lets pass, every site read twice."""
    rng = np.random.default_rng((SEED, SEXES.index(sex)))
    found: list[Client] = []
    while len(found) < count:
        client = draw(sex, READ, 2, rng)
        if refused_places(client, accept_unusual=True) is None:
            found.append(client)
    return found


def width_with(client: Client, names: Sequence[str]) -> float:
    """Width of the 80 % range by all readings of some sites [points]."""
    return float(widths(case_of(_part(client, names, 2).visit(), SETTINGS).answer)[0])


def run_of(client: Client) -> Run:
    """The adaptive plan on one client."""
    sites = PLAN_BY_KEY[ADAPTIVE].sites(client.sex)
    minutes, found = [minutes_of(sites)], [width_with(client, sites)]
    while True:
        known = Known({"sex": client.sex, "plan": [ADAPTIVE], "next": [*sites]})
        best = best_for(known, [case_of(_part(client, sites, 1).visit(), SETTINGS)])
        if not best.sites:
            return Run(tuple(minutes), tuple(found))
        sites = (*sites, *best.sites)
        minutes.append(minutes_of(sites))
        found.append(width_with(client, sites))


def _part(client: Client, names: Sequence[str], readings: int) -> Client:
    return Client(
        client.sex, client.age, {name: client.readings[name][:readings] for name in names}
    )


@dataclass(frozen=True)
class Compared:
    """What the clients of one sex came to: a run each, and their widths by each fixed plan."""

    sex: Sex
    runs: tuple[Run, ...]
    fixed: Mapping[str, Array]

    @property
    def minutes(self) -> Array:
        """Minutes of the adaptive plan, one a client."""
        return np.array([run.minutes[-1] for run in self.runs])

    @property
    def widths(self) -> Array:
        """Widths that it came to [points]."""
        return np.array([run.widths[-1] for run in self.runs])

    def at(self, times: Array) -> Array:
        """Mean width if the adaptive plan is cut off at these minutes [points]."""
        return np.array([np.mean([run.cut_off(time) for run in self.runs]) for time in times])


def compared(sex: Sex, count: int) -> Compared:
    """Work both out for some clients of one sex."""
    clients = clients_of(sex, count)
    fixed = {
        plan.key: np.array([width_with(client, plan.sites(sex)) for client in clients])
        for plan in PLANS
        if plan.key != ADAPTIVE
    }
    return Compared(sex, tuple(map(run_of, clients)), fixed)


def table(groups: Sequence[Compared]) -> str:
    """Return the table of the page."""
    head = "| plan | minutes | width | adaptive is narrower in |"
    lines = [f"{CLIENTS} invented clients of each sex, mean width of the 80% range:", ""]
    for group in groups:
        low, high = np.percentile(group.minutes, (10, 90))
        mine = f"{group.minutes.mean():.1f} ({low:.1f} to {high:.1f})"
        title = head.replace("plan", f"plan, {PEOPLE[group.sex]}", 1)
        lines += [
            title,
            "|---|---|---|---|",
            f"| `adaptive` | {mine} | {group.widths.mean():.1f} | |",
        ]
        for key, found in group.fixed.items():
            time = minutes_of(PLAN_BY_KEY[key].sites(group.sex))
            share = 100 * np.mean(group.widths < found)
            lines.append(f"| `{key}` | {time:.1f} | {found.mean():.1f} | {share:.0f}% |")
        lines.append("")
    return "\n".join(lines)


def figure(groups: Sequence[Compared], path: Path) -> None:
    """Draw width reached over minutes spent."""
    title = "Width of the 80% range over the minutes of a session, by plan"
    words = "; ".join(
        f"{PEOPLE[group.sex]}: adaptive {group.widths.mean():.1f} points"
        f" in {group.minutes.mean():.1f} min, "
        + ", ".join(
            f"{key} {found.mean():.1f} in {minutes_of(PLAN_BY_KEY[key].sites(group.sex)):.1f}"
            for key, found in group.fixed.items()
        )
        for group in groups
    )
    with save_figure(str(path), title, words, replace=True) as plt:
        _, sides = plt.subplots(1, 2, sharey=True, figsize=(8.2, 3.8), layout="constrained")
        for axis, group in zip(sides, groups, strict=True):
            _panel(axis, group)
        sides[0].set_ylabel("mean width of the 80% range (points)", color=QUIET)


def _panel(axis: Any, group: Compared) -> None:
    times = np.arange(
        minutes_of(PLAN_BY_KEY[ADAPTIVE].sites(group.sex)), np.max(group.minutes) + 0.1, 0.5
    )
    ends = np.percentile(group.minutes, (10, 90))
    axis.plot(times, group.at(times), color=INK, linewidth=2.0)
    axis.plot(ends, [group.widths.mean()] * 2, color=PALE, linewidth=4.0, zorder=1)
    axis.plot(group.minutes.mean(), group.widths.mean(), marker="o", color=INK, markersize=8.0)
    _label(axis, "adaptive", group.minutes.mean(), group.widths.mean(), INK, below=True)
    for key, found in group.fixed.items():
        time = minutes_of(PLAN_BY_KEY[key].sites(group.sex))
        axis.plot(time, found.mean(), marker="D", color=RULE, markersize=6.0)
        _label(axis, key, time, found.mean(), RULE, below=False)
    axis.set_title(PEOPLE[group.sex], fontsize=11, color=INK)
    axis.set_xlabel("minutes of the session", color=QUIET)
    axis.set_xlim(6.0, 20.0)
    axis.set_ylim(7.2, 10.0)
    axis.grid(color=GRID, linewidth=0.6)
    axis.spines[["top", "right"]].set_visible(False)
    axis.set_axisbelow(True)


def _label(axis: Any, words: str, x: float, y: float, ink: str, *, below: bool) -> None:
    axis.annotate(
        words, (x, y), xytext=(0, -7) if below else (5, 2), textcoords="offset points", color=ink,
        ha="center" if below else "left", va="top" if below else "bottom", fontsize=9.5,
    )  # fmt: skip


def _write(path: Path, place: re.Pattern[str], new: str) -> None:
    text, found = place.subn(lambda _: new, path.read_text(encoding="utf-8"))
    if found != 1:
        raise ValueError(f"{path.name} has no place for it")
    path.write_text(text, encoding="utf-8")


def main() -> None:
    """Write minutes, table and figure."""
    groups = [compared(sex, CLIENTS) for sex in SEXES]
    low, high = np.percentile(np.concatenate([group.minutes for group in groups]), (10, 90))
    _write(PLAN_WIDTHS, MINUTES, f"({low:.0f}, {high:.0f})")
    _write(DOCS / "measuring.md", TABLE, f"\n{table(groups)}\n")
    figure(groups, DOCS / "adaptive_plan.svg")


if __name__ == "__main__":
    main()

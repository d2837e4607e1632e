"""Tables of docs/calibration.md on NHANES 2003-2004, as text; the numbers are in ``survey_2003.py``."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import numpy as np
from scipy.special import ndtri

from foldspan import display_units
from foldspan.catalogue import EQUATIONS
from foldspan.quantities import SEXES
from foldspan.validation.recalibration import learn_from
from foldspan.validation.scores import Judgement
from open_data.survey_2003 import (
    AGES,
    BACKGROUNDS,
    LEAST,
    PEOPLE,
    SETS,
    SIZES,
    Group,
    alone,
    best_alone,
    equations,
    handed_in,
    has_seen_them,
    masks,
    ranges,
    ranges_of_strangers,
    with_readings,
)
from open_data.survey_2017_backgrounds import SETS_2017, ranges_2017

Row = tuple[str, Judgement]
KEY = 59
"""Width of the column of equations."""
SITE_SETS = ("skinfolds, BMI, waist", "BMI, waist")
SITES = ("NHBlack", "MexAm", "OtherMulti")


def signed(points: float) -> str:
    """Return points with their sign; what rounds to nothing has none."""
    return display_units.signed(points, 1)


def _share(level: tuple[float, float, float]) -> str:
    held, low, high = (100.0 * share for share in level)
    return f"{held:.0f}" if np.isnan(low) else f"{held:.0f} ({low:.0f}-{high:.0f})"


def table(title: str, rows: Iterable[Row], wide: int = 21) -> str:
    """Return rows of judgements under a title: shares held with their binomial 95% bounds."""
    heads = "".join(f"{level:>14}" for level in ("50%", "80%", "95%"))
    lines = [f"{title:<{wide}}{'n':>5}{'bias':>6}{'SD':>5}{'SE':>5}{heads}{'CRPS':>6}"]
    for label, judgement in rows:
        shares = "".join(f"{_share(level):>14}" for level in judgement.coverage.values())
        lines.append(
            f"{label:<{wide}}{judgement.n:>5}{signed(judgement.bias):>6}{judgement.sd:>5.1f}{judgement.claimed_se:>5.1f}"
            f"{shares}{judgement.crps:>6.2f}"
        )
    return "\n".join(lines)


def folded(summary: str, text: str) -> str:
    """Return a table that is closed until the reader opens it."""
    return f"<details>\n<summary>{summary}</summary>\n\n```text\n{text}\n```\n\n</details>"


def at_a_glance() -> str:
    """Every set of inputs in words: half width of the 95% range, and how often the ranges hold."""
    lines = [
        "| measured | who | 95% range is | 80% range covers | 95% range covers |",
        "|---|---|---|---|---|",
    ]
    for name in SETS:
        for sex in SEXES:
            group = ranges(name).of_sex(sex)
            half = float(ndtri(0.975) * group.se.mean())
            held = " | ".join(f"{_share(group.judged().coverage[level])}%" for level in (0.8, 0.95))
            lines.append(f"| {name} | {PEOPLE[sex]} | ± {half:.1f} points | {held} |")
    return "\n".join(lines)


def overall() -> str:
    """Every set of inputs by sex: everybody counted once, and with the survey's weights."""
    blocks = []
    for name in SETS:
        rows: list[Row] = []
        for sex in SEXES:
            group = ranges(name).of_sex(sex)
            rows += [(PEOPLE[sex], group.judged()), ("  survey-weighted", group.weighed())]
        blocks.append(f"{name}\n{table('', rows)}")
    return folded("All people, plain and survey-weighted", "\n\n".join(blocks))


def by_class() -> str:
    """Every set of inputs by sex, then by age, then by class of body mass index."""
    found = []
    for name in SETS:
        blocks = []
        for sex in SEXES:
            group = ranges(name).of_sex(sex)
            rows = [("all", group.judged())]
            for kind, words in (("age", "{} years"), ("size", "{} kg/m²")):
                rows += [(words.format(label), some.judged()) for label, some in group.by(kind)]
            blocks.append(table(PEOPLE[sex], rows))
        found.append(folded(f"By age and by BMI: {name}", "\n\n".join(blocks)))
    return "\n\n".join(found)


def by_result() -> str:
    """Two folds by sex, then by how high the estimate is."""
    blocks = [
        table(
            f"{PEOPLE[sex]}, by result", [(label, some.judged()) for label, some in group.fifths()]
        )
        for sex in SEXES
        for group in [ranges("two skinfolds").of_sex(sex)]
    ]
    return "```text\n" + "\n\n".join(blocks) + "\n```"


def by_cell() -> str:
    """Every set of inputs by sex, age and class of body mass index at once."""
    found = []
    for name in SETS:
        blocks, left = [], 0
        for sex in SEXES:
            group = ranges(name).of_sex(sex)
            for age, mask in masks(group.people, "age").items():
                band = group.where(mask)
                rows = [(f"  {label} kg/m²", some.judged()) for label, some in band.by("size")]
                blocks.append(table(f"{PEOPLE[sex]}, {age} years", rows))
                left += band.truth.size - sum(judgement.n for _, judgement in rows)
        blocks.append(
            f"{left} people in cells of fewer than {LEAST}, or without a weight, left out"
        )
        found.append(folded(f"By age and BMI together: {name}", "\n\n".join(blocks)))
    return "\n\n".join(found)


def against_equations() -> str:
    """The range beside itself without the equations that have seen these people, and the best ones."""
    blocks = []
    for name in SETS:
        for sex in SEXES:
            new, best = best_alone(name, sex, stranger=True)
            seen, best_seen = best_alone(name, sex, stranger=False)
            rows = [
                ("the range", ranges(name).of_sex(sex).judged()),
                ("without equations built on them", ranges_of_strangers(name).of_sex(sex).judged()),
                (new, best),
            ]
            if seen != new:
                rows.append((f"{seen} *", best_seen))
            blocks.append(table(f"{name}, {PEOPLE[sex]}", rows, KEY))
    blocks.append("* developed on survey years that include these people: a fit, not a check")
    return folded("The range against the best single equation", "\n\n".join(blocks))


def _single(sex: str) -> list[tuple[str, Group]]:
    """Equations with enough people of a sex, best score first."""
    seen = {card.key for card in EQUATIONS if has_seen_them(card)}
    groups = [(f"{key} *" if key in seen else key, alone(key, sex)) for key in equations()]
    groups = [(key, group) for key, group in groups if group.truth.size >= LEAST]
    return sorted(groups, key=lambda row: row[1].judged().crps)


def _by_columns(title: str, rows: list[tuple[str, Group]], *, is_bias: bool) -> str:
    """One line an equation: its bias, or the share that its 80% range holds, in every class."""
    head = "".join(f"{name.replace('below ', '<'):>8}" for name in (*AGES, *SIZES))
    lines = [f"{title:<{KEY}}{head}"]
    for key, group in rows:
        classes = dict(group.by("age")) | dict(group.by("size"))
        cells = ""
        for name in (*AGES, *SIZES):
            if name not in classes:
                cells += f"{'':>8}"
                continue
            judgement = classes[name].judged()
            cells += (
                f"{signed(judgement.bias):>8}"
                if is_bias
                else f"{100.0 * judgement.coverage[0.80][0]:>8.0f}"
            )
        lines.append(f"{key:<{KEY}}{cells}")
    return "\n".join(lines)


def single_equations() -> str:
    """Every equation at its printed error: all people, then by age and body mass index."""
    found = []
    for sex in SEXES:
        rows = _single(sex)
        judged = [(key, group.judged()) for key, group in rows]
        keep = sum(0.93 <= judgement.coverage[0.95][0] <= 0.97 for _, judgement in judged)
        found += [
            f"{PEOPLE[sex].capitalize()}: for {keep} of {len(rows)} equations the 95% range covered"
            " 93% to 97% of the reference values.",
            folded(f"Single equations, {PEOPLE[sex]}", table("best score first", judged, KEY)),
            folded(
                f"Single equations, {PEOPLE[sex]}, by age and by BMI",
                "\n\n".join(
                    (
                        _by_columns("bias [points]", rows, is_bias=True),
                        _by_columns("80% range covers [%]", rows, is_bias=False),
                    )
                ),
            ),
        ]
    return "\n\n".join(found)


SURVEYS: Mapping[str, tuple[tuple[str, ...], Callable[..., Group]]] = {
    "2003-2004": (tuple(SETS), ranges),
    "2017-18": (SETS_2017, ranges_2017),
}
STATED = {False: "not stated", True: "stated"}


def black_at_a_glance() -> str:
    """Black adults: bias, coverage and score where the background is not stated, and where it is."""
    lines = [
        "| survey | measured | Black adults | bias | 80% range covers | 95% range covers | CRPS |",
        "|---|---|---|---|---|---|---|",
    ]
    for survey, (names, find) in SURVEYS.items():
        for name in names:
            for sex in SEXES:
                plain, stated = (
                    dict(find(name, stated=stated).of_sex(sex).by("background"))["Black"].judged()
                    for stated in STATED
                )
                held = " | ".join(
                    f"{100 * plain.coverage[level][0]:.0f} → {100 * stated.coverage[level][0]:.0f}%"
                    for level in (0.8, 0.95)
                )
                lines.append(
                    f"| {survey} | {name} | {plain.n} {PEOPLE[sex]} | {signed(plain.bias)} →"
                    f" {signed(stated.bias)} | {held} | {plain.crps:.2f} → {stated.crps:.2f} |"
                )
    return "\n".join(lines)


def by_background() -> str:
    """Both surveys by set of inputs, sex and self-described background: not stated, and stated."""
    found = []
    for survey, (names, find) in SURVEYS.items():
        for name in names:
            blocks = []
            for sex in SEXES:
                for stated, words in STATED.items():
                    group = find(name, stated=stated).of_sex(sex)
                    rows = [(f"  {label}", some.judged()) for label, some in group.by("background")]
                    blocks.append(table(f"{PEOPLE[sex]}, {words}", rows))
            summary = f"By self-described background, {survey}: {name}"
            found.append(folded(summary, "\n\n".join(blocks)))
    return "\n\n".join(found)


def corrected() -> str:
    """What a site that sees one group learns from it, tried on people left out of the learning."""
    lines = [
        f"{'':<19}{'':>5}{'without a correction':>27}{'with its own':>27}",
        f"{'':<19}{'n':>5}" + 2 * f"{'bias':>9}{'80 %':>6}{'95 %':>6}{'SE':>6}",
    ]
    for name in SITE_SETS:
        people = with_readings(SETS[name])
        lines.append(name)
        for word in SITES:
            shown = BACKGROUNDS[word][0]
            chosen = people[people.race == word]
            learnt = learn_from(handed_in(chosen, SETS[name]))
            cells = "".join(
                f"{signed(judgement.bias):>9}{100 * judgement.coverage[0.80][0]:>6.0f}"
                f"{100 * judgement.coverage[0.95][0]:>6.0f}{judgement.claimed_se:>6.1f}"
                for judgement in (learnt.without, learnt.held_out)
            )
            lines.append(f"  {shown:<17}{learnt.without.n:>5}{cells}")
    return "```text\n" + "\n".join(lines) + "\n```"


BLOCKS = {
    "survey_2003_glance": at_a_glance,
    "survey_2003_all": overall,
    "survey_2003_classes": by_class,
    "survey_2003_results": by_result,
    "survey_2003_cells": by_cell,
    "survey_2003_best": against_equations,
    "survey_2003_equations": single_equations,
    "black_adults": black_at_a_glance,
    "survey_2003_backgrounds": by_background,
    "survey_2003_sites": corrected,
}
"""What writes each marked block of docs/calibration.md."""

"""Print whether the range still holds where an adaptive plan chose the sites, on NHANES 2003-2004.

A range that is chosen to be narrow might be one that is too narrow. Here the plan starts from weight,
height and waist of each adult and chooses among what the survey took of that person: two folds and three
girths. Run by hand; all 3,698 take some minutes::

    nice python tests/open_data/adaptive_survey.py [EVERY]

``EVERY`` 4 takes every fourth person.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan import Visit
from foldspan.estimation.settings import Settings
from foldspan.explanation.best_next import best_next
from foldspan.explanation.what_if import Case
from foldspan.quantities import BY_NAME, SEXES
from foldspan.results.case_of_visit import case_of
from foldspan.results.cautions import LARGE_BMI
from foldspan.visit.keys import HOME_OF
from open_data.survey_2003 import READINGS, SIZE, Group, survey

START = (*SIZE, "waist_iliac_cm")
SETTINGS = Settings(reference_method="dxa")


def case_with(person: Any, names: tuple[str, ...]) -> Case:
    """The case of one person of the survey with some of the readings."""
    tree: dict[str, dict[str, Any]] = {"client": {"sex": person.sex, "age_years": person.age_years}}
    for name in names:
        section, key = HOME_OF[name]
        tree.setdefault(section, {})[key] = getattr(person, name)
    return case_of(Visit.from_dict(tree, accept_unusual=True), SETTINGS)


def chosen_for(person: Any) -> tuple[str, ...]:
    """What the adaptive plan measures of one person, of what the survey took."""
    names = START
    while True:
        among = [
            name
            for name in READINGS
            if name not in names
            and not np.isnan(getattr(person, name))
            and not (BY_NAME[name].kind == "skinfold" and _is_large(person))
        ]
        best = best_next([case_with(person, names)], among)
        if not best.sites:
            return names
        names = (*names, *best.sites)


def _is_large(person: Any) -> bool:
    return bool(person.weight_kg / (person.height_cm / 100.0) ** 2 >= LARGE_BMI)


def group_of(people: pd.DataFrame, names: list[tuple[str, ...]]) -> Group:
    """The ranges of some people, each by readings of their own."""
    found = [
        case_with(person, mine).answer.combined
        for person, mine in zip(people.itertuples(), names, strict=True)
    ]
    estimate, se = (
        np.array([getattr(answer, part)[0] for answer in found]) for part in ("estimate", "se")
    )
    return Group(people, estimate, se, people.reference_fat_percent.to_numpy(float))


def main() -> None:
    """Print coverage and width for the start, what was chosen, and everything that was taken."""
    every = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    people = survey().dropna(subset=list(START)).iloc[::every].reset_index(drop=True)
    chosen = [chosen_for(person) for person in people.itertuples()]
    taken = [
        tuple(name for name in READINGS if not np.isnan(getattr(person, name)))
        for person in people.itertuples()
    ]
    ways = {"weight, height, waist": [START] * len(people), "chosen": chosen, "everything": taken}
    groups = {way: group_of(people, names) for way, names in ways.items()}
    went_on = np.array([len(names) > len(START) for names in chosen])
    for sex in SEXES:
        mine = (people.sex == sex).to_numpy()
        for label, mask in (("all", mine), ("went on", mine & went_on)):
            for way, group in groups.items():
                some = group.where(mask)
                judged = some.judged()
                held, low, high = judged.coverage[0.80]
                print(
                    f"{sex:<7} {label:<8} {way:<22} n {judged.n:>5}  80 % holds {100 * held:.1f}"
                    f" ({100 * low:.1f} to {100 * high:.1f})  95 % {100 * judged.coverage[0.95][0]:.1f}"
                    f"  bias {judged.bias:+.2f}  width {2 * 1.2816 * some.se.mean():.2f}"
                )
        kept = [names for names, is_mine in zip(chosen, mine, strict=True) if is_mine]
        print(sex, Counter(name for names in kept for name in names if name not in START))


if __name__ == "__main__":
    main()

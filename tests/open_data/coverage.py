"""Print how often the ranges hold in 2017-18 and among the weighed men, quickly. Run by hand.

python tests/open_data/coverage.py
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import foldspan
from open_data.open_tables import OpenTable, bmi_classes, held, survey_2017, weighed_men


def line(name: str, chosen: np.ndarray, people: OpenTable, reference_method: str) -> str:
    """One row of the table for a mask of people."""
    answer = foldspan.reconcile_table(people.table[chosen], reference_method=reference_method)
    truth = people.truth[chosen]
    error = answer.fat_percent - truth
    wide, likely = held(answer, truth, "range_95"), held(answer, truth, "range_80")
    verdicts = answer.verdict.value_counts(normalize=True)
    words = ", ".join(f"{word} {100 * share:.0f} %" for word, share in verdicts.items())
    return (
        f"{name:<28}{len(truth):>6}{error.mean():>+7.1f}{error.std():>6.1f}"
        f"{answer.fat_percent_se.mean():>6.1f}{100 * wide.mean():>8.1f} %"
        f"{100 * likely.mean():>7.1f} %  {words}"
    )


def main() -> None:
    """Print all people, then each class of body mass index with 50 or more."""
    print(f"{'':<28}{'n':>6}{'bias':>7}{'SD':>6}{'SE':>6}{'95 % holds':>10}{'80 %':>9}")
    survey = survey_2017()
    groups = [
        (f"survey 2017-18, {sex}", survey, (survey.table.sex == sex).to_numpy(), "dxa")
        for sex in ("female", "male")
    ]
    men = weighed_men()
    groups.append(("weighed men", men, np.ones(len(men.table), dtype=bool), "density"))
    for name, people, chosen, reference_method in groups:
        print(line(name, chosen, people, reference_method))
        for label, mask in bmi_classes(people.bmi).items():
            both = mask & chosen
            if both.sum() >= 50:
                print(line(f"  body mass index {label}", both, people, reference_method))


if __name__ == "__main__":
    main()

"""How far the families of usual bodies spread beside their covariance, by sex and size.

Run by hand, not by the test suite; writes the spread in ``estimation/usual_gaps.py``::

    python tests/learning/learn_usual_spread.py

The misfit of every reference person with each usual set of sites, and on the DXA scale of the people of
NHANES 1999-2002 with theirs, is divided by the limit above which a chi-square is called strained. The
curve of its 90th percentile on body mass index (a quantile regression in straight lines between the
sizes, sets weighted alike) is the spread at which 1 in 10 is called strained.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pandas as pd
import scipy

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation import usual_gaps
from foldspan.estimation.combine import STRAINED_BELOW, Combined
from foldspan.estimation.settings import Settings
from foldspan.quantities import SEXES, Sex
from foldspan.validation.table import gather
from learning import learnt_tables
from open_data import survey_2003
from open_data.survey_2003 import handed_in, survey
from usual_bodies import SETS, answered, usual_bodies

SURVEY_SETS = ("folds, body mass index, waist", "body mass index, waist")
# people drawn from each set, so that all sets weigh alike
DRAWN = 2_000


def beyond(found: Combined, bmi: Array, sex: Sex, scale: str) -> pd.DataFrame:
    """Misfit before the spread, by the limit of its degrees of freedom; 1 is called strained."""
    spread = usual_gaps.usual_spread(bmi, found.dof, sex, scale)
    misfit = found.q * spread / scipy.stats.chi2.ppf(1.0 - STRAINED_BELOW, np.maximum(found.dof, 1))
    return pd.DataFrame({"bmi": bmi, "dof": found.dof, "misfit": misfit})


def of_the_survey(sex: Sex) -> list[pd.DataFrame]:
    """Misfit of the survey's adults, by set of sites."""
    people = survey("1999_2002")
    people = people[people.sex == sex]
    found = []
    for readings in (survey_2003.SETS[name] for name in SURVEY_SETS):
        some = people.dropna(subset=list(readings)).reset_index(drop=True)
        bmi = (some.weight_kg / (some.height_cm / 100.0) ** 2).to_numpy(float)
        parts = gather(handed_in(some, readings)).parts
        found.append(
            pd.concat([beyond(part.answer.combined, bmi[part.rows], sex, "dxa") for part in parts])
        )
    return found


def spread_of(sets: list[pd.DataFrame]) -> tuple[Array, Array]:
    """The spread at the sizes with two or three families, and what it is times with four."""
    drawn = [
        one[(one.dof > 0) & (one.misfit > 0)].sample(DRAWN, replace=True, random_state=18)
        for one in sets
    ]
    everybody = pd.concat(drawn)
    sizes = usual_gaps.SPREAD_SIZES
    seats = [np.interp(everybody.bmi, sizes, row) for row in np.eye(len(sizes))]
    seats.append((everybody.dof == len(FAMILIES) - 1).to_numpy(float))
    from statsmodels.regression.quantile_regression import QuantReg  # slow, and no test needs it

    fitted = QuantReg(np.log(everybody.misfit.to_numpy()), np.column_stack(seats))
    terms = np.exp(np.asarray(fitted.fit(q=1.0 - STRAINED_BELOW).params))
    return terms[: len(sizes)], terms[len(sizes) :]


def misfits(sex: Sex, scale: str) -> list[pd.DataFrame]:
    """Misfit by set of sites: reference people, and on the DXA scale the survey's."""
    bmi = usual_bodies(sex)[1]
    sets = [
        beyond(answered(sex, measured, Settings(scale=scale)).combined, bmi, sex, scale)
        for measured in SETS
    ]
    return sets + of_the_survey(sex) if scale == "dxa" else sets


def main() -> None:
    """Write the spread by scale and sex into the module."""
    sizes = ["SPREAD: Mapping[str, Mapping[Sex, tuple[float, ...]]] = {"]
    of_all = ["SPREAD_OF_ALL: Mapping[str, Mapping[Sex, float]] = {"]
    for scale in ("density", "dxa"):
        found = {sex: spread_of(misfits(sex, scale)) for sex in SEXES}
        by_size = (
            f'"{sex}": ({", ".join(f"{term:.2f}" for term in terms)})'
            for sex, (terms, _) in found.items()
        )
        times = (f'"{sex}": {whole[0]:.2f}' for sex, (_, whole) in found.items())
        sizes.append(f'    "{scale}": {{{", ".join(by_size)}}},')
        of_all.append(f'    "{scale}": {{{", ".join(times)}}},')
    learnt_tables.write("estimation/usual_gaps", "SPREAD", [*sizes, "}"])
    learnt_tables.write("estimation/usual_gaps", "SPREAD_OF_ALL", [*of_all, "}"])


if __name__ == "__main__":
    main()

"""How far a levelled equation reads off in people of one kind of the survey, in two parts.

Run by hand, not by the test suite; prints what ``estimation.known_offsets.LEVELLED_OWN`` and the
shared term of ``estimation.error_model.SHARED_NEW_PEOPLE`` on the DXA scale rest on::

    python tests/learning/learn_carrying.py

The mean error of every levelled equation in each of the survey's five groups of self-described
background (NHANES 1999-2002) is parted into what all equations of a sex share in that group and what is
each one's own.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue import SIRI
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.quantities import SEXES
from learning.learn_survey_errors import columns_of
from open_data.open_tables import survey_of

LEAST_PEOPLE = 50


def main() -> None:
    """Print both parts, root mean squares in points of fat."""
    survey = survey_of("1999_2002").dropna(subset=["weight_kg", "height_cm"])
    shared, own = [], []
    for sex in SEXES:
        people = survey[survey.sex == sex[0].upper()]
        columns = bridge_waists(columns_of(people, sex), sex).columns
        levelling = Levelling(columns, sex, "dxa")
        cards = [card for card in cards_for(sex) if levelling.applies_to(card)]
        percent = fat_percents(cards, columns, SIRI)[0]
        percent -= np.array(
            [levelling.offset(card, value) for card, value in zip(cards, percent, strict=True)]
        )
        error = (
            percent
            + reference_shifts(cards, "dxa")[:, None]
            - people["dxa_fat_percent"].to_numpy(float)
        )
        for group in sorted(set(people["race"])):
            here = (people["race"] == group).to_numpy()
            weights = people["survey_weight_4yr"].to_numpy(float)[here]
            means = []
            for errors in error[:, here]:
                known = np.isfinite(errors)
                if known.sum() >= LEAST_PEOPLE:
                    means.append(np.average(errors[known], weights=weights[known]))
            shared.append(np.mean(means))
            own.extend(means - np.mean(means))
            print(f"{sex} {group:<10} {np.mean(means):+.2f} shared, {np.std(means):.2f} own")
    rms = [float(np.sqrt(np.mean(np.square(part)))) for part in (shared, own)]
    print(f"shared {rms[0]:.2f}, own {rms[1]:.2f} points")


if __name__ == "__main__":
    main()

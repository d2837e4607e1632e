"""Learn how far levelled equations read off in people of one self-described background, and judge it.

Run by hand, not by the test suite; writes the table of ``reference/background_offsets.py``. With
``--try`` it then prints what taking it off does in people nobody learnt on (NHANES 2003-2004 and
2017-18), for every background that the survey of 1999-2002 names::

    python tests/learning/learn_backgrounds.py [--try]

A background is kept where bias and score (CRPS) get better in both surveys, in both sexes, with every
set of inputs; all else that stating it does (equations that know it) is there with and without.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.quantities import SEXES, Sex
from foldspan.reference.background_offsets import SHIFTS, Shift
from learning import learnt_tables
from learning.learn_survey_errors import SOUND, columns_of, fitted, shrunk
from open_data.open_tables import survey_of
from open_data.survey_2003 import BACKGROUNDS, SETS, Group, ranges
from open_data.survey_2017_backgrounds import SETS_2017, ranges_2017

Learnt = dict[str, dict[Sex, Shift]]


def shifts_of(race: str) -> Learnt:
    """How far each levelled equation reads off in one background [points], shrunk by its own error."""
    survey = survey_of("1999_2002").dropna(subset=["weight_kg", "height_cm"])
    found: Learnt = {}
    for sex in SEXES:
        people = survey[(survey.sex == sex[0].upper()) & (survey.race == race)]
        columns = bridge_waists(columns_of(people, sex), sex).columns
        levelling = Levelling(columns, sex, "dxa")
        cards = [card for card in EQUATIONS if levelling.applies_to(card)]
        printed = fat_percents(cards, columns, SIRI)[0]
        moves = reference_shifts(cards, "dxa")
        fat = people["dxa_fat_percent"].to_numpy(float)
        weights = people["survey_weight_4yr"].to_numpy(float)
        for card, percent, move in zip(cards, printed, moves, strict=True):
            on_dxa = percent + move
            fits = np.isfinite(on_dxa) & (on_dxa > SOUND[0]) & (on_dxa < SOUND[1])
            error = (on_dxa - levelling.offset(card, percent) - fat)[fits]
            mean, se = fitted(np.ones((error.size, 1)), error, weights[fits])
            points = round(float(shrunk(mean, se)[0]), 2) + 0.0  # no negative zero
            shift = Shift(points, round(float(se[0]), 2))
            found.setdefault(card.key, {})[sex] = shift
    return found


def lines_of(learnt: Learnt) -> Iterator[str]:
    """Yield the table of one background as it stands in ``reference/background_offsets.py``."""
    for key, by_sex in learnt.items():
        shown = ", ".join(f'"{sex}": Shift({a:.2f}, {b:.2f})' for sex, (a, b) in by_sex.items())
        yield f'        "{key}": {{{shown}}},'


def judged(groups: tuple[Group, ...], shown: str, label: str) -> Iterator[str]:
    """Yield bias and score by sex: nothing stated, stated without the table, stated with it."""
    for sex in SEXES:
        each = [dict(group.of_sex(sex).by("background"))[shown].judged() for group in groups]
        cells = "".join(f"{judgement.bias:>+8.2f}{judgement.crps:>7.3f}" for judgement in each)
        yield f"{label:<46}{sex:<8}{each[0].n:>5}{cells}"


def forget() -> None:
    """Let the ranges be worked out anew."""
    ranges.cache_clear()
    ranges_2017.cache_clear()


def main() -> None:
    """Write the table of the backgrounds that are kept."""
    lines = ["SHIFTS: dict[str, dict[str, dict[Sex, Shift]]] = {"]
    for word in SHIFTS:
        race = next(race for race, (_, ancestry) in BACKGROUNDS.items() if ancestry == word)
        lines += [f'    "{word}": {{', *lines_of(shifts_of(race)), "    },"]
    learnt_tables.write("reference/background_offsets", "SHIFTS", [*lines, "}"])


def try_all() -> None:
    """Print the judgement of every background."""
    kept = dict(SHIFTS)
    head = "".join(f"{name:>15}" for name in ("blank", "stated", "taken off"))
    for race, (shown, ancestry) in BACKGROUNDS.items():
        print(f"{shown:<59}{head}")
        SHIFTS.pop(ancestry, None)
        forget()
        plain = {name: (ranges(name), ranges(name, stated=True)) for name in SETS}
        later = {name: (ranges_2017(name), ranges_2017(name, stated=True)) for name in SETS_2017}
        SHIFTS[ancestry] = shifts_of(race)
        forget()
        for name in SETS:
            label = f"2003-2004, {name}"
            print(*judged((*plain[name], ranges(name, stated=True)), shown, label), sep="\n")
        for name in SETS_2017:
            label = f"2017-18, {name}"
            print(*judged((*later[name], ranges_2017(name, stated=True)), shown, label), sep="\n")
        SHIFTS.clear()
        SHIFTS.update(kept)


if __name__ == "__main__":
    main()
    if "--try" in sys.argv[1:]:
        try_all()

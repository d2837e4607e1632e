"""Ranges held against DXA in NHANES 2017-18 by self-described background, not stated and stated."""

from __future__ import annotations

from functools import cache

from foldspan.quantities import SEXES
from foldspan.validation.table import gather
from open_data.open_tables import survey_2017
from open_data.survey_2003 import SETS, Group, answered, handed_in

# as the survey calls them, as the file of 2003-2004 does, and as a visit would state them
WORDS = {
    "Non-Hispanic White": ("NHWhite", "white"),
    "Non-Hispanic Black": ("NHBlack", "black"),
    "Mexican American": ("MexAm", "mexican_american"),
    "Other Hispanic": ("OtherHisp", "hispanic"),
    "Non-Hispanic Asian": ("Asian", "asian"),
    "Other Race - Including Multi-Racial": ("OtherMulti", "other"),
}
SETS_2017 = tuple(name for name in SETS if "fold" not in name)
"""Sets of inputs that the survey of 2017-18 has: no folds were taken."""


@cache
def ranges_2017(name: str, *, stated: bool = False) -> Group:
    """Return the ranges of one set of inputs; ``stated`` tells the background of everybody."""
    survey = survey_2017()
    assert survey.background is not None
    people = survey.table.assign(
        reference_fat_percent=survey.truth,
        race=survey.background.map({word: race for word, (race, _) in WORDS.items()}),
    ).reset_index(drop=True)
    if set(people.sex) != set(SEXES):
        raise ValueError("the survey has other words for sex")
    table = handed_in(people, SETS[name])
    if stated:
        table["ancestry"] = survey.background.map(
            {word: ancestry for word, (_, ancestry) in WORDS.items()}
        ).to_numpy()
    return answered(people, gather(table).parts)

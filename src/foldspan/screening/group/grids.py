"""Grids: people counted by sex and by age, category or level of flags, as whole numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.quantities import SEXES
from foldspan.standards.referral_rules import LEVELS
from foldspan.tables.answers import Answers
from foldspan.tables.bands import MEASURES, standards_for
from foldspan.tables.flags import worst_level

# first years of the age classes [years] (ours: as few as say something, so that little is withheld)
AGES = (18, 30, 45, 60)
AGE_CLASSES = ("18 to 29", "30 to 44", "45 to 59", "60 or older")
# rare categories tell of individuals: they are counted with their neighbours
TOGETHER = {
    "severely_low": "usual_or_less", "clearly_low": "usual_or_less", "low": "usual_or_less",
    "usual": "usual_or_less", "far_above": "well_above", "very_far_above": "well_above",
    "small_for_height": "under_half", "lighter_match": "match_or_less", "healthy_match": "match_or_less",
    "refer_urgently": "refer", "refer_soon": "refer", "advise": "other", "inform": "other",
}  # fmt: skip
NO_FLAG = "none"
# of fewer people a summary would be one about individuals (ours)
FEWEST = 20


@dataclass(frozen=True, slots=True)
class Grid:
    """One table of people: rows by what it is about, columns by ``SEXES``."""

    key: str
    """``age``, ``level``, or a measure of ``MEASURES``."""
    rows: tuple[str, ...]
    """Keys of its rows."""
    counts: Array
    """How many people, int (R, C)."""


def count_people(answers: Answers, count: Mapping[str, Counter[str]]) -> None:
    """Add the adults of known sex among some rows to ``people``, ``placed`` and ``leveled``.

    Whoever is in no category of a measure is in no row of its grid.
    """
    sexes = answers.clients.sexes
    classes = np.searchsorted(AGES, np.nan_to_num(answers.clients.age, nan=0.0), side="right") - 1
    levels = [worst_level(pattern) or NO_FLAG for pattern in answers.flags.patterns]
    for place, group in enumerate(SEXES):
        here = (sexes == place) & (classes >= 0)
        if not here.any():
            continue
        _add(count["people"], group, AGE_CLASSES, classes[here])
        for measure in MEASURES:
            places = answers.bands.places[measure][here]
            labels = answers.bands.labels(measure)
            _add(count["placed"], f"{measure}|{group}", labels, places[places >= 0])
        _add(count["leveled"], group, levels, answers.flags.places[here])


def are_enough(grids: Sequence[Grid]) -> bool:
    """Return whether there are people enough for a summary that tells nothing of any of them."""
    people = int(grids[0].counts.sum()) if grids and grids[0].key == "age" else 0
    return people >= FEWEST


def together(name: str) -> str:
    """Return the category that a category is counted in."""
    return TOGETHER.get(name, name)


def _add(counter: Counter[str], head: str, names: Sequence[str], places: Array) -> None:
    for name, rows in zip(names, np.bincount(places, minlength=len(names)), strict=True):
        counter[f"{head}|{together(name)}"] += int(rows)


def grids_of(counters: Mapping[str, Counter[str]], reference_method: str) -> tuple[Grid, ...]:
    """Return the grids of a whole table, from its counters."""
    method = standards_for("dxa" if reference_method == "dxa" else "density")
    found = [_grid("age", AGE_CLASSES, counters["people"], "")]
    for measure in MEASURES:
        labels = tuple(dict.fromkeys(map(together, method[measure][0].labels)))
        found.append(_grid(measure, labels, counters["placed"], f"{measure}|"))
    levels = (*dict.fromkeys(map(together, reversed(LEVELS))), NO_FLAG)
    found.append(_grid("level", levels, counters["leveled"], ""))
    return tuple(grid for grid in found if grid.counts.any())


def _grid(key: str, rows: tuple[str, ...], counter: Counter[str], head: str) -> Grid:
    counts = np.array(
        [[counter[f"{head}{group}|{row}"] for group in SEXES] for row in rows], dtype=np.int64
    )
    return Grid(key, rows, counts)

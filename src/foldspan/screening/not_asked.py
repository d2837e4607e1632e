"""Not asked: of how many people a table tells nothing about what referral rules rest on.

An empty cell, or a column that is not there, means that nobody asked; ``none`` means that there was
nothing to report. A list of people to refer can only be as complete as what was asked.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array, BoolArray
from foldspan.quantities import SEXES
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.tables.intake import LOWER, PAIR, UPPER
from foldspan.tables.rows import Cells

# what was asked where any of these columns says something
COLUMNS: dict[str, tuple[str, ...]] = {
    "symptoms": ("symptoms", *SYMPTOMS),
    "conditions": ("conditions", *CONDITIONS),
    "medicines": ("medicines", *MEDICINES),
    "pressure": (PAIR, UPPER, LOWER),
    "earlier_weight": ("earlier_weight_kg", "weight_lost_kg"),
    "eating": ("eating_concern",),
    "pregnancy": ("pregnant", "weeks_pregnant", "birth_months_ago"),
}
# the years [years] in which pregnancy is asked about (ours: nearly every birth falls between them)
PREGNANT_BETWEEN = (15.0, 55.0)


def not_asked_in(
    cells: Cells, sexes: Array, age: Array, weight_known: Array | None = None
) -> dict[str, int]:
    """Return how many of N rows say nothing about each topic of ``COLUMNS``.

    Parameters
    ----------
    cells : Cells
        The known columns of N rows.
    sexes : array of shape (N,)
        Places in ``SEXES``, -1 where not known.
    age : array of shape (N,)
        Age [years], NaN where not known; pregnancy is asked of nobody outside ``PREGNANT_BETWEEN``.
    weight_known : array of int, optional
        Numbers of the rows whose earlier weight is known from an earlier table.
    """
    counts = {}
    for topic, names in COLUMNS.items():
        is_silent = _silent(cells, names)
        if topic == "earlier_weight" and weight_known is not None:
            is_silent[weight_known] = False
        if topic == "pregnancy":
            low, high = PREGNANT_BETWEEN
            with np.errstate(invalid="ignore"):
                is_silent &= (sexes != SEXES.index("male")) & ~((age < low) | (age > high))
        counts[topic] = int(np.count_nonzero(is_silent))
    return counts


def _silent(cells: Cells, names: Sequence[str]) -> BoolArray:
    says_something = np.zeros(cells.length, dtype=bool)
    for name in names:
        for column, _ in cells.columns.get(name, ()):
            says_something |= _filled(column)
    return ~says_something


def _filled(column: pa.Array) -> BoolArray:
    if pa.types.is_floating(column.type):
        return np.asarray(~np.isnan(column.to_numpy(zero_copy_only=False)), dtype=bool)
    text = pc.fill_null(pc.match_substring_regex(column, r"\S"), False)
    return np.asarray(text.to_numpy(zero_copy_only=False), dtype=bool)

"""Answers: from the known columns of N rows to what is said of each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array
from foldspan.estimation.applicability import LEAVES_OUT
from foldspan.estimation.families import combine
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import Settings
from foldspan.tables.bands import BandColumns
from foldspan.tables.clients import Clients
from foldspan.tables.findings import Mark, RowMarks
from foldspan.tables.flags import FlagColumns, indices_without_fat
from foldspan.tables.rows import Cells, Rows

RANGE = (
    "fat_percent",
    "fat_percent_se",
    "range_80_low",
    "range_80_high",
    "range_95_low",
    "range_95_high",
)
FAMILY_COLUMNS = tuple(f"{family}_percent" for family in FAMILIES)
VERDICTS = ("", *combine.VERDICTS)


@dataclass(frozen=True, slots=True, repr=False)
class Answers:
    """What is said of N rows.

    ``numbers`` by column [% of weight], NaN where there is none; ``verdict`` (N,) places in
    ``VERDICTS``; ``equations_used`` (N,); ``flags`` codes of rules, of which
    ``borderline`` those that are left open; ``problems``; ``bands``;
    ``readings`` as taken, by quantity, in the order of the columns.
    """

    clients: Clients
    numbers: dict[str, Array]
    verdict: Array
    equations_used: Array
    flags: RowMarks[str]
    borderline: RowMarks[str]
    problems: RowMarks[Mark]
    bands: BandColumns
    readings: dict[str, list[Array]]

    @property
    def has_range(self) -> Array:
        """Which rows have a range, bool (N,)."""
        return ~np.isnan(self.numbers["fat_percent"])


# a number that cannot be is marked in its row; a warning of the library would name no row
@np.errstate(over="ignore", invalid="ignore", divide="ignore")
def answer_rows(cells: Cells, settings: Settings) -> Answers:
    """Answer N rows, each as if it stood alone.

    Parameters
    ----------
    cells : Cells
        The known columns.
    settings : Settings
        As ``settings_for`` returns them.
    """
    rows = Rows(cells)
    clients = Clients.read(rows)
    clients.leave_out(rows, settings.conversion)
    numbers = {name: np.full(rows.length, np.nan) for name in (*RANGE, *FAMILY_COLUMNS)}
    verdict = np.zeros(rows.length, dtype=np.int8)
    used = np.zeros(rows.length, dtype=np.int32)
    flags, bands = FlagColumns(rows.length), BandColumns(rows.length, settings.reference_method)
    # rules about little fat and little muscle stand on density
    both = settings.reference_method != "density" and settings.local is None
    for some, people, answer in clients.answers(settings, both_references=both):
        _fill(numbers, verdict, some, answer)
        usable = (answer.flags & int(LEAVES_OUT)) == 0
        used[some] = usable.sum(axis=0, dtype=np.uint8)
        indices = flags.fill(clients, some, people, answer, settings)
        bands.fill(some, indices, flags.low[some])
        del people, answer, indices
    flags.fill_in_doubt(clients)
    some = np.flatnonzero(clients.lacks_sex_only)
    if some.size:
        bands.fill(some, indices_without_fat(clients, some, ""), flags.low[some])
    flags.fill_without_range(clients)
    rows.mark(np.isnan(numbers["fat_percent"]) & clients.able, "E203")
    return Answers(
        clients,
        numbers,
        verdict,
        used,
        flags.raised,
        flags.borderline,
        rows.marks,
        bands,
        rows.readings,
    )


def _fill(numbers: dict[str, Array], verdict: Array, some: Array, answer: Reconciled) -> None:
    """Write the answers of some rows of one sex."""
    combined = answer.combined
    numbers["fat_percent"][some] = combined.estimate
    numbers["fat_percent_se"][some] = combined.se
    for name, z in (("range_80", combine.Z_LIKELY), ("range_95", combine.Z_WIDE)):
        low, high = combine.interval(combined.estimate, combined.se, z)
        numbers[f"{name}_low"][some], numbers[f"{name}_high"][some] = low, high
    for place, name in enumerate(FAMILY_COLUMNS):
        numbers[name][some] = answer.families[place]
    # the first of ``VERDICTS`` here stands for none
    found = combine.verdict_places(combined.q, combined.dof) + np.int8(1)
    verdict[some] = found * ~np.isnan(combined.estimate)

"""Changes: what changed for each row of a part since the earlier table, or why nothing is said of it.

The change is that of two visits (``followup.paired``), by its codes. Nothing is compared that may be of
two people: what two rows of one code contradict each other in is said instead.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.estimation.families.combine import Z_LIKELY, Z_WIDE
from foldspan.estimation.settings import Settings
from foldspan.followup.comparability import DAYS_A_WEEK, FIRST_WEEKS
from foldspan.followup.paired import Differences, Paired, changes_between
from foldspan.measurement.against_earlier import (
    AGE_MAY_DIFFER,
    is_of_another_person,
    pounds_apart,
)
from foldspan.quantities import DAYS_A_YEAR, SEXES
from foldspan.screening.before.codes import keys_of
from foldspan.screening.before.columns import (
    DOWN,
    LAST_OF_DOUBT,
    NOT_COMPARED,
    NUMBERS,
    TOO_SOON,
    UNCLEAR,
    UP,
    Changes,
    NotCompared,
)
from foldspan.screening.before.earlier import NO_DAY, REASONS, Earlier, Facts
from foldspan.screening.before.loss import flag_losses
from foldspan.tables.answers import Answers
from foldspan.tables.clients import Clients
from foldspan.tables.findings import RowMarks
from foldspan.text.screen import LOST_ROWS, why_no_range

# people reconciled at a time: every card of every one of them is kept
AT_ONCE = 2048


@dataclass(slots=True, repr=False)
class _Pairs:
    """The rows that have a client in the earlier table: their numbers, and the client's record."""

    rows: Array
    records: Array
    clients: Clients
    weeks: Array
    code: Array


@np.errstate(over="ignore", invalid="ignore", divide="ignore")
def changes_of(
    answers: Answers,
    facts: Facts,
    codes: pa.Array,
    earlier: Earlier,
    settings: Settings,
    *,
    takes_units: bool = False,
) -> Changes:
    """Return what changed for N rows, and add the flags of a loss to theirs.

    Parameters
    ----------
    answers : Answers
        Of the rows; its flags are added to.
    facts : Facts
        What else is asked of them.
    codes : array of N texts
        "" for a row without.
    earlier : Earlier
        The earlier table.
    settings : Settings
        As those of the answers.
    takes_units : bool
        Whether weights that look like another unit are taken as they are.
    """
    keys = keys_of(codes)
    found, is_double = earlier.found(*keys)
    count = len(codes)
    code = np.zeros(count, dtype=np.int8)
    for word, here in (
        ("lost", answers.problems.rows_where(lambda mark: mark.code in LOST_ROWS)),
        ("no_code", keys.first == 0),
        ("code_twice", earlier.twice_now(keys.first)),
        ("code_twice_before", is_double),
        ("only_now", found < 0),
    ):
        code[(code == 0) & here] = NOT_COMPARED.index(word)
    rows = np.flatnonzero(code == 0)
    records, clients = earlier.clients(found[rows])
    day, then = facts.day[rows].astype(float), records["day"].astype(float)
    known = (facts.day[rows] != NO_DAY) & (records["day"] != NO_DAY)
    weeks = np.where(known, day - then, np.nan) / DAYS_A_WEEK
    pairs = _Pairs(rows, records, clients, weeks, np.zeros(rows.size, dtype=np.int8))
    _ask(pairs, answers, facts, takes_units=takes_units)
    made = _Made(count)
    for some, paired in _compared(pairs, answers, facts, settings):
        made.fill(pairs, some, paired)
    code[rows] = pairs.code
    made.numbers["weeks_between"][rows] = np.where(pairs.code == 0, weeks, np.nan)
    comparable = (pairs.code == 0) | (pairs.code > LAST_OF_DOUBT)
    comparable &= ~facts.misleads[rows] & ~records["misleads"]
    losses = flag_losses(
        answers,
        rows[comparable],
        clients.some(np.flatnonzero(comparable)),
        weeks[comparable],
        settings,
    )
    made.notes.add(losses.undated, "loss_undated")
    why = _reasons(code, pairs, answers)
    return Changes(made.numbers, made.verdict, made.weight_verdict, made.notes, why, losses, found)


def _ask(pairs: _Pairs, answers: Answers, facts: Facts, *, takes_units: bool) -> None:
    """Ask of every pair whether it can be of one person, and of one that gets a range both times."""
    rows, then, now = pairs.rows, pairs.records, answers.clients
    sexes, grown = now.sexes[rows], now.age[rows] - then["age"]
    years = pairs.weeks * DAYS_A_WEEK / DAYS_A_YEAR
    weights, heights = (_both(pairs, now, name) for name in ("weight_kg", "height_cm"))
    in_doubt = (facts.is_unit_in_doubt[rows] | then["doubt"]) & (not takes_units)
    is_careful = facts.is_careful[rows] | then["careful"]
    for word, here in (
        ("sex_differs", (sexes >= 0) & (then["sex"] >= 0) & (sexes != then["sex"])),
        ("dated_earlier", pairs.weeks < 0.0),
        ("younger", grown < -1.0),
        ("age_and_dates", np.abs(grown - years) > AGE_MAY_DIFFER),
        ("height_of_another", is_of_another_person(*heights, now.age[rows])),
        ("weight_unit", in_doubt | pounds_apart(*weights)),
        ("careful_words", is_careful),
        ("no_range", ~answers.has_range[rows]),
        ("no_range_before", then["why"] >= 0),
    ):
        pairs.code[(pairs.code == 0) & here] = NOT_COMPARED.index(word)


def _both(pairs: _Pairs, now: Clients, name: str) -> tuple[Array, Array]:
    """A measurement then and now, NaN where it was not taken."""
    unknown = np.full(pairs.rows.size, np.nan)
    then = pairs.clients.sites.get(name)
    later = now.sites.get(name)
    return (
        unknown if then is None else then.value,
        unknown if later is None else later.value[pairs.rows],
    )


def _compared(
    pairs: _Pairs, answers: Answers, facts: Facts, settings: Settings
) -> Iterator[tuple[Array, Paired]]:
    """Compare everybody who can be; yield their places among the pairs, and what changed."""
    testers = facts.tester[pairs.rows], pairs.records["tester"]
    known = (testers[0] != 0) & (testers[1] != 0)
    same_tester = np.where(known, (testers[0] == testers[1]).astype(float), np.nan)
    for place, sex in enumerate(SEXES):
        chosen = np.flatnonzero((pairs.code == 0) & (answers.clients.sexes[pairs.rows] == place))
        for start in range(0, chosen.size, AT_ONCE):
            some = chosen[start : start + AT_ONCE]
            yield (
                some,
                changes_between(
                    pairs.clients.people(sex, some),
                    answers.clients.people(sex, pairs.rows[some]),
                    settings,
                    same_tester=same_tester[some],
                    weeks=pairs.weeks[some],
                ),
            )


class _Made:
    """The columns being filled."""

    def __init__(self, count: int) -> None:
        self.numbers = {name: np.full(count, np.nan) for name in NUMBERS}
        self.verdict = np.zeros(count, dtype=np.int8)
        self.weight_verdict = np.zeros(count, dtype=np.int8)
        self.notes: RowMarks[str] = RowMarks(count)

    def fill(self, pairs: _Pairs, some: Array, paired: Paired) -> None:
        """Write what changed for some of the pairs."""
        rows, percent, weight = pairs.rows[some], paired.percent, paired.weight
        is_known = ~np.isnan(percent.amount)
        pairs.code[some[~is_known]] = NOT_COMPARED.index("nothing_in_common")
        numbers = {
            "fat_percent_before": percent.earlier,
            "fat_percent_change": percent.amount,
            "fat_percent_change_se": percent.se,
            "chance_of_fall": percent.chance_of_fall,
            "weight_change_kg": weight.amount,
        }
        for name, z in (("change_80", Z_LIKELY), ("change_95", Z_WIDE)):
            numbers[f"{name}_low"], numbers[f"{name}_high"] = percent.span(z)
        for name, values in numbers.items():
            self.numbers[name][rows] = values
        too_soon = pairs.weeks[some] < FIRST_WEEKS
        self.verdict[rows] = np.where(too_soon & is_known, TOO_SOON, _verdict(percent))
        self.weight_verdict[rows] = _verdict(weight)
        for code, here in paired.breaks.items():
            self.notes.add(rows[here & is_known], code)


def _verdict(change: Differences) -> Array:
    """Whether a change is beyond chance, and which way; 0 where there is none."""
    way = np.where(change.amount < 0.0, DOWN, UP)
    return np.where(np.isnan(change.amount), 0, np.where(change.is_real, way, UNCLEAR))


def _reasons(code: Array, pairs: _Pairs, answers: Answers) -> RowMarks[NotCompared]:
    """Why rows are not compared; of one without a range, why it has none."""
    found: RowMarks[NotCompared] = RowMarks(code.size)
    for place, word in enumerate(NOT_COMPARED[1:], start=1):
        if word not in ("no_range", "no_range_before"):
            found.add(code == place, NotCompared(word))
    here = code == NOT_COMPARED.index("no_range")
    reasons = [why_no_range(marks) for marks in answers.problems.patterns]
    for reason in dict.fromkeys(reasons):
        of_reason = np.array([of_pattern == reason for of_pattern in reasons])
        found.add(here & of_reason[answers.problems.places], NotCompared("no_range", reason))
    before = pairs.code == NOT_COMPARED.index("no_range_before")
    for place in np.unique(pairs.records["why"][before]).tolist():
        these = pairs.rows[before & (pairs.records["why"] == place)]
        found.add(these, NotCompared("no_range_before", REASONS[place]))
    return found

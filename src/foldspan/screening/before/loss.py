"""Loss: flags of a weight, or a height, that was lost since the earlier table.

A loss that two scales show is judged as one that was told: by the same rules, beside the same answers of
the client. Where a date is missing nobody knows how fast it was: only what needs no time is said.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.settings import Settings
from foldspan.followup.comparability import DAYS_A_WEEK
from foldspan.intake.as_arrays import losses
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import raised
from foldspan.interpretation.referral_measured import height_lost
from foldspan.quantities import DAYS_A_MONTH
from foldspan.results.joined_flags import joined_flags
from foldspan.results.spoken import SpokenFlag
from foldspan.screening.before.columns import LossOfRows
from foldspan.standards.referral_rules import SOME_LOSS, SURE_AT
from foldspan.tables.answers import Answers
from foldspan.tables.clients import Clients
from foldspan.tables.findings import Mark, RowMarks
from foldspan.tables.flags import FlagColumns

# a chance that stands for a flag which the measurements leave open
_OPEN = SURE_AT / 2.0
_NO_EARLIER_WEIGHT = Mark("E120", "earlier_weight_kg")


def flag_losses(
    answers: Answers, rows: Array, then: Clients, weeks: Array, settings: Settings
) -> LossOfRows:
    """Add the flags of a loss to some rows, given by their numbers with their clients then.

    ``weeks`` lie between, NaN where a date is missing.
    """
    months = weeks * DAYS_A_WEEK / DAYS_A_MONTH
    lost = _weights_lost(answers.clients, rows, then, months)
    flagged = [np.zeros(0, dtype=np.int64)]
    if lost.rows.size:
        again = answers.clients.some(lost.rows)
        numbers = {**again.reported.numbers} | {
            "loss_percent": lost.percent, "loss_se": lost.se, "loss_months": lost.months,
        }  # fmt: skip
        with_loss = replace(again, reported=replace(again.reported, numbers=numbers))
        flags = _flags_of(with_loss, settings)
        flagged.append(_join(answers, lost.rows, flags.raised, flags.borderline))
    flagged.append(_flag_heights(answers, rows, then))
    undated = lost.rows[np.isnan(lost.months)]
    judged = _judged(answers.clients, rows, then)
    _clear_missing_earlier_weight(answers, judged)
    every = np.unique(np.concatenate(flagged))
    return LossOfRows(lost.rows, lost.percent, lost.months, every, undated, judged)


@dataclass(frozen=True, slots=True, repr=False)
class _Lost:
    rows: Array
    percent: Array
    se: Array
    months: Array


def _weights_lost(now: Clients, rows: Array, then: Clients, months: Array) -> _Lost:
    """Rows whose weight fell by as much as any rule reads, from one day to a later one."""
    nothing = np.zeros(0)
    if "weight_kg" not in now.sites or "weight_kg" not in then.sites:
        return _Lost(np.zeros(0, dtype=np.int64), nothing, nothing, nothing)
    site = now.sites["weight_kg"]
    found = losses(then.sites["weight_kg"].value, site.value[rows], site.se[rows])
    here = np.flatnonzero((found["loss_percent"] >= SOME_LOSS) & ~(months <= 0.0))
    return _Lost(rows[here], found["loss_percent"][here], found["loss_se"][here], months[here])


def _judged(now: Clients, rows: Array, then: Clients) -> Array:
    """Rows of which the weight is known both times."""
    if "weight_kg" not in now.sites or "weight_kg" not in then.sites:
        return np.zeros(0, dtype=np.int64)
    both = now.sites["weight_kg"].value[rows] + then.sites["weight_kg"].value
    return np.asarray(rows[~np.isnan(both)])


def _clear_missing_earlier_weight(answers: Answers, rows: Array) -> None:
    """Take away what says that an earlier weight is missing: the earlier table has it."""
    problems = answers.problems
    found, kinds = np.unique(problems.places[rows], return_inverse=True)
    patterns = [problems.patterns[place] for place in found.tolist()]
    kept = [tuple(mark for mark in pattern if mark != _NO_EARLIER_WEIGHT) for pattern in patterns]
    if kept != patterns:
        problems.put(rows, kinds.reshape(-1), kept)


def _flags_of(clients: Clients, settings: Settings) -> FlagColumns:
    """Return the flags of some clients, as ``answer_rows`` writes them."""
    flags = FlagColumns(clients.sexes.size)
    both = settings.reference_method != "density" and settings.local is None
    for some, people, answer in clients.answers(settings, both_references=both):
        flags.fill(clients, some, people, answer, settings)
    flags.fill_in_doubt(clients)
    flags.fill_without_range(clients)
    return flags


def _flag_heights(answers: Answers, rows: Array, then: Clients) -> Array:
    """Add the flag of a height that was lost; return whose it is new to."""
    nobody = np.zeros(0, dtype=np.int64)
    now = answers.clients.sites.get("height_cm")
    before = then.sites.get("height_cm")
    if now is None or before is None:
        return nobody
    chances = height_lost(
        answers.clients.age[rows],
        Measured(before.value, before.se),
        Measured(now.value[rows], now.se[rows]),
    )
    found, unsure = RowMarks[str](rows.size), RowMarks[str](rows.size)
    for code, here in raised(chances).items():
        found.add(here, code)
        unsure.add(here & (chances[code] < SURE_AT), code)
    here = np.flatnonzero(found.places)
    if not here.size:
        return nobody
    return _join(answers, rows[here], found.subset(here), unsure.subset(here))


def _join(answers: Answers, rows: Array, more: RowMarks[str], unsure: RowMarks[str]) -> Array:
    """Join flags to those of some rows: of a ladder the highest, the most urgent first.

    Each kind of row is joined once, however many rows are of it. Return the rows that got a new one.
    """
    own, own_open = answers.flags, answers.borderline
    places = [marks.places[rows] for marks in (own, own_open)] + [more.places, unsure.places]
    kinds, of_row = np.unique(np.stack(places), axis=1, return_inverse=True)
    of_row = of_row.reshape(-1)
    joined, is_new = [], []
    for first, first_open, second, second_open in kinds.T.tolist():
        flags = joined_flags(
            _spoken(own.patterns[first], own_open.patterns[first_open]),
            _spoken(more.patterns[second], unsure.patterns[second_open]),
        )
        joined.append(flags)
        is_new.append(bool({flag.code for flag in flags} - set(own.patterns[first])))
    own.put(rows, of_row, [tuple(flag.code for flag in flags) for flags in joined])
    own_open.put(
        rows, of_row, [tuple(flag.code for flag in flags if flag.is_borderline) for flags in joined]
    )
    return np.asarray(rows[np.array(is_new)[of_row]])


def _spoken(codes: tuple[str, ...], borderline: tuple[str, ...]) -> tuple[SpokenFlag, ...]:
    return tuple(SpokenFlag(code, _OPEN if code in borderline else 1.0, ()) for code in codes)

"""Letters: what a letter needs of each row that is referred, and which letters must wait."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.results.flag_grounds import LOST_SINCE, row_grounds
from foldspan.results.spoken import Ground
from foldspan.screening.row_visit import facts_of_row
from foldspan.standards.referral_rules import RULE_BY_CODE, RULES
from foldspan.tables.answers import Answers
from foldspan.tables.findings import Mark
from foldspan.text.en.grounds import SELF_REPORTED_NUMBERS
from foldspan.visit.from_row import RowFacts

# a column of which so many rows look like another unit is in that unit; fewer are a mixture (ours)
WHOLE_COLUMN, MIXED_ROWS = 0.50, 5
# referring rules that were told or read off a cuff: they stand whatever the weight is
_LADDERS = ("pressure", "belly", "thirst")
_MARKED = ("eating_concern", "periods_stopped")
SELF_REPORTED_RULES = frozenset(
    rule.code
    for rule in RULES
    if rule.intake_words or rule.ladder in _LADDERS or rule.code in _MARKED
)


@dataclass(frozen=True, slots=True, repr=False)
class LetterFor:
    """One row that is referred: its visit, and its facts for where a visit cannot be made of them."""

    row: int
    """Its number in the table [0, 1, …]."""
    client: RowFacts
    """What the row says of its client, of which a visit can mostly be made."""
    flags: tuple[str, ...]
    """Codes of its rules, the most urgent first."""
    grounds: tuple[tuple[Ground, ...], ...]
    """What stands behind each of them, empty for nothing to name."""
    problems: tuple[Mark, ...]
    """What is wrong with the row."""
    bmi: float
    """Body mass index [kg/m²], NaN where it is not known."""
    is_bmi_used: bool
    """False where it is so low that weight and height have to be checked first."""
    measured: tuple[tuple[str, float], ...]
    """Quantities with their accepted values [unit of the quantity]."""
    reported: tuple[str, ...]
    """Intake words that were told."""
    numbers: tuple[Ground, ...]
    """What was told in numbers."""
    has_range: bool
    """Whether the row got a range."""
    earlier: RowFacts | None = None
    """The client in the earlier table, if the row has a flag because of it."""


class SinceEarlier(NamedTuple):
    """What an earlier table adds to a letter: the client then, and what was lost by the kind of flag.

    Kinds are values of ``LOST_SINCE``.
    """

    client: RowFacts
    lost: Mapping[str, Ground]


def letters_for(
    answers: Answers,
    labels: dict[str, pa.Array],
    rows: Array,
    since: Mapping[int, SinceEarlier] | None = None,
) -> tuple[LetterFor, ...]:
    """Return what letters need of some rows; ``since`` is what an earlier table adds, by row."""
    more = since or {}
    return tuple(
        _letter_for(answers, row, facts_of_row(answers, labels, row), more.get(row))
        for row in rows.tolist()
    )


def _letter_for(
    answers: Answers, row: int, client: RowFacts, since: SinceEarlier | None
) -> LetterFor:
    clients, flags, problems = answers.clients, answers.flags, answers.problems
    codes = flags.patterns[flags.places[row]]
    bmi = float(clients.judged_bmi(np.array([row])).value[0])
    is_bmi_used = bool(np.isnan(clients.very_low_bmi[row]))
    words = tuple(word for word, mark in clients.reported.words.items() if mark[row])
    numbers = _numbers(answers, row)
    known = numbers | _index(bmi, is_used=is_bmi_used)
    is_pregnant = bool(clients.is_pregnant[row])
    return LetterFor(
        row=row,
        client=client if since is None else _with_intent(client, answers, row),
        flags=codes,
        grounds=tuple(
            row_grounds(RULE_BY_CODE[code], words, known, is_pregnant=is_pregnant)
            + _lost(code, since)
            for code in codes
        ),
        problems=problems.patterns[problems.places[row]],
        bmi=bmi,
        is_bmi_used=is_bmi_used,
        measured=tuple(
            (name, float(site.value[row]))
            for name, site in clients.sites.items()
            if not np.isnan(site.value[row])
        ),
        reported=words,
        numbers=tuple(numbers.values()),
        has_range=bool(answers.has_range[row]),
        earlier=None if since is None else since.client,
    )


def _with_intent(client: RowFacts, answers: Answers, row: int) -> RowFacts:
    """A client with whether a loss was wanted, also where the client told no earlier weight."""
    wanted = float(answers.clients.reported.number("loss_wanted")[row])
    if np.isnan(wanted):
        return client
    return replace(client, intake=replace(client.intake, loss_wanted=bool(wanted), is_given=True))


def _lost(code: str, since: SinceEarlier | None) -> tuple[Ground, ...]:
    """What was lost since the earlier table, where a flag reads it."""
    lost = None if since is None else since.lost.get(LOST_SINCE.get(code, ""))
    return () if lost is None else (lost,)


def _index(bmi: float, *, is_used: bool) -> dict[str, Ground]:
    """The body mass index of a row as a ground; nothing where it is not known."""
    code = "bmi" if is_used else "bmi_if_right"
    return {} if np.isnan(bmi) else {"bmi": Ground(code, {"value": bmi})}


def _numbers(answers: Answers, row: int) -> dict[str, Ground]:
    """What was told in numbers, by the names of ``SelfReported.numbers``."""
    return {
        name: Ground(name, {"value": float(values[row])})
        for name, values in answers.clients.reported.numbers.items()
        if name in SELF_REPORTED_NUMBERS and not np.isnan(values[row])
    }


def unit_in_doubt(mark: Mark) -> bool:
    """Whether a mark says that a weight which is used looks like another unit."""
    return mark.code == "W123" and bool(mark.looks_like)


def unit_first(answers: Answers) -> Array:
    """Return the rows that nothing refers but a weight of a doubtful unit, bool (N,)."""
    return np.asarray(answers.problems.rows_where(unit_in_doubt) & ~_have_answers(answers))


def _have_answers(answers: Answers) -> Array:
    """Which rows are referred for what was told, whatever the weight is."""
    has_answer = [bool(SELF_REPORTED_RULES & set(pattern)) for pattern in answers.flags.patterns]
    return np.asarray(np.array(has_answer, dtype=bool)[answers.flags.places])


def held_back(answers: Answers) -> Array:
    """Return the rows whose letter waits: all that refers them rests on a weight of a doubtful unit."""
    doubtful = answers.problems.rows_where(unit_in_doubt)
    unused = answers.problems.rows_where(
        lambda mark: mark.code == "E102" and mark.name == "weight_kg" and bool(mark.looks_like)
    )
    count = int(np.count_nonzero(doubtful | unused))
    bmi = answers.clients.bmi(np.arange(doubtful.size)).value
    known = int(np.count_nonzero(~np.isnan(bmi) | unused))
    if count >= MIXED_ROWS and count >= WHOLE_COLUMN * known:
        doubtful = np.ones_like(doubtful)  # the whole column, though some look like either unit
    return np.asarray(doubtful & ~_have_answers(answers))

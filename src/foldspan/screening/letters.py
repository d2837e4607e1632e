"""Letters: what a letter needs of each row that is referred, and which letters must wait."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.quantities import BY_NAME
from foldspan.results.flag_grounds import row_grounds
from foldspan.screening.row_visit import row_trees
from foldspan.standards.intake_vocabulary import ALL_WORDS, OWN_LINES
from foldspan.standards.referral_rules import RULE_BY_CODE, RULES
from foldspan.tables.answers import Answers
from foldspan.tables.findings import Mark
from foldspan.text.en.reconcile import capital
from foldspan.text.screen import IF_RIGHT, SELF_REPORTED_NUMBERS

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
    """One row that is referred: its visit, and its facts for where a visit cannot be made of them.

    ``flags`` are the codes of its rules, the most urgent first, ``grounds`` what stands behind each, ""
    for nothing to name, ``problems`` what is wrong with the row,
    ``measured`` quantities with their accepted values, ``reported`` what the client told, in words;
    ``has_range`` says whether the row got one.
    """

    row: int
    tree: dict[str, Any]
    flags: tuple[str, ...]
    problems: str
    grounds: tuple[str, ...]
    measured: tuple[tuple[str, str], ...]
    reported: tuple[str, ...]
    has_range: bool


def letters_for(
    answers: Answers, labels: dict[str, pa.Array], rows: Array, problems: pa.Array
) -> tuple[LetterFor, ...]:
    """Return what letters need of some rows; ``problems`` are the texts of all rows."""
    flags = answers.flags
    return tuple(
        LetterFor(
            row,
            tree,
            flags.patterns[flags.places[row]],
            problems[row].as_py(),
            _grounds(answers, row),
            _measured(answers, row),
            _reported(answers, row),
            bool(answers.has_range[row]),
        )
        for row, tree in row_trees(answers, labels, rows)
    )


def unit_in_doubt(mark: Mark) -> bool:
    """Whether a mark says that a weight which is used looks like another unit."""
    return mark.code == "W123" and bool(mark.looks_like)


def held_back(answers: Answers) -> Array:
    """Return the rows whose letter waits: all that refers them rests on a weight of a doubtful unit."""
    has_answers = np.array(
        [bool(SELF_REPORTED_RULES & set(pattern)) for pattern in answers.flags.patterns]
    )
    doubtful = answers.problems.rows_where(unit_in_doubt)
    unused = answers.problems.rows_where(
        lambda mark: mark.code == "E102" and mark.name == "weight_kg" and bool(mark.looks_like)
    )
    count = int(np.count_nonzero(doubtful | unused))
    bmi = answers.clients.bmi(np.arange(doubtful.size)).value
    known = int(np.count_nonzero(~np.isnan(bmi) | unused))
    if count >= MIXED_ROWS and count >= WHOLE_COLUMN * known:
        doubtful = np.ones_like(doubtful)  # the whole column, though some look like either unit
    return np.asarray(doubtful & ~has_answers[answers.flags.places])


def _index(answers: Answers, row: int) -> tuple[str, str]:
    """Body mass index of a row, "" where it is not known, and what to say of one that is not used."""
    bmi = answers.clients.judged_bmi(np.array([row])).value[0]
    is_used = np.isnan(answers.clients.very_low_bmi[row])
    return "" if np.isnan(bmi) else f"{bmi:.1f}", "" if is_used else IF_RIGHT


def _grounds(answers: Answers, row: int) -> tuple[str, ...]:
    reports, (index, doubt) = answers.clients.reported, _index(answers, row)
    words = {word for word, mark in reports.words.items() if mark[row]}
    numbers = _numbers(answers, row) | (
        {"bmi": f"body mass index {index} {doubt}".strip()} if index else {}
    )
    is_pregnant = bool(answers.clients.is_pregnant[row])
    return tuple(
        row_grounds(RULE_BY_CODE[code], words, numbers, is_pregnant=is_pregnant)
        for code in answers.flags.patterns[answers.flags.places[row]]
    )


def _numbers(answers: Answers, row: int) -> dict[str, str]:
    """What was told in numbers, in words."""
    return {
        name: SELF_REPORTED_NUMBERS[name].format(value=values[row])
        for name, values in answers.clients.reported.numbers.items()
        if name in SELF_REPORTED_NUMBERS and not np.isnan(values[row])
    }


def _measured(answers: Answers, row: int) -> tuple[tuple[str, str], ...]:
    sites, (index, doubt) = answers.clients.sites, _index(answers, row)
    name = f"Body mass index, {doubt}" if doubt else "Body mass index"
    first = ((name, f"{index} kg/m²"),) if index else ()
    return first + tuple(
        (capital(BY_NAME[name].label), f"{site.value[row]:.4g} {BY_NAME[name].unit}")
        for name, site in sites.items()
        if not np.isnan(site.value[row])
    )


def _reported(answers: Answers, row: int) -> tuple[str, ...]:
    reports = answers.clients.reported
    meaning = {**ALL_WORDS, **OWN_LINES}
    found = [meaning[word] for word, mark in reports.words.items() if mark[row] and word in meaning]
    found += _numbers(answers, row).values()
    return tuple(map(capital, found))

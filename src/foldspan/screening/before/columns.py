"""Columns: what is said of a change since the earlier table, as columns of the result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from foldspan.catalogue.card import Array
from foldspan.tables.findings import RowMarks

VERDICTS = ("", "down", "up", "unclear", "too_soon")
DOWN, UP, UNCLEAR, TOO_SOON = range(1, 5)
# why nothing is said of a change, in the order in which it is asked
NOT_COMPARED = (
    "", "lost", "no_code", "code_twice", "code_twice_before", "only_now", "sex_differs", "dated_earlier",
    "younger", "age_and_dates", "height_of_another", "weight_unit", "careful_words", "no_range",
    "no_range_before", "nothing_in_common",
)  # fmt: skip
# up to here two rows may be of two people, or their weights in two units: not even a loss is told
LAST_OF_DOUBT = NOT_COMPARED.index("weight_unit")
NUMBERS = (
    "fat_percent_before", "fat_percent_change", "fat_percent_change_se", "change_80_low",
    "change_80_high", "change_95_low", "change_95_high", "chance_of_fall", "weight_change_kg",
    "weeks_between",
)  # fmt: skip
WORDS = ("change_verdict", "weight_change_verdict", "change_notes", "not_compared")
NAMES = (*NUMBERS[:-2], WORDS[0], NUMBERS[-2], WORDS[1], NUMBERS[-1], *WORDS[2:])


@dataclass(frozen=True, slots=True, repr=False)
class LossOfRows:
    """Weights that were lost, by the numbers of their rows: in % of the earlier one, and in months.

    ``months`` is NaN where a date is missing; ``flagged`` are the rows that got a flag which they would
    not have without the earlier table, ``undated`` those whose loss no date goes with, ``judged`` all
    whose weight is known both times.
    """

    rows: Array
    percent: Array
    months: Array
    flagged: Array
    undated: Array
    judged: Array


class NotCompared(NamedTuple):
    """Why a row is not compared: a word of ``NOT_COMPARED``, and why it has no range, "" elsewhere."""

    code: str
    reason: str = ""


@dataclass(frozen=True, slots=True, repr=False)
class Changes:
    """What changed for N rows: numbers by column, NaN for none, and places in ``VERDICTS``.

    ``notes`` are codes of what affects a comparison, ``why`` says why there is none; ``found`` holds the
    number of the client's record in the earlier table, -1 for none.
    """

    numbers: dict[str, Array]
    verdict: Array
    weight_verdict: Array
    notes: RowMarks[str]
    why: RowMarks[NotCompared]
    losses: LossOfRows
    found: Array


def words_of(changes: Changes) -> dict[str, tuple[Array, list[str]]]:
    """Return columns of few different texts: places (N,) and the texts."""
    from foldspan.text.tables.before import why_not_compared

    notes, why = changes.notes, changes.why
    return {
        "change_verdict": (changes.verdict, list(VERDICTS)),
        "weight_change_verdict": (changes.weight_verdict, list(VERDICTS)),
        "change_notes": (notes.places, ["; ".join(pattern) for pattern in notes.patterns]),
        "not_compared": (
            why.places,
            [
                "; ".join(why_not_compared(*reason) for reason in pattern)
                for pattern in why.patterns
            ],
        ),
    }

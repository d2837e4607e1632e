"""Columns: what is said of a change since the earlier table, as columns of the result."""

from __future__ import annotations

from typing import TYPE_CHECKING

from foldspan.catalogue.card import Array

if TYPE_CHECKING:
    from foldspan.screening.before.changes import Changes

VERDICTS = ("", "down", "up", "unclear", "too_soon")
DOWN, UP, UNCLEAR, TOO_SOON = range(1, 5)
# why nothing is said of a change, in the order in which it is asked
NOT_COMPARED = (
    "", "no_code", "code_twice", "code_twice_before", "only_now", "sex_differs", "dated_earlier",
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
            ["; ".join(why_not_compared(*one) for one in pattern) for pattern in why.patterns],
        ),
    }

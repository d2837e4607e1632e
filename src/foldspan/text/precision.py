"""Wording of precision: what technical errors mean, and what they cannot tell, for the trainer."""

from __future__ import annotations

from foldspan.measurement.technical_error import (
    ENOUGH_CLIENTS,
    OTHER_TARGET,
    ROUNDED_SHARE,
    STUDY_CLIENTS,
    WANTED_RELIABILITY,
    Grade,
    Precision,
)
from foldspan.quantities import BY_NAME
from foldspan.results.precision import Remark

NOBODY = "the tester"
GRADE_WORDS: dict[Grade, str] = {
    "skilled": "skilled",
    "beginner": "beginner",
    "beyond": "beyond",
}
REMARK_SENTENCES = {
    "too_alike": (
        "{Tester}: nearly all repeats are the same to the last digit ({sites}). They were hardly read"
        " blind; cover the first reading, and measure the other sites in between. These errors are not"
        " handed on."
    ),
    "rounded": (
        "{Tester}: {count} of {of} readings in {unit} end on 0 or 5, where one in five is expected;"
        f" beyond {100 * ROUNDED_SHARE:.0f} % (our threshold) it looks like rounding. Read every digit."
    ),
    "coarse": (
        "{Tester}: all {of} readings in {unit} are in steps of {step}. That is right if the scale"
        " shows no more; else read every digit."
    ),
    "between_holds_within": (
        "The error between testers compares accepted values (the mean of two readings, the median of"
        " three). It holds the steady difference between testers, and part of the error within each."
    ),
    "several_visits": (
        "Clients whom one tester measured at several visits do not count between testers: the visits"
        " may be of different days."
    ),
    "alone": "Readings that nobody repeated count nowhere: {count}.",
    "reliability_negative": (
        "R below 0 cannot be told (-): these clients differ less than the readings scatter."
    ),
    "few_clients": (
        f"A study of technical error asks for at least {STUDY_CLIENTS} clients, the second round"
        " blind; the site with the fewest has {count} here. Believe the bounds, not the middle."
    ),
    "nobody_named": (
        "No tester is named, so no errors are handed on as anybody's own. Add the column tester."
    ),
    "not_handed_on": (
        f"{{Tester}}: fewer than {ENOUGH_CLIENTS} clients for {{sites}}, so not handed on as own"
        " errors."
    ),
    "one_visit_only": (
        "Repeats of one visit say nothing about a wrong mark, another day or another calliper: all"
        " readings share them. They hold for this tester, tool and kind of people."
    ),
}
_FOLDS = "folds 5 and 7.5 % within a tester, 7.5 and 10 % between"
TARGET_SENTENCE = (
    f"Targets for skilled testers and beginners, in % of the mean: {_FOLDS}; girths, heights and"
    f" breadths {OTHER_TARGET.skilled_within:g} and {OTHER_TARGET.beginner_within:g} % within,"
    f" {OTHER_TARGET.skilled_between:g} and {OTHER_TARGET.beginner_between:g} % between (Perini 2005"
    " after Gore and Norton, not verified in print). A question mark: the 95 % bounds reach into another"
    " class."
)
CHANGE_SENTENCE = (
    "Real from: what the means of two readings at two visits must differ by to be more than this"
    " tester's scatter (19 in 20). The body's own ups and downs come on top."
)
RELIABILITY_SENTENCE = (
    f"R is the share of the spread that is not scatter of the readings; surveys ask for"
    f" {WANTED_RELIABILITY:.2f} (not verified in print). It grows with how much the clients differ."
)


def remark_sentence(remark: Remark) -> str:
    """Return one remark as a sentence or two."""
    return REMARK_SENTENCES[remark.code].format(
        Tester=remark.tester or NOBODY.capitalize(),
        sites="; ".join(BY_NAME[name].label for name in remark.quantities),
        count=remark.count,
        of=remark.of,
        unit=remark.unit,
        step=f"{remark.count / 10:g} {remark.unit}",
    )


def bounds_words(precision: Precision) -> str:
    """Return the 95 % bounds, such as ``0.38 to 0.87``."""
    low, high = precision.bounds
    return f"{low:.2f} to {high:.{1 if high >= 100.0 else 2}f}"


def reliability_words(precision: Precision) -> str:
    """Return the reliability, or a dash where it cannot be told."""
    return (
        "-"
        if precision.reliability is None or precision.reliability < 0.0
        else f"{precision.reliability:.3f}"
    )


def counted_sentence(rows: tuple[int, int], cells: tuple[int, int]) -> str:
    """Return how many rows and filled cells of a table counted; each pair is counted and given."""
    return f"{rows[0]} of {rows[1]} rows and {cells[0]} of {cells[1]} readings of the table can be used."

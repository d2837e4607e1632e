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
    "beyond": "outside",
    "too_few": "too few to say",
}
REMARK_SENTENCES = {
    "too_alike": (
        "{Tester}: nearly all repeats are identical ({sites}). The second readings were"
        " probably not blind: cover the first reading, and measure the other sites in"
        " between. These errors are not saved as the tester's own."
    ),
    "rounded": (
        f"{{Tester}}: {{count}} of {{of}} readings in {{unit}} end in 0 or 5; one in five is"
        f" expected. Above {100 * ROUNDED_SHARE:.0f}% (our threshold) this looks like"
        " rounding. Read every digit."
    ),
    "coarse": (
        "{Tester}: all {of} readings in {unit} are in steps of {step}. That is right if the"
        " instrument shows no more; otherwise read every digit."
    ),
    "between_holds_within": (
        "The error between testers compares accepted values (the mean of two readings, or"
        " the median of three). It includes the steady difference between testers and part of"
        " the error within each."
    ),
    "several_visits": (
        "A client whom one tester measured at several visits is not used to compare testers:"
        " the visits may be on different days."
    ),
    "alone": "Readings without a repeat are not used: {count}.",
    "reliability_negative": (
        "Reliability below 0 is shown as -: these clients differ by less than the readings scatter."
    ),
    "few_clients": (
        f"A study of technical error needs at least {STUDY_CLIENTS} clients and a blind"
        f" second round; the site with the fewest has {{count}} here. With so few clients,"
        " rely on the 95% limits rather than the single figure."
    ),
    "nobody_named": (
        "No tester is named, so no errors are saved as a tester's own. Add the column tester."
    ),
    "not_handed_on": (
        f"{{Tester}}: fewer than {ENOUGH_CLIENTS} clients for {{sites}}, so no errors are saved"
        " as the tester's own."
    ),
    "one_visit_only": (
        "Repeats within one visit do not show errors from a wrong mark, another day or another"
        " calliper, which all readings share. They apply to this tester, this instrument and"
        " clients like these."
    ),
}
_FOLDS = "skinfolds 5% and 7.5% within a tester, 7.5% and 10% between testers"
TARGET_SENTENCE = (
    f"Targets for skilled testers and for beginners, in % of the mean: {_FOLDS}; girths, heights"
    f" and breadths {OTHER_TARGET.skilled_within:g}% and {OTHER_TARGET.beginner_within:g}% within,"
    f" {OTHER_TARGET.skilled_between:g}% and {OTHER_TARGET.beginner_between:g}% between (Perini 2005"
    " after Gore and Norton, not verified in print). Outside: above both targets. A question mark:"
    " the 95% limits reach into another class. Too few to say: under"
    f" {ENOUGH_CLIENTS} clients, whose error can be far from the true one (common practice in"
    " surveys, not verified in print)."
)
CHANGE_SENTENCE = (
    "MDC: minimal detectable change, the difference between two visits (mean of two readings"
    " each) that is larger than this tester's measurement error, 95% confidence. The body's"
    " own variation from day to day is not included."
)
RELIABILITY_SENTENCE = (
    "R is reliability: the share of the variance that is not measurement error; surveys ask for"
    f" {WANTED_RELIABILITY:.2f} (not verified in print). It is higher when the clients differ more."
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
    return (
        f"{rows[0]} of {rows[1]} rows and {cells[0]} of {cells[1]} readings in the table can"
        " be used."
    )

"""Wording of change between visits: what is real, what is noise, and what breaks the comparison."""

from __future__ import annotations

import math

from foldspan.estimation.combine import Z_LIKELY
from foldspan.followup.comparability import BREAKS, FIRST_WEEKS
from foldspan.followup.difference import STABILITY, Change, Difference, Trend
from foldspan.quantities import BY_NAME, WEEKS_A_MONTH
from foldspan.results.change import ChangeResult
from foldspan.results.changes_for_client import PROBABLY, TOO_SOON
from foldspan.text.en.reconcile import SEX_WORDS

# After how many weeks every page says to measure again (our proposal, no source: not under 4, and 8 to
# 12 as a rule).
REPEAT_WEEKS = 8
# A brisk, planned change of the fat percentage (common practice, no source).
POINTS_A_WEEK = 0.5
BREAK_SENTENCES = {
    "other_tester": "Another tester measured: the errors of the readings count twice.",
    "tester_not_known": (
        "Who measured is not noted at both visits; this holds for one tester. Write tester in [visit]."
    ),
    "other_calliper": (
        "Another calliper was used: callipers of two kinds differ by about a tenth of a fold, and that"
        " is counted in."
    ),
    "calliper_not_known": (
        "The calliper is not noted at every visit; this holds for one calliper. Write calliper in"
        " [visit]."
    ),
    "other_time": "Another time of the day: waist and weight move over the day.",
    "variant_differs": "A fold was taken at another variant of its site, so it is left out.",
    "other_side": "A site was taken on the left at one visit only; the two sides can differ.",
    "clothing_differs": (
        "A girth was taken over clothing at one visit only; what a layer adds is counted in."
    ),
    "height_differs": (
        "Height moved by more than a grown body does: measure it again, or keep the first one."
    ),
    "measured_once": "Measured at one visit only, so left out: {once}.",
    "equations_differ": "Some equations fit at one visit only, so they are left out.",
    "too_soon": (
        f"Less than {FIRST_WEEKS:.0f} weeks lie between: fat changes more slowly than this can tell."
    ),
}
SEVERAL_AT_ONCE = (
    "First to last, the last step and the trend are judged together, so each must be clearer to count as"
    " real: chance alone makes any of them look real in fewer than 1 case of 20."
)
SIDE_BY_SIDE = (
    "Which equations fit is left open, so both answers stand side by side. Weight, folds and girths need"
    " no equation: they hold either way."
)
CAREFUL = "Worry about eating is noted: these numbers are not for the client's eyes."
FAT_MEANING = "Fat mass is all the fat of the body, also the part that every body needs."
LEAN_MEANING = (
    "Lean mass is all the rest: muscle, bone, organs and water. A day of much or little water moves"
    " it."
)
MASS_MEANINGS = f"{FAT_MEANING} {LEAN_MEANING}"


TOO_SOON_FOR_FAT = (
    f"Over less than {FIRST_WEEKS:.0f} weeks that may be water and food rather than fat."
)
# said of a change that is real
BEYOND_ERROR = "more than measurement error explains"


def chance_sentence(difference: Difference, what: str, change: Change) -> str:
    """Return whether a value went down or up between the visits of a change, and how sure that is.

    Where they lie too near to each other for a change of fat, only what the readings say is told.
    """
    down = difference.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    if TOO_SOON in change.breaks and difference.is_real:
        reads = "lower" if down >= 0.5 else "higher"
        return f"{what} reads {reads} by {BEYOND_ERROR} in 19 of 20 cases. {TOO_SOON_FOR_FAT}"
    if TOO_SOON in change.breaks:
        return (
            f"{what}: no telling whether it went down or up in less than {FIRST_WEEKS:.0f} weeks."
        )
    if difference.is_real:
        return f"{what} went {way}: the change is {BEYOND_ERROR} in 19 of 20 cases."
    if chance >= PROBABLY:
        return f"{what} probably went {way} ({100 * chance:.0f} chances in 100)."
    return f"{what}: no telling whether it went down or up ({100 * down:.0f} in 100 for down)."


def printed_amount(difference: Difference, digits: int = 1) -> float:
    """Return how much a value changed, as its two ends are printed: what is printed must subtract."""
    return round(difference.later, digits) - round(difference.earlier, digits)


def fat_sentences(result: ChangeResult) -> list[str]:
    """Return whether body fat changed, by how much; two answers where the equations are left open."""
    if not result.by_sex:
        percent = result.change.percent
        if percent is None:
            return []
        return [
            f"{chance_sentence(percent, 'Body fat', result.change)} {span_words(percent, 'points')}."
        ]
    return [
        f"By the equations for {SEX_WORDS[sex]}: {sentence}"
        for sex, result_of_sex in result.by_sex
        for sentence in fat_sentences(result_of_sex)
    ]


def span_words(difference: Difference, unit: str, digits: int = 1) -> str:
    """Return a change with its likely span."""
    low, high = difference.likely
    amount = printed_amount(difference, digits)
    return f"{amount:+.{digits}f} {unit}, likely {low:+.{digits}f} to {high:+.{digits}f} {unit}"


def break_sentences(change: Change, trend: Trend | None = None) -> list[str]:
    """Return what breaks the comparison, each with what was done about it.

    What only a visit in between breaks is told for the trend.
    """
    between = () if trend is None else tuple(set(trend.breaks) - set(change.breaks))
    once = ", ".join(BY_NAME[name].label for name in change.once)
    return [BREAK_SENTENCES[code].format(once=once) for code in change.breaks] + [
        f"Over all visits: {BREAKS[code]}." for code in BREAKS if code in between
    ]


def cancel_sentence(change: Change) -> str:
    """Return how much of the error cancels, and what that rests on."""
    spans = "; ".join(
        f"{low:+.1f} to {high:+.1f} at {stability:.2f}" for stability, (low, high) in _spans(change)
    )
    return (
        f"{100 * change.cancelled:.0f} % of the variance of two ranges cancels, because each method"
        f" errs alike at both visits. How alike is our assumption, {STABILITY:.2f}; likely change by how"
        f" alike: {spans}."
    )


def _spans(change: Change) -> list[tuple[float, tuple[float, float]]]:
    """Likely span of the change in points, by stability."""
    assert change.percent is not None
    difference = change.percent
    return [
        (stability, Difference(difference.earlier, difference.later, se).likely)
        for stability, se in change.by_stability.items()
    ]


def repeat_sentence(change: Change) -> str:
    """Return when it makes sense to measure again, and how likely a brisk change shows by then."""
    again = f"Measure the same sites again in {REPEAT_WEEKS} weeks or later."
    if change.percent is None:
        return again
    shows = 100.0 * chance_to_show(change.percent)
    return (
        f"{again} {smallest_sentence(change)} If body fat falls by a brisk {POINTS_A_WEEK:g} points a"
        f" week, {REPEAT_WEEKS} weeks would show it as real in {shows:.0f} of 100 cases; sooner, the"
        " difference is mostly measurement error."
    )


def chance_to_show(percent: Difference) -> float:
    """Return the chance that a brisk change is real by the usual repeat, errors being as they were."""
    over = (POINTS_A_WEEK * REPEAT_WEEKS - percent.smallest_real) / percent.se
    return 0.5 * (1.0 + math.erf(over / math.sqrt(2.0)))


def smallest_sentence(change: Change) -> str:
    """Return from where on a change is real, "" without body fat at both visits."""
    if change.percent is None:
        return ""
    return f"Smallest real change: {change.percent.smallest_real:.1f} points."


def raw_sentence(change: Change) -> str:
    """Return what the raw measures rest on, "" where there are none."""
    lines = len(change.girths) + (change.folds is not None)
    if not lines:
        return ""
    several = (
        f" Each of {lines} lines is called real by chance in 1 case of 20, so one of them often is."
        if lines > 2
        else ""
    )
    return (
        "Raw measures need no equation, but bodies vary: over days folds of one person differed by 15 to"
        " 21 %, waists by 3 %, in 51 adults; the lower ends are counted in." + several
    )


def trend_sentence(trend: Trend) -> str:
    """Return the trend over three visits and more, and whether it is real."""
    down = trend.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    sure = (
        f"body fat went {way} by {BEYOND_ERROR} in 19 of 20 cases"
        if trend.is_real
        else f"{100 * chance:.0f} chances in 100 that it goes {way}"
    )
    if trend.months * WEEKS_A_MONTH < FIRST_WEEKS:
        sure = "no telling whether body fat goes down or up in so short a time"
    return (
        f"Over {trend.visits} visits: {trend.a_month:+.2f} points a month, likely"
        f" {trend.a_month - Z_LIKELY * trend.se:+.2f} to {trend.a_month + Z_LIKELY * trend.se:+.2f};"
        f" {sure}."
    )


def course_sentences(result: ChangeResult) -> list[str]:
    """Return what is judged beside the change from first to last, over three visits and more."""
    if result.step is None:
        return []
    sentences = []
    if result.step.percent is not None:
        before = result.days[-2]
        start = "the visit before" if before is None else f"the visit of {before}"
        sentences.append(
            f"From {start} to the last: {span_words(result.step.percent, 'points')}."
            f" {chance_sentence(result.step.percent, 'Body fat', result.step)}"
        )
    sentences += [] if result.trend is None else [trend_sentence(result.trend)]
    return [*sentences, SEVERAL_AT_ONCE] if sentences else []

"""Wording of change between visits: what is real, what is noise, and what breaks the comparison."""

from __future__ import annotations

import math

from foldspan.display_units import ShownUnits, signed
from foldspan.estimation.families.combine import Z_LIKELY
from foldspan.followup.comparability import BREAKS, FIRST_WEEKS
from foldspan.followup.difference import STABILITY, Change, Difference, Trend
from foldspan.quantities import BY_NAME, WEEKS_A_MONTH
from foldspan.results.change import ChangeResult
from foldspan.results.changes_for_client import PROBABLY, TOO_SOON
from foldspan.text.en.reconcile import SEX_WORDS, capital

# After how many weeks every page says to measure again (our choice, no source: not under 4, and 8 to
# 12 as a rule).
REPEAT_WEEKS = 8
# A brisk, planned change of the fat percentage (common practice, no source).
POINTS_A_WEEK = 0.5
BREAK_SENTENCES = {
    "other_tester": "A different tester measured, so measurement error counts at both visits.",
    "tester_not_known": (
        "The tester is not recorded at both visits; these results assume one tester. Write"
        " tester in [visit]."
    ),
    "other_calliper": (
        "A different calliper was used. Two kinds of calliper differ by about 10%, and this"
        " is allowed for."
    ),
    "calliper_not_known": (
        "The calliper is not recorded at every visit; these results assume one calliper."
        " Write calliper in [visit]."
    ),
    "other_time": ("Measured at a different time of day: waist and weight vary through the day."),
    "variant_differs": (
        "A skinfold was taken at a different version of its site, so it is left out."
    ),
    "other_side": ("A site was measured on the left at one visit only; the two sides can differ."),
    "clothing_differs": (
        "A girth was measured over clothing at one visit only; the effect of a layer is"
        " allowed for."
    ),
    "height_differs": (
        "Height differs by more than an adult's height changes: measure it again, or keep the"
        " first value."
    ),
    "measured_once": "Measured at one visit only, so left out: {once}.",
    "equations_differ": ("Some equations could be used at one visit only, so they are left out."),
    "too_soon": (
        f"Less than {FIRST_WEEKS:.0f} weeks between visits: too soon for a change in body fat to"
        " show."
    ),
}
SEVERAL_AT_ONCE = (
    "The change from first to last, the latest change and the trend are tested together, so"
    " each needs stronger evidence: measurement error alone would make any of them look real in"
    " fewer than 5% of cases."
)
SIDE_BY_SIDE = (
    "You chose both sets of equations, so both results are shown. Weight, skinfolds and"
    " girths need no equation and are valid either way."
)
CAREFUL = "A worry about eating is recorded: do not show these numbers to the client."
FAT_MEANING = "Fat mass is all the fat in the body, including what every body needs."
LEAN_MEANING = (
    "Fat-free mass is everything else: muscle, bone, organs and water. It shifts with how"
    ' much water the body holds that day. "Lean mass" on a DXA report usually leaves bone out.'
)
MASS_MEANINGS = f"{FAT_MEANING} {LEAN_MEANING}"


TOO_SOON_FOR_FAT = (
    f"In less than {FIRST_WEEKS:.0f} weeks this may be water and food rather than fat."
)
# said of a change that is real
BEYOND_ERROR = "larger than measurement error"


def chance_sentence(difference: Difference, what: str, change: Change) -> str:
    """Return whether a value went down or up between the visits of a change, and how sure that is.

    Where they lie too near to each other for a change of fat, only what the readings say is told.
    """
    down = difference.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    if TOO_SOON in change.breaks and difference.is_real:
        reads = "lower" if down >= 0.5 else "higher"
        return (
            f"{capital(what)} came out {reads}: the change is {BEYOND_ERROR} (95% confidence)."
            f" {TOO_SOON_FOR_FAT}"
        )
    if TOO_SOON in change.breaks:
        return f"Less than {FIRST_WEEKS:.0f} weeks is too short to show a change in {what}."
    if difference.is_real:
        return f"{capital(what)} went {way}: the change is {BEYOND_ERROR} (95% confidence)."
    if chance >= PROBABLY:
        return f"{capital(what)} probably went {way} ({100 * chance:.0f}% chance)."
    return f"No clear change in {what} ({100 * down:.0f}% chance that it went down)."


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
            f"{chance_sentence(percent, 'body fat', result.change)} {span_words(percent, 'points')}."
        ]
    return [
        f"Equations for {SEX_WORDS[sex]}: {sentence}"
        for sex, result_of_sex in result.by_sex
        for sentence in fat_sentences(result_of_sex)
    ]


def mass_changes(change: Change, units: ShownUnits) -> list[tuple[str, Difference, str]]:
    """Return weight, fat mass and fat-free mass as they changed, each with its name and its end.

    In the unit of mass of a page; the end says that a change is real, "" where it is not. One that was
    not measured twice is left out.
    """
    named = (
        ("weight", change.weight), ("fat mass", change.fat_mass),
        ("fat-free mass", change.fat_free_mass),
    )  # fmt: skip
    per = units.per_mass
    return [
        (
            name,
            Difference(difference.earlier / per, difference.later / per, difference.se / per),
            "; real" if difference.is_real else "",
        )
        for name, difference in named
        if difference is not None
    ]


def span_words(difference: Difference, unit: str, digits: int = 1) -> str:
    """Return a change with its likely span."""
    low, high = (signed(end, digits) for end in difference.range_80)
    amount = signed(printed_amount(difference, digits), digits)
    return f"{amount} {unit} (80% range {low} to {high} {unit})"


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
        f"{signed(low, 1)} to {signed(high, 1)} at {stability:.2f}"
        for stability, (low, high) in _spans(change)
    )
    return (
        f"{100 * change.cancelled:.0f}% of the variance cancels between the two visits,"
        " because each method makes much the same error both times. That rests on an assumption"
        f" (stability {STABILITY:.2f}); the 80% range of the change at other values: {spans}."
    )


def _spans(change: Change) -> list[tuple[float, tuple[float, float]]]:
    """Likely span of the change in points, by stability."""
    assert change.percent is not None
    difference = change.percent
    return [
        (stability, Difference(difference.earlier, difference.later, se).range_80)
        for stability, se in change.by_stability.items()
    ]


def repeat_sentence(change: Change) -> str:
    """Return when it makes sense to measure again, and how likely a brisk change shows by then."""
    again = f"Measure the same sites again in {REPEAT_WEEKS} weeks or later."
    if change.percent is None:
        return again
    shows = 100.0 * chance_to_show(change.percent)
    return (
        f"{again} {smallest_sentence(change)} If body fat falls by {POINTS_A_WEEK:g}"
        f" percentage points a week (a brisk rate), there is a {shows:.0f}% chance"
        f" of seeing a real change after {REPEAT_WEEKS} weeks; any earlier, the difference is mostly"
        " measurement error."
    )


def chance_to_show(percent: Difference) -> float:
    """Return the chance that a brisk change is real by the usual repeat, errors being as they were."""
    over = (POINTS_A_WEEK * REPEAT_WEEKS - percent.minimal_detectable_change) / percent.se
    return 0.5 * (1.0 + math.erf(over / math.sqrt(2.0)))


def smallest_sentence(change: Change) -> str:
    """Return from where on a change is real, "" without body fat at both visits."""
    if change.percent is None:
        return ""
    return (
        f"Minimal detectable change: {change.percent.minimal_detectable_change:.1f} percentage points"
        " (95% confidence)."
    )


def raw_sentence(change: Change) -> str:
    """Return what the raw measures rest on, "" where there are none."""
    lines = len(change.girths) + (change.folds is not None)
    if not lines:
        return ""
    several = (
        f" With {lines} lines, measurement error alone will often make one look real (5% for each)."
        if lines > 2
        else ""
    )
    return (
        "Raw measures need no equation, but bodies vary from day to day: in 51 adults, the same"
        " person's skinfolds differed by 15% to 21% and the waist by 3%. The smaller of these"
        " differences are allowed for here." + several
    )


def trend_sentence(trend: Trend) -> str:
    """Return the trend over three visits and more, and whether it is real."""
    down = trend.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    sure = (
        f"body fat went {way}, {BEYOND_ERROR} (95% confidence)"
        if trend.is_real
        else f"{100 * chance:.0f}% chance that it is going {way}"
    )
    if trend.months * WEEKS_A_MONTH < FIRST_WEEKS:
        sure = "too short a time to tell whether body fat is going down or up"
    low, high = (signed(trend.a_month + way * Z_LIKELY * trend.se, 2) for way in (-1.0, 1.0))
    return (
        f"Over {trend.visits} visits: {signed(trend.a_month, 2)} percentage points a month"
        f" (80% range {low} to {high}); {sure}."
    )


def course_sentences(result: ChangeResult) -> list[str]:
    """Return what is judged beside the change from first to last, over three visits and more."""
    if result.step is None:
        return []
    sentences = []
    if result.step.percent is not None:
        before = result.days[-2]
        start = "the previous visit" if before is None else f"the visit of {before}"
        sentences.append(
            f"From {start} to the last: {span_words(result.step.percent, 'points')}."
            f" {chance_sentence(result.step.percent, 'body fat', result.step)}"
        )
    sentences += [] if result.trend is None else [trend_sentence(result.trend)]
    return [*sentences, SEVERAL_AT_ONCE] if sentences else []

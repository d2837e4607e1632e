"""Wording of change between visits: what is real, what is noise, and what breaks the comparison."""

from __future__ import annotations

import math

from foldspan.changes import FIRST_WEEKS, STABILITY, USUAL_WEEKS, Change, Difference, Trend
from foldspan.quantities import BY_NAME

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
    "other_time": "Another time of the day: waist and weight move over the day.",
    "variant_differs": "A fold was taken at another variant of its site, so it is left out.",
    "other_side": "A site was taken on the left at one visit only; the two sides can differ.",
    "measured_once": "Measured at one visit only, so left out: {once}.",
    "equations_differ": "Some equations fit at one visit only, so they are left out.",
    "too_soon": (
        f"Less than {FIRST_WEEKS:.0f} weeks lie between: fat changes more slowly than this can tell."
    ),
}
FAT_MEANING = "Fat mass is all the fat of the body, also the part that every body needs."
LEAN_MEANING = (
    "Lean mass is all the rest: muscle, bone, organs and water. A day of much or little water moves"
    " it."
)
MASS_MEANINGS = f"{FAT_MEANING} {LEAN_MEANING}"


def chance_sentence(one: Difference, what: str) -> str:
    """Return whether a value went down or up, and how sure that is."""
    down = one.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    if one.is_real:
        return f"{what} went {way}: the change is larger than chance makes in 19 of 20 cases."
    if chance >= 0.8:
        return f"{what} probably went {way} ({100 * chance:.0f} chances in 100)."
    return f"{what}: no telling whether it went down or up ({100 * down:.0f} in 100 for down)."


def span_words(one: Difference, unit: str, digits: int = 1) -> str:
    """Return a change with its likely span."""
    low, high = one.likely
    return f"{one.amount:+.{digits}f} {unit}, likely {low:+.{digits}f} to {high:+.{digits}f} {unit}"


def break_sentences(change: Change) -> list[str]:
    """Return what breaks the comparison, each with what was done about it."""
    once = ", ".join(BY_NAME[name].label for name in change.once)
    return [BREAK_SENTENCES[code].format(once=once) for code in change.breaks]


def cancel_sentence(change: Change) -> str:
    """Return how much of the error cancels, and what that rests on."""
    others = ", ".join(
        f"± {se:.1f} at {stability:.2f}"
        for stability, se in change.by_stability.items()
        if stability != STABILITY
    )
    return (
        f"{100 * change.cancelled:.0f} % of the variance cancels, because the same methods were used at"
        f" both visits. That takes the person's own error as {STABILITY:.2f} alike (our assumption;"
        f" {others})."
    )


def repeat_sentence(change: Change) -> str:
    """Return when it makes sense to measure again."""
    if change.percent is None:
        return f"Measure the same sites again in {USUAL_WEEKS:.0f} weeks or later."
    smallest = change.percent.smallest_real
    weeks = max(math.ceil(smallest / POINTS_A_WEEK), math.ceil(FIRST_WEEKS))
    return (
        f"Smallest real change: {smallest:.1f} points. A brisk change is about {POINTS_A_WEEK:g} points"
        f" a week, so a repeat can tell after about {weeks} weeks; sooner it measures noise."
    )


def trend_sentence(one: Trend) -> str:
    """Return the trend over three visits and more."""
    return (
        f"Over {one.visits} visits: {one.a_month:+.2f} points a month (± {one.se:.2f});"
        f" {100 * one.chance_of_fall:.0f} chances in 100 that it goes down."
    )
